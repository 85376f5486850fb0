#pragma once
// A file sealed as it grows: libsodium's secretstream (XChaCha20-Poly1305), a chunk for each append. Layout: "chkseal1", number of the
// data key (4, little-endian), stream header (24), then chunks: length of the sealed chunk (4, little-endian) and the chunk. A cut tail
// loses its last chunk only; chunks can be neither changed, swapped nor left out.

#include <core/trust/vault.h>

#include <memory>

namespace chockside::trust {

class SealingStream {
public:
    SealingStream(const Key& data_key, std::uint32_t number);
    ~SealingStream();
    SealingStream(SealingStream&&) noexcept;
    SealingStream& operator=(SealingStream&&) noexcept;

    /// The file's first 36 bytes.
    const Bytes& header() const { return header_; }
    /// At most 1 MiB a chunk; `last` ends the stream.
    Bytes push(ByteView chunk, bool last = false);

private:
    struct State;
    std::unique_ptr<State> state_;
    Bytes header_;
};

bool is_sealed(ByteView file);

struct Unsealed {
    Bytes bytes;
    bool whole = false; ///< ended by its writer; false: a tail may be missing
};
/// Codes: pin_needed, bad_seal (place: file).
Result<Unsealed> unseal_file(Vault&, ByteView file);
/// The whole in chunks of 64 KiB. Code: pin_needed where the vault has no key to write under.
Result<Bytes> seal_file(Vault&, ByteView plain);

} // namespace chockside::trust
