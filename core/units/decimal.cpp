#include <core/units/decimal.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace chockside {
namespace {

constexpr int most_figures = 15;
constexpr std::string_view true_minus = "\xE2\x88\x92";

Unexpected<Problem> refuse(const char* code, std::string_view text) { return fail(code, {}, {{"text", std::string(text)}}); }

bool take(std::string_view& text, std::string_view prefix)
{
    if (!text.starts_with(prefix)) return false;
    text.remove_prefix(prefix.size());
    return true;
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }

std::int64_t power_of_ten(int n)
{
    std::int64_t p = 1;
    while (n-- > 0) p *= 10;
    return p;
}

/// Digits with at most one point that has digits on both sides; no sign.
Result<Decimal> read_unsigned(std::string_view digits, std::string_view whole)
{
    Decimal number;
    int figures = 0;
    bool point = false;
    for (std::size_t i = 0; i < digits.size(); ++i) {
        if (digits[i] == '.' && !point && i > 0 && i + 1 < digits.size()) {
            point = true;
            continue;
        }
        if (!is_digit(digits[i])) return refuse("decimal_syntax", whole);
        if (figures > 0 || digits[i] != '0') ++figures;
        number.scale += point;
        if (figures > most_figures || number.scale > most_figures) return refuse("decimal_range", whole);
        number.units = number.units * 10 + (digits[i] - '0');
    }
    return number;
}

/// Shortest decimal text of a finite double without exponent, rounded to `scale` places on that text.
std::string rounded_digits(double magnitude, int scale)
{
    std::array<char, 400> room;
    const auto end = std::to_chars(room.data(), room.data() + room.size(), magnitude, std::chars_format::fixed);
    std::string text(room.data(), end.ptr);
    const auto point = text.find('.');
    std::string whole = text.substr(0, point), part = point == std::string::npos ? "" : text.substr(point + 1);
    part.resize(std::max(part.size(), static_cast<std::size_t>(scale) + 1), '0');
    const bool up = part[static_cast<std::size_t>(scale)] >= '5';
    std::string digits = "0" + whole + part.substr(0, static_cast<std::size_t>(scale));
    for (std::size_t i = digits.size(); up && i-- > 0;) {
        if (digits[i] != '9') {
            ++digits[i];
            break;
        }
        digits[i] = '0';
    }
    return digits;
}

} // namespace

double Decimal::to_double() const
{
    return static_cast<double>(units) / static_cast<double>(power_of_ten(scale)); // both exact: one rounding
}

Result<Decimal> read_decimal(std::string_view text)
{
    std::string_view digits = text;
    const bool negative = take(digits, "-") || take(digits, true_minus);
    if (!negative) take(digits, "+");
    if (digits.empty()) return refuse("decimal_empty", text);
    if (digits.find(',') != std::string_view::npos) return refuse("decimal_comma", text);
    auto number = read_unsigned(digits, text);
    if (number && negative) number->units = -number->units;
    return number;
}

std::string write_decimal(const Decimal& number)
{
    std::string digits = std::to_string(number.units < 0 ? -number.units : number.units);
    const auto scale = static_cast<std::size_t>(number.scale);
    if (digits.size() <= scale) digits.insert(0, scale + 1 - digits.size(), '0');
    if (scale > 0) digits.insert(digits.size() - scale, 1, '.');
    return number.units < 0 ? "-" + digits : digits;
}

Result<Decimal> decimal_from(double value, int scale)
{
    if (!std::isfinite(value) || scale < 0 || scale > most_figures || std::fabs(value) >= 1e15) return fail("decimal_range");
    const std::string digits = rounded_digits(std::fabs(value), scale);
    const auto first = digits.find_first_not_of('0');
    if (first == std::string::npos) return Decimal{0, scale};
    if (digits.size() - first > most_figures) return fail("decimal_range");
    std::int64_t units = 0;
    std::from_chars(digits.data() + first, digits.data() + digits.size(), units);
    return Decimal{value < 0 ? -units : units, scale};
}

std::string decimal_text(double value, int scale)
{
    const auto number = decimal_from(value, scale);
    return number ? write_decimal(*number) : std::string();
}

std::string fixed_text(double value, int places)
{
    std::array<char, 400> room; // 309 figures, the point, 15 more and a sign
    const auto end = std::to_chars(room.data(), room.data() + room.size(), value, std::chars_format::fixed, std::clamp(places, 0, most_figures));
    return {room.data(), end.ptr};
}

int compare(const Decimal& a, const Decimal& b)
{
    // 15 figures shifted by up to 15 places do not fit 64 bits; whole parts first, then parts of one scale.
    const std::int64_t pa = power_of_ten(a.scale), pb = power_of_ten(b.scale);
    const std::int64_t wa = a.units / pa, wb = b.units / pb;
    if (wa != wb) return wa < wb ? -1 : 1;
    const int scale = std::max(a.scale, b.scale);
    const std::int64_t ra = a.units % pa * power_of_ten(scale - a.scale), rb = b.units % pb * power_of_ten(scale - b.scale);
    return ra == rb ? 0 : (ra < rb ? -1 : 1);
}

} // namespace chockside
