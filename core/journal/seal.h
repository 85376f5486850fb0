#pragma once

#include <core/journal/entry.h>
#include <core/trust/trust.h>

#include <optional>
#include <span>

namespace chockside::journal {

/// SHA-256("body/1\0" || salt || body), hex.
std::string body_digest(ByteView salt, std::string_view body);
/// SHA-256("entry/1\0" || envelope bytes), hex.
std::string entry_hash(std::string_view envelope_bytes);

json::Value to_json(const Envelope&);
/// Code: entry_malformed (place: the member).
Result<Envelope> envelope_from(const json::Value&);

/// Makes an entry out of an envelope and a body; the key must be the author's. The writer is narrow: whole numbers within 2^53-1,
/// decimals as text, UTF-8 without NUL, ASCII keys, depth 16, an envelope and a body of at most 64 KiB each. Code: entry_refused (what).
Result<Entry> seal(Envelope, const json::Value& body, const trust::KeyPair&, Random&);
/// An entry out of its stored bytes; believes nothing beyond their shape. Code: entry_malformed.
Result<Entry> open_entry(std::string envelope_bytes, std::string hash, std::string signature, std::string salt, std::string body_bytes);

} // namespace chockside::journal
