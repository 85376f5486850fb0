#pragma once

#include <core/base/bytes.h>

#include <cstdlib>

namespace chockside::fuzz {

inline ByteView view(const std::uint8_t* data, std::size_t size)
{
    return {reinterpret_cast<const std::byte*>(data), size};
}

/// Hands the bytes on in pieces whose lengths the bytes themselves choose.
template <class F>
void in_pieces(ByteView all, unsigned seed, F take)
{
    while (!all.empty()) {
        seed = seed * 1103515245u + 12345u;
        const std::size_t n = std::min<std::size_t>(1 + (seed >> 16) % 37, all.size());
        take(all.first(n));
        all = all.subspan(n);
    }
}

inline void must(bool so)
{
    if (!so) std::abort();
}

} // namespace chockside::fuzz
