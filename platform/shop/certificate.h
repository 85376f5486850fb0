#pragma once

#include <core/base/result.h>

#include <string>
#include <vector>

namespace chockside::shop {

/// A key (P-256) and a certificate of its own for it, as PEM files with mode 0600. What tablets trust is the key's digest from the enrolment
/// code, so nobody else has to sign. Codes: no_certificate, io_error.
Status make_certificate(const std::string& certificate_file, const std::string& key_file, const std::string& host);
/// Base64 of the SHA-256 of the SubjectPublicKeyInfo (RFC 7469, section 2.4).
Result<std::string> pin_of(const std::string& certificate_file);

} // namespace chockside::shop
