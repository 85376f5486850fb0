#pragma once
// Keys, digests and signatures: the only room that knows libsodium.

#include <core/base/bytes.h>
#include <core/base/random.h>
#include <core/base/result.h>

#include <array>
#include <memory>
#include <string>

namespace chockside::trust {

/// What a signature is for; signed are the domain's name, a zero byte and the message, so that one can't pass as another.
enum class Domain { entry, receipt, head, profile, enrolment, sign_off, session };
const char* name_of(Domain);

using Digest = std::array<std::byte, 32>;
/// FIPS 180-4 SHA-256.
Digest sha256(ByteView);
std::string sha256_hex(ByteView);

/// SHA-256 over parts as they come.
class Sha256 {
public:
    Sha256();
    ~Sha256();
    Sha256(const Sha256&) = delete;
    Sha256& operator=(const Sha256&) = delete;
    void add(ByteView);
    Digest done();

private:
    struct State;
    std::unique_ptr<State> state_;
};

/// The system's random bytes.
class SystemRandom final : public Random {
public:
    SystemRandom();
    void fill(std::span<std::byte> out) override;
};

/// Overwrites a secret in a way that the compiler keeps.
void wipe(std::span<std::byte>);

/// Ed25519 (RFC 8032). The secret is wiped when the object goes.
class KeyPair {
public:
    static KeyPair make(Random&);
    /// From a 32-byte seed; nothing else is a key. Code: bad_key.
    static Result<KeyPair> from_seed(ByteView seed);
    KeyPair(KeyPair&&) noexcept;
    KeyPair& operator=(KeyPair&&) noexcept;
    KeyPair(const KeyPair&) = delete;
    KeyPair& operator=(const KeyPair&) = delete;
    ~KeyPair();

    const Digest& public_key() const { return public_; }
    Bytes seed() const;                              ///< for the key file; wipe() it after use
    Bytes sign(Domain, ByteView message) const;      ///< 64 bytes
    Bytes sign_plain(ByteView message) const;        ///< without a domain: for published vectors and other formats

private:
    KeyPair() = default;
    Digest public_{};
    std::array<std::byte, 64> secret_{};
};

/// False for any malformed input, a non-canonical S and small-order keys (libsodium's checks).
bool verify(Domain, ByteView message, ByteView signature, ByteView public_key);
bool verify_plain(ByteView message, ByteView signature, ByteView public_key);

/// The first 32 hex digits of SHA-256 of the public key: an author's id.
std::string author_id(ByteView public_key);

} // namespace chockside::trust
