#pragma once
// Exact decimal numbers: entries carry measured values as decimal text, so a value read back is the value written.

#include <core/base/result.h>

#include <cstdint>
#include <string>
#include <string_view>

namespace chockside {

/// value = units / 10^scale.
struct Decimal {
    std::int64_t units = 0;
    int scale = 0; ///< 0 .. 15, figures after the point

    double to_double() const; ///< nearest double while |units| <= 2^53
    bool operator==(const Decimal&) const = default;
};

/// Text [+-]digits[.digits], the sign also as U+2212; at most 15 figures in all. Trailing zeros are kept: they say how finely it was read.
/// Codes: decimal_empty, decimal_comma (a comma stands in it), decimal_syntax, decimal_range; arg text.
Result<Decimal> read_decimal(std::string_view text);

/// ASCII, no exponent, `scale` figures after the point: -0.50. The inverse of read_decimal. Zero carries no sign.
std::string write_decimal(const Decimal& number);

/// Rounded half away from zero to `scale` (0 .. 15) figures, as the shortest decimal form of the double rounds (so 2.675 gives 2.68).
/// Codes: decimal_range (not finite, or more than 15 figures).
Result<Decimal> decimal_from(double value, int scale);

/// decimal_from and write_decimal in one; "" where the value has no such form.
std::string decimal_text(double value, int scale);

/// `places` (0 .. 15) figures after the point, rounded as the double's exact value lies (so 2.675 gives 2.67), whatever the system's language:
/// "-1.13". What is not finite is "inf", "-inf", "nan" or "-nan".
std::string fixed_text(double value, int places);

/// -1, 0 or 1 as a is less than, equal to or greater than b; exact across scales.
int compare(const Decimal& a, const Decimal& b);

} // namespace chockside
