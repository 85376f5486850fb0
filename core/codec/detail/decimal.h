#pragma once
// Decimal text to numbers: the same double as std::from_chars gives, bit for bit.

#include <bit>
#include <cstdint>
#include <cstring>
#include <string_view>

namespace chockside::codec::detail {

/// `digits` over ten to the power of `behind`.
struct Decimal {
    std::uint64_t digits = 0;
    unsigned behind = 0;
    bool minus = false;
    bool point = false;
};

/// Eight decimal digits, one a byte, the first in the lowest: pairs, then fours, then all.
inline std::uint64_t eight_digits(std::uint64_t w)
{
    constexpr std::uint64_t every_fourth = 0x000000FF'000000FF;
    w = w * 10 + (w >> 8);
    const std::uint64_t outer = (w & every_fourth) * (100 + (std::uint64_t{1000000} << 32));
    const std::uint64_t inner = (w >> 16 & every_fourth) * (1 + (std::uint64_t{10000} << 32));
    return (outer + inner) >> 32;
}

/// Bit 7 of every byte that is above 9; right up to and with the lowest such byte.
inline std::uint64_t above_nine(std::uint64_t w)
{
    return ((w + 0x7676767676767676) | w) & 0x8080808080808080;
}

/// Up to eight bytes as one number, the first in the lowest of those taken, the last in the highest byte; the others are 0. `around`: memory
/// that may be read beside them; false where it is too small. `flip`: taken from every byte that is there by exclusive-or.
inline bool eight_of(std::string_view t, std::string_view around, std::uint64_t flip, std::uint64_t& out)
{
    if (t.size() - 1 > 7) return false;
    const auto spare = static_cast<unsigned>(64 - 8 * t.size());
    const char* const end = t.data() + t.size();
    if (end - around.data() >= 8) { // the same way for the same place in every line of a kind, or nearly
        std::memcpy(&out, end - 8, 8);
        out = (out ^ flip) >> spare << spare;
        return true;
    }
    if (around.data() + around.size() - t.data() < 8) return false;
    std::memcpy(&out, t.data(), 8);
    out = (out ^ flip) << spare;
    return true;
}

/// [-] and up to eight characters, digits with at most one point, without a branch on where they stand. `around` as above. False: the
/// caller must look closer.
inline bool read_short(std::string_view t, std::string_view around, Decimal& out)
{
    if constexpr (std::endian::native != std::endian::little) return false;
    if (t.empty()) return false;
    out.minus = t.front() == '-';
    t.remove_prefix(out.minus);
    std::uint64_t w = 0;
    if (!eight_of(t, around, 0x3030303030303030, w)) return false;
    out.behind = 0;
    out.point = false;
    if (const std::uint64_t other = above_nine(w); other != 0) {
        const auto bit = static_cast<unsigned>(std::countr_zero(other)) - 7; // of the byte that must be the point
        if ((w >> bit & 0xFFu) != ('.' ^ '0') || t.size() == 1 || (other & (other - 1)) != 0) return false; // behind a true point none is told too many
        const std::uint64_t from_point = ~std::uint64_t{0} << bit;
        w = (w & from_point << 8) | (w & ~from_point) << 8;
        out.behind = 7 - bit / 8;
        out.point = true;
    }
    out.digits = eight_digits(w);
    return true;
}

/// Up to eighteen digits that make a whole number below 2^53; false where it is longer or anything else.
bool read_long(std::string_view t, Decimal& out);

/// A whole number below 2^53 over a power of ten up to 10^18, both doubles: one division rounds as std::from_chars does (IEEE 754).
inline double value_of(const Decimal& d)
{
    static constexpr double tens[] = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18};
    const double size = static_cast<double>(static_cast<std::int64_t>(d.digits)) / tens[d.behind];
    return std::bit_cast<double>(std::bit_cast<std::uint64_t>(size) | std::uint64_t{d.minus} << 63);
}

/// What read_number() and read_whole() do with a text that read_short() leaves.
bool read_other(std::string_view t, double& out);
bool read_other(std::string_view t, std::int64_t& out);

/// The whole text as a finite number; a leading + is allowed. False where it is none.
inline bool read_number(std::string_view t, std::string_view around, double& out)
{
    Decimal d;
    if (!read_short(t, around, d)) return read_other(t, out);
    out = value_of(d);
    return true;
}

/// The same for a whole number that fits.
inline bool read_whole(std::string_view t, std::string_view around, std::int64_t& out)
{
    Decimal d;
    if (!read_short(t, around, d) || d.point) return read_other(t, out);
    const auto size = static_cast<std::int64_t>(d.digits);
    out = d.minus ? -size : size;
    return true;
}

} // namespace chockside::codec::detail
