#include <core/job/number.h>

namespace chockside::job {

std::optional<double> number_of(const std::string& text)
{
    const auto number = read_decimal(text);
    if (!number) return std::nullopt;
    return number->to_double();
}

} // namespace chockside::job
