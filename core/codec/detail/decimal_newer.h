#pragma once
// read_short() and value_of() in one, with byte shuffles and sums of products.

#include <core/base/processor.h>
#include <core/codec/detail/decimal.h>

#ifdef CHOCKSIDE_NEWER

#include <array>
#include <immintrin.h>

namespace chockside::codec::detail {

/// For PSHUFB: takes the byte of the point out of eight and moves those below it up by one; 8: there is no point.
alignas(16) inline constexpr auto without_point = [] {
    std::array<std::array<unsigned char, 16>, 9> t{};
    for (unsigned point = 0; point < 9; ++point)
        for (unsigned i = 0; i < 16; ++i) t[point][i] = static_cast<unsigned char>(i >= 8 || (point < 8 && i == 0) ? 0x80 : point < 8 && i <= point ? i - 1 : i);
    return t;
}();

/// As read_short(); `value`: what value_of() gives.
CHOCKSIDE_NEWER inline bool read_short_newer(std::string_view t, std::string_view around, Decimal& out, double& value)
{
    static constexpr double over[] = {1e7, 1e6, 1e5, 1e4, 1e3, 1e2, 1e1, 1, 1}; // by the byte of the point
    if (t.empty()) return false;
    out.minus = t.front() == '-';
    t.remove_prefix(out.minus);
    std::uint64_t w = 0;
    if (!eight_of(t, around, 0x3030303030303030, w)) return false;
    const std::uint64_t other = above_nine(w);
    const auto point = static_cast<unsigned>(std::countr_zero(other)) / 8;
    out.point = other != 0;
    if (other != 0 && ((w >> 8 * point & 0xFFu) != ('.' ^ '0') || (other & (other - 1)) != 0 || t.size() == 1)) return false;
    const __m128i bytes = _mm_shuffle_epi8(_mm_cvtsi64_si128(static_cast<long long>(w)), _mm_load_si128(reinterpret_cast<const __m128i*>(without_point[point].data())));
    const __m128i twos = _mm_maddubs_epi16(bytes, _mm_set1_epi16(1 << 8 | 10));
    const __m128i fours = _mm_madd_epi16(twos, _mm_set1_epi32(1 << 16 | 100));
    const __m128i eight = _mm_madd_epi16(_mm_packus_epi32(fours, fours), _mm_set1_epi32(1 << 16 | 10000));
    out.digits = static_cast<std::uint32_t>(_mm_cvtsi128_si32(eight));
    out.behind = point < 8 ? 7 - point : 0;
    const __m128d sign = _mm_castsi128_pd(_mm_cvtsi64_si128(static_cast<long long>(std::uint64_t{out.minus} << 63)));
    value = _mm_cvtsd_f64(_mm_or_pd(_mm_div_sd(_mm_cvtepi32_pd(eight), _mm_load_sd(over + point)), sign));
    return true;
}

} // namespace chockside::codec::detail

#endif
