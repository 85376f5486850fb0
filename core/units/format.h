#pragma once
// Numbers as people read them on a screen or on paper. True minus U+2212; no-break space U+00A0 before a unit.

#include <string>
#include <string_view>

namespace chockside {

enum class Sign {
    as_needed, ///< minus only
    always,    ///< plus too; zero carries none
};

/// `decimals` 0 .. 15, rounded half away from zero. Zero after rounding carries no sign. An en dash where the value is not finite or too large.
std::string format_number(double value, int decimals, Sign sign = Sign::as_needed);

/// "27.4 V", "0.3 °/s"; "12.5°": the degree sign stands close when it is the whole unit, as ISO 80000-1, 7.1.4 has it for plane angle.
std::string format_quantity(double value, int decimals, std::string_view unit, Sign sign = Sign::as_needed);

/// Whole degrees in three figures: "007°". North is "360°", as headings are spoken.
std::string format_heading(double degrees);

} // namespace chockside
