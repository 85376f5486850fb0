#pragma once

#include <core/base/bytes.h>

#include <bit>
#include <cstdint>
#include <cstring>

namespace chockside::framing {

/// Exclusive-or of all bytes: the checksum of NMEA 0183 text lines over what stands between the start character and the star.
inline std::uint8_t xor_of(ByteView bytes)
{
    std::uint64_t wide = 0, eight = 0;
    const std::byte* p = bytes.data();
    std::size_t n = bytes.size();
    for (; n >= 8; n -= 8, p += 8) {
        std::memcpy(&eight, p, 8);
        wide ^= eight;
    }
    if (n != 0 && bytes.size() >= 8) { // the last eight once more, without those that were taken
        std::memcpy(&eight, p + n - 8, 8);
        wide ^= std::endian::native == std::endian::little ? eight >> (64 - 8 * n) : eight << (64 - 8 * n);
        n = 0;
    }
    for (int half = 32; half >= 8; half /= 2) wide ^= wide >> half;
    auto x = static_cast<std::uint8_t>(wide & 0xFFu);
    for (; n; --n, ++p) x = static_cast<std::uint8_t>(x ^ std::to_integer<std::uint8_t>(*p));
    return x;
}

/// Sum of the bytes; a check keeps its low bits.
inline std::uint32_t sum_of(ByteView bytes)
{
    std::uint32_t s = 0;
    for (std::byte b : bytes) s += std::to_integer<std::uint32_t>(b);
    return s;
}

} // namespace chockside::framing
