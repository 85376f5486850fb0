#pragma once

#include <core/base/bytes.h>

#include <array>
#include <bit>
#include <cstdint>
#include <cstring>
#if defined(__SSE2__)
#include <emmintrin.h>
#endif

namespace chockside::framing {

/// Exclusive-or of all bytes: the checksum of NMEA 0183 text lines over what stands between the start character and the star.
inline std::uint8_t xor_of(ByteView bytes)
{
    std::uint64_t wide = 0, eight = 0;
    const std::byte* p = bytes.data();
    std::size_t n = bytes.size();
#if defined(__SSE2__)
    if (n - 16 <= 16) { // a usual line: both ends, and out again what both hold
        alignas(16) static constexpr auto masks = [] {
            std::array<unsigned char, 32> m{};
            for (std::size_t i = 16; i < 32; ++i) m[i] = 0xFF;
            return m;
        }();
        const __m128i head = _mm_loadu_si128(reinterpret_cast<const __m128i*>(p)), tail = _mm_loadu_si128(reinterpret_cast<const __m128i*>(p + n - 16));
        const __m128i fresh = _mm_loadu_si128(reinterpret_cast<const __m128i*>(masks.data() + (n - 16)));
        const __m128i all = _mm_xor_si128(head, _mm_and_si128(tail, fresh));
        wide = static_cast<std::uint64_t>(_mm_cvtsi128_si64(_mm_xor_si128(all, _mm_unpackhi_epi64(all, all))));
        for (int half = 32; half >= 8; half /= 2) wide ^= wide >> half;
        return static_cast<std::uint8_t>(wide & 0xFFu);
    }
#endif
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
