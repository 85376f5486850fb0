#pragma once
// Signatures of entries that were found to hold since the process began. Whether one holds depends on nothing but key, signature and hash, so what
// is remembered is never old; an index that follows the log meets each entry several times, and Ed25519 would be most of its work.

#include <core/base/bytes.h>

#include <mutex>
#include <string>
#include <unordered_set>

namespace chockside::shop {

/// From any thread.
class Signatures {
public:
    /// `most` are remembered at least, and at most twice as many.
    explicit Signatures(std::size_t most) : most_(most) {}

    /// What was verified elsewhere. Sizes: 32, 64, 32 bytes.
    void add(ByteView hash, ByteView signature, ByteView public_key);
    /// trust::verify, or what it said before.
    bool hold(ByteView hash, ByteView signature, ByteView public_key);

private:
    bool known(const std::string& name);
    void remember(std::string name);

    std::size_t most_;
    std::mutex mutex_;
    std::unordered_set<std::string> now_, before_;
};

} // namespace chockside::shop
