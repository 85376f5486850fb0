#include <core/sync/proof.h>

#include <bit>

namespace chockside::sync {

namespace {

Digest tagged(std::byte tag, ByteView a, ByteView b = {})
{
    trust::Sha256 sha;
    sha.add({&tag, 1});
    sha.add(a);
    sha.add(b);
    return sha.done();
}

/// Largest power of two that is less than n (n > 1).
std::int64_t split(std::int64_t n)
{
    return static_cast<std::int64_t>(std::bit_floor(static_cast<std::uint64_t>(n - 1)));
}

int log2(std::int64_t n)
{
    return static_cast<int>(std::bit_width(static_cast<std::uint64_t>(n))) - 1;
}

/// MTH(D[first : first + n]); `first` is a multiple of the smallest power of two that is not less than n.
Result<Digest> tree(std::int64_t first, std::int64_t n, const FindNode& find)
{
    if (std::has_single_bit(static_cast<std::uint64_t>(n))) return find({log2(n), first / n});
    const std::int64_t k = split(n);
    const auto left = tree(first, k, find), right = tree(first + k, n - k, find);
    if (!left) return left;
    return right ? Result<Digest>(node_digest(*left, *right)) : right;
}

Status add(Path& path, const Result<Digest>& digest)
{
    if (!digest) return Unexpected{digest.error()};
    path.push_back(*digest);
    return {};
}

/// PATH(m, D[first : first + n]).
Status path_to(std::int64_t m, std::int64_t first, std::int64_t n, Path& path, const FindNode& find)
{
    if (n == 1) return {};
    const std::int64_t k = split(n);
    const bool left = m < k;
    if (auto ok = left ? path_to(m, first, k, path, find) : path_to(m - k, first + k, n - k, path, find); !ok) return ok;
    return add(path, left ? tree(first + k, n - k, find) : tree(first, k, find));
}

/// SUBPROOF(m, D[first : first + n], whole).
Status subproof(std::int64_t m, std::int64_t first, std::int64_t n, bool whole, Path& path, const FindNode& find)
{
    if (m == n) return whole ? Status{} : add(path, tree(first, n, find));
    const std::int64_t k = split(n);
    const bool left = m <= k;
    if (auto ok = left ? subproof(m, first, k, whole, path, find) : subproof(m - k, first + k, n - k, false, path, find); !ok) return ok;
    return add(path, left ? tree(first + k, n - k, find) : tree(first, k, find));
}

} // namespace

Digest leaf_digest(ByteView entry_hash)
{
    return tagged(std::byte{0}, entry_hash);
}

Digest node_digest(const Digest& left, const Digest& right)
{
    return tagged(std::byte{1}, left, right);
}

Result<std::vector<Node>> grow(std::int64_t size, const Digest& leaf, const FindNode& find)
{
    std::vector<Node> nodes{{{0, size}, leaf}};
    for (NodeName at{0, size}; at.index & 1;) {
        const auto left = find({at.level, at.index - 1});
        if (!left) return Unexpected{left.error()};
        at = {at.level + 1, at.index / 2};
        nodes.push_back({at, node_digest(*left, nodes.back().digest)});
    }
    return nodes;
}

Result<Digest> root_of(std::int64_t size, const FindNode& find)
{
    return size == 0 ? Result<Digest>(trust::sha256({})) : tree(0, size, find);
}

Result<Path> inclusion(std::int64_t index, std::int64_t size, const FindNode& find)
{
    if (index < 0 || index >= size) return fail("not_found", "log");
    Path path;
    if (auto ok = path_to(index, 0, size, path, find); !ok) return Unexpected{ok.error()};
    return path;
}

Result<Path> consistency(std::int64_t from, std::int64_t to, const FindNode& find)
{
    if (from < 1 || from > to) return fail("not_found", "log");
    Path path;
    if (auto ok = subproof(from, 0, to, true, path, find); !ok) return Unexpected{ok.error()};
    return path;
}

bool verify_inclusion(const Digest& leaf, std::int64_t index, std::int64_t size, const Path& path, const Digest& root)
{
    if (index < 0 || index >= size) return false;
    std::int64_t fn = index, sn = size - 1;
    Digest r = leaf;
    for (const Digest& p : path) {
        if (sn == 0) return false;
        if ((fn & 1) || fn == sn) {
            r = node_digest(p, r);
            while (!(fn & 1) && fn != 0) fn >>= 1, sn >>= 1;
        }
        else r = node_digest(r, p);
        fn >>= 1, sn >>= 1;
    }
    return sn == 0 && r == root;
}

bool verify_consistency(std::int64_t from, std::int64_t to, const Path& given, const Digest& from_root, const Digest& to_root)
{
    if (from < 0 || from > to) return false;
    if (from == to) return given.empty() && from_root == to_root;
    if (from == 0) return given.empty();
    Path path = given;
    if (std::has_single_bit(static_cast<std::uint64_t>(from))) path.insert(path.begin(), from_root);
    if (path.empty()) return false;
    std::int64_t fn = from - 1, sn = to - 1;
    while (fn & 1) fn >>= 1, sn >>= 1;
    Digest fr = path.front(), sr = path.front();
    for (std::size_t i = 1; i < path.size(); ++i) {
        if (sn == 0) return false;
        if ((fn & 1) || fn == sn) {
            fr = node_digest(path[i], fr);
            sr = node_digest(path[i], sr);
            while (!(fn & 1) && fn != 0) fn >>= 1, sn >>= 1;
        }
        else sr = node_digest(sr, path[i]);
        fn >>= 1, sn >>= 1;
    }
    return sn == 0 && fr == from_root && sr == to_root;
}

} // namespace chockside::sync
