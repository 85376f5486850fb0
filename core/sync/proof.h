#pragma once
// The receiver's log is a Merkle tree (RFC 9162, section 2.1): leaf = SHA-256(0x00 || entry hash, 32 bytes), node = SHA-256(0x01 || left || right).

#include <core/base/result.h>
#include <core/trust/trust.h>

#include <cstdint>
#include <functional>
#include <vector>

namespace chockside::sync {

using trust::Digest;
using Path = std::vector<Digest>;

/// One whole subtree: `index` counts those of 2^level leaves from the left. Level 0 are the leaves.
struct NodeName {
    int level = 0;
    std::int64_t index = 0;
    auto operator<=>(const NodeName&) const = default;
};
struct Node {
    NodeName name;
    Digest digest{};
};
/// The digest of a whole subtree that is in the log; an error of the store where it can't be had.
using FindNode = std::function<Result<Digest>(NodeName)>;

Digest leaf_digest(ByteView entry_hash);
Digest node_digest(const Digest& left, const Digest& right);

/// The whole subtrees that come into being with leaf number `size` (from 0): the leaf and each subtree that it completes, bottom up.
Result<std::vector<Node>> grow(std::int64_t size, const Digest& leaf, const FindNode&);
/// MTH of the first `size` leaves; SHA-256 of nothing for none (2.1.1).
Result<Digest> root_of(std::int64_t size, const FindNode&);
/// 2.1.3.1, for leaf `index` (from 0) in the tree of `size`.
Result<Path> inclusion(std::int64_t index, std::int64_t size, const FindNode&);
/// 2.1.4.1, from `from` leaves to `to` (1 <= from <= to); empty where they are equal.
Result<Path> consistency(std::int64_t from, std::int64_t to, const FindNode&);

/// 2.1.3.2. False for anything that does not prove it.
bool verify_inclusion(const Digest& leaf, std::int64_t index, std::int64_t size, const Path&, const Digest& root);
/// 2.1.4.2; from 0 every tree follows.
bool verify_consistency(std::int64_t from, std::int64_t to, const Path&, const Digest& from_root, const Digest& to_root);

} // namespace chockside::sync
