#pragma once
// A secret of 32 bytes behind a PIN or passphrase: Argon2id (RFC 9106) makes a key of it, XChaCha20-Poly1305 closes the box.

#include <core/base/bytes.h>
#include <core/base/json.h>
#include <core/base/random.h>
#include <core/base/result.h>

#include <string_view>

namespace chockside::trust {

/// What one try costs. The default takes about a tenth of a second and 64 MiB on a tablet.
struct Stretch {
    std::uint64_t passes = 3;            ///< at least 1
    std::uint64_t memory = 64u << 20;    ///< bytes, at least 8 KiB
};

struct Wrapped {
    Bytes salt;   ///< 16
    Bytes nonce;  ///< 24
    Bytes box;    ///< 48
    Stretch stretch;
};

/// Codes: bad_key (the secret is not 32 bytes), no_memory.
Result<Wrapped> wrap(ByteView secret, std::string_view pin, Random&, Stretch = {});
/// 32 bytes; wipe() them after use. Codes: wrong_pin (or a changed box: the two can't be told apart), no_memory.
Result<Bytes> unwrap(const Wrapped&, std::string_view pin);

json::Value to_json(const Wrapped&);
/// Code: bad_key.
Result<Wrapped> wrapped_from(const json::Value&);

/// True where `pin` makes the given encoded Argon2id text ("$argon2id$v=19$m=..."), for published values.
bool argon2id_matches(const std::string& encoded, std::string_view pin);

} // namespace chockside::trust
