#pragma once
// What a person's key signs when they sign a job off, and how anybody checks it.

#include <core/journal/entry.h>

#include <string>

namespace chockside::journal {

/// Canonical text (RFC 8785) of {"job", "person", "sign"}: `sign` is the body of the entry without "key" and "signature". It holds the
/// meaning, the words, certificate kind and number, and "shown": the text that stood on the screen.
std::string sign_off_statement(const std::string& job, const std::string& person, const json::Value& body);

/// Empty where "key" (hex of an Ed25519 public key) and "signature" (hex) are there and the key verifies the statement under
/// Domain::sign_off; else "unsigned" where either lacks, "person_signature" where it does not verify.
std::string sign_off_flaw(const std::string& job, const std::string& person, const json::Value& body);

} // namespace chockside::journal
