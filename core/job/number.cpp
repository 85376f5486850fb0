#include <core/job/number.h>

#include <core/units/decimal.h>

#include <array>
#include <charconv>

namespace chockside::job {

std::optional<double> number_of(const std::string& text)
{
    const auto number = read_decimal(text);
    if (!number) return std::nullopt;
    return number->to_double();
}

std::string fixed_text(double value, int decimals)
{
    std::array<char, 400> room; // the largest double has 309 figures before the point
    const auto end = std::to_chars(room.data(), room.data() + room.size(), value, std::chars_format::fixed, decimals);
    return {room.data(), end.ptr};
}

} // namespace chockside::job
