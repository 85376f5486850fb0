#pragma once
// What keeps bodies and files unreadable at rest. A store has one X25519 pair: with the public half anybody may write, the secret half
// reads. What is written goes under a data key (XChaCha20-Poly1305) that lies in a box to the public half, so that a device which is locked
// still keeps what the line says, and cannot read it back after its next start.

#include <core/base/bytes.h>
#include <core/base/random.h>
#include <core/base/result.h>
#include <core/trust/trust.h>

#include <cstdint>
#include <map>
#include <optional>
#include <string_view>

namespace chockside::trust {

using Key = std::array<std::byte, 32>;

/// The box of a data key or of the store's secret to an X25519 public key: libsodium's sealed box (crypto_box_seal), its one-time pair
/// drawn from `Random`. 48 bytes more than the secret.
Bytes box_to(ByteView public_key, ByteView secret, Random&);
/// Code: bad_seal.
Result<Bytes> open_box(ByteView box, ByteView public_key, ByteView secret_key);
/// The same to a person's Ed25519 key, by the birational map of RFC 7748, section 4.1. Code: bad_key.
Result<Bytes> box_to_person(ByteView ed25519_public, ByteView secret, Random&);
Result<Bytes> open_persons_box(ByteView box, const KeyPair&);

class Vault {
public:
    struct NewKey {
        std::uint32_t number = 0;
        Bytes box;
    };

    /// A new pair, open.
    static Vault make(Random&);
    /// Open, from the secret half. Code: bad_key.
    static Result<Vault> from_secret(ByteView);
    /// Shut, until open_with(). Code: bad_key (not 32 bytes).
    static Result<Vault> with_public_key(ByteView);
    Vault(Vault&&) = default;
    Vault& operator=(Vault&&) = default;
    Vault(const Vault&) = delete;
    Vault& operator=(const Vault&) = delete;
    ~Vault();

    bool is_open() const { return secret_.has_value(); }
    /// For another thread that reads files: knows what this one knows now, and writes under nothing. Wiped when it ends.
    Vault for_reading() const;
    /// Code: bad_key where the secret is not this vault's.
    Status open_with(ByteView secret);
    /// Forgets the secret half and all data keys, the one that is written under too.
    void shut();
    const Key& public_key() const { return public_; }
    /// 32 bytes, to be boxed to a person; wipe() them after use. Empty while shut.
    Bytes secret() const;

    /// A data key that was kept earlier.
    void know(std::uint32_t number, Bytes box) { boxes_[number] = std::move(box); }
    bool knows(std::uint32_t number) const { return boxes_.contains(number); }
    /// Begins a data key to write under. Its box must be durable before anything sealed under it is.
    NewKey begin(Random&);
    /// Goes on under the newest key that is known; false where none is, or the vault is shut.
    bool go_on();
    bool can_write() const { return writing_ != 0; }

    /// Number of the data key (4), nonce (24), text and tag (16); bound to `about`, which is not part of it.
    Bytes seal(std::string_view about, ByteView plain, Random&) const;
    /// Codes: pin_needed (shut), bad_seal (changed, or about something else).
    Result<Bytes> unseal(std::string_view about, ByteView sealed);

    /// The data key of that number, where it is known and can be read: for streams. Codes: pin_needed, bad_seal.
    Result<Key> data_key(std::uint32_t number);
    std::uint32_t writing() const { return writing_; }

private:
    Vault() = default;

    Key public_{};
    std::optional<Key> secret_;
    std::map<std::uint32_t, Bytes> boxes_;
    std::map<std::uint32_t, Key> keys_;
    std::uint32_t writing_ = 0;
};

} // namespace chockside::trust
