#include <core/units/format.h>

#include <core/units/angle.h>
#include <core/units/decimal.h>

#include <cmath>

namespace chockside {
namespace {

constexpr const char* true_minus = "\xE2\x88\x92";
constexpr const char* en_dash = "\xE2\x80\x93";
constexpr const char* no_break_space = "\xC2\xA0";
constexpr std::string_view degree_sign = "\xC2\xB0";

} // namespace

std::string format_number(double value, int decimals, Sign sign)
{
    const auto number = decimal_from(value, decimals);
    if (!number) return en_dash;
    if (number->units < 0) return true_minus + write_decimal({-number->units, number->scale});
    return (sign == Sign::always && number->units > 0 ? "+" : "") + write_decimal(*number);
}

std::string format_quantity(double value, int decimals, std::string_view unit, Sign sign)
{
    std::string text = format_number(value, decimals, sign);
    if (unit.empty()) return text;
    if (unit != degree_sign) text += no_break_space;
    return text.append(unit);
}

std::string format_heading(double degrees)
{
    if (!std::isfinite(degrees)) return en_dash;
    const int whole = static_cast<int>(std::lround(wrap_360(degrees)));
    std::string figures = std::to_string(whole == 0 ? 360 : whole);
    figures.insert(0, 3 - figures.size(), '0');
    return figures.append(degree_sign);
}

} // namespace chockside
