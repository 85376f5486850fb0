#include <core/framing/detail/fold.h>

#ifdef __x86_64__

#include <immintrin.h>

#define CHOCKSIDE_FOLDS [[gnu::target("pclmul,ssse3")]]

namespace chockside::framing::detail {

namespace {

std::uint64_t turned(std::uint64_t v)
{
    std::uint64_t out = 0;
    for (int i = 0; i < 64; ++i) out |= (v >> i & 1u) << (63 - i);
    return out;
}

/// x to the n-th power, modulo x^64 + poly.
std::uint64_t power(unsigned n, std::uint64_t poly)
{
    std::uint64_t r = 1;
    for (; n; --n) r = r << 1 ^ (r >> 63 ? poly : 0);
    return r;
}

/// x^128 divided by x^64 + poly, without the term x^64.
std::uint64_t reciprocal(std::uint64_t poly)
{
    std::uint64_t rest = poly, quotient = 0;
    for (int i = 63; i >= 0; --i) {
        const bool top = rest >> 63;
        rest = rest << 1 ^ (top ? poly : 0);
        quotient |= std::uint64_t{top} << i;
    }
    return quotient;
}

constexpr unsigned char none = 0x80; ///< PSHUFB: a byte of nothing

/// Read from k on: moves the first k bytes of sixteen to the end, in their order.
alignas(16) constexpr unsigned char to_the_end[32] = {
    none, none, none, none, none, none, none, none, none, none, none, none, none, none, none, none, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15};
/// Read from 16 - k on: the same, and the bytes turned round.
alignas(16) constexpr unsigned char turned_round[32] = {
    15, 14, 13, 12, 11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1, 0, none, none, none, none, none, none, none, none, none, none, none, none, none, none, none, none};

CHOCKSIDE_FOLDS inline __m128i load(const void* p)
{
    return _mm_loadu_si128(static_cast<const __m128i*>(p));
}

/// Sixteen bytes as a polynomial: as they are where low bits come first, else the first byte on top.
template <bool reflected>
CHOCKSIDE_FOLDS inline __m128i ordered(__m128i bytes)
{
    return reflected ? bytes : _mm_shuffle_epi8(bytes, load(turned_round));
}

CHOCKSIDE_FOLDS inline __m128i moved(__m128i x, __m128i by)
{
    return _mm_xor_si128(_mm_clmulepi64_si128(x, by, 0x00), _mm_clmulepi64_si128(x, by, 0x11));
}

/// x times x^64 modulo the divisor: one fold to 128 bits, then Barrett's division.
template <bool reflected>
CHOCKSIDE_FOLDS inline std::uint64_t divided(__m128i x, __m128i last, __m128i poly)
{
    if constexpr (reflected) {
        const __m128i z = _mm_xor_si128(_mm_clmulepi64_si128(x, last, 0x00), _mm_srli_si128(x, 8));
        const __m128i q = _mm_xor_si128(z, _mm_slli_epi64(_mm_clmulepi64_si128(z, last, 0x10), 1));
        const __m128i u = _mm_clmulepi64_si128(q, poly, 0x00);
        const __m128i r = _mm_xor_si128(_mm_or_si128(_mm_slli_epi64(u, 1), _mm_srli_epi64(_mm_slli_si128(u, 8), 63)), z);
        return static_cast<std::uint64_t>(_mm_cvtsi128_si64(_mm_srli_si128(r, 8)));
    } else {
        const __m128i z = _mm_xor_si128(_mm_clmulepi64_si128(x, last, 0x01), _mm_slli_si128(x, 8));
        const __m128i q = _mm_xor_si128(z, _mm_clmulepi64_si128(z, last, 0x11));
        return static_cast<std::uint64_t>(_mm_cvtsi128_si64(_mm_xor_si128(z, _mm_clmulepi64_si128(q, poly, 0x01))));
    }
}

} // namespace

bool Fold::possible()
{
    return __builtin_cpu_supports("pclmul") && __builtin_cpu_supports("ssse3");
}

Fold::Fold(std::uint64_t poly, std::uint64_t init, bool reflected) : reflected_(reflected)
{
    // A product of two turned round numbers comes out one place too low: the powers are one less for it.
    const unsigned less = reflected ? 1 : 0;
    const auto laid = [&](std::uint64_t v) { return reflected ? turned(v) : v; };
    for (unsigned d = 0; d < 4; ++d) {
        const std::uint64_t first = laid(power(128 * (d + 1) + 64 - less, poly)), second = laid(power(128 * (d + 1) - less, poly));
        by_[d] = reflected ? Pair{first, second} : Pair{second, first};
    }
    last_ = {laid(power(128 - less, poly)), laid(reciprocal(poly))};
    poly_ = {laid(poly), 0};
    for (unsigned i = 0; i < 8; ++i) init_[i] = static_cast<unsigned char>(init >> (reflected ? 8 * i : 56 - 8 * i));
}

// The odd bytes go first, pushed to the end of a block: zeros before a message change nothing. The start of the register lies on the first
// eight bytes, so a part of it may fall on the block behind.
template <bool reflected>
CHOCKSIDE_FOLDS std::uint64_t Fold::run(const unsigned char* p, std::size_t n) const
{
    const std::size_t odd = ((n - 1) & 15u) + 1;
    const __m128i pushed = load(reflected ? to_the_end + odd : turned_round + 16 - odd);
    __m128i x = _mm_shuffle_epi8(_mm_xor_si128(load(p), load(init_)), pushed);
    __m128i init = _mm_loadu_si128(reinterpret_cast<const __m128i*>(init_ + odd));
    const __m128i by_1 = load(&by_[0]), by_2 = load(&by_[1]), by_3 = load(&by_[2]), by_4 = load(&by_[3]);
    const auto* block = p + odd;
    std::size_t left = (n - odd) / 16;
    switch (left & 3u) {
    case 1: x = _mm_xor_si128(moved(x, by_1), ordered<reflected>(_mm_xor_si128(load(block), init))); break;
    case 2:
        x = _mm_xor_si128(moved(x, by_2), moved(ordered<reflected>(_mm_xor_si128(load(block), init)), by_1));
        x = _mm_xor_si128(x, ordered<reflected>(load(block + 16)));
        break;
    case 3:
        x = _mm_xor_si128(moved(x, by_3), moved(ordered<reflected>(_mm_xor_si128(load(block), init)), by_2));
        x = _mm_xor_si128(x, _mm_xor_si128(moved(ordered<reflected>(load(block + 16)), by_1), ordered<reflected>(load(block + 32))));
        break;
    default: break;
    }
    if (left & 3u) init = _mm_setzero_si128();
    block += 16 * (left & 3u);
    for (left /= 4; left; --left, block += 64) {
        const __m128i a = moved(ordered<reflected>(_mm_xor_si128(load(block), init)), by_3), b = moved(ordered<reflected>(load(block + 16)), by_2);
        const __m128i c = moved(ordered<reflected>(load(block + 32)), by_1), d = ordered<reflected>(load(block + 48));
        x = _mm_xor_si128(moved(x, by_4), _mm_xor_si128(_mm_xor_si128(a, b), _mm_xor_si128(c, d)));
        init = _mm_setzero_si128();
    }
    return divided<reflected>(x, load(&last_), load(&poly_));
}

std::uint64_t Fold::operator()(const unsigned char* p, std::size_t n) const
{
    return reflected_ ? run<true>(p, n) : run<false>(p, n);
}

} // namespace chockside::framing::detail

#else

namespace chockside::framing::detail {

// Elsewhere the tables do it all.
bool Fold::possible() { return false; }
Fold::Fold(std::uint64_t, std::uint64_t, bool) {}
std::uint64_t Fold::operator()(const unsigned char*, std::size_t) const { return 0; }

} // namespace chockside::framing::detail

#endif
