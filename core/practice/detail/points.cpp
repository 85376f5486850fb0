#include <core/practice/detail/points.h>

#include <core/practice/detail/names.h>

namespace chockside::practice::detail {

std::vector<Pin> pins_in(std::string_view points)
{
    std::vector<Pin> pins;
    for (const std::string& word : words_of(points)) {
        const std::size_t dash = word.find('-');
        if (dash == std::string::npos) continue;
        const auto plug = place_of(word.substr(0, dash));
        if (plug && is_plug(*plug)) pins.push_back({*plug, word.substr(dash + 1)});
    }
    return pins;
}

bool names_structure(std::string_view points)
{
    return contains_name(points, "structure") || contains_name(points, "ground") || contains_name(points, "airframe");
}

std::optional<Circuit> circuit_of_pin(const Pin& pin)
{
    const int first = pin.plug == j1 ? 7 : 1;
    for (int n = 0; n < 6; ++n)
        if (pin.name == std::to_string(first + n)) return static_cast<Circuit>(n / 2);
    return std::nullopt;
}

} // namespace chockside::practice::detail
