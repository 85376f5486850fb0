#include <core/practice/controls.h>

#include <core/practice/detail/names.h>

namespace chockside::practice {

std::optional<Place> place_of(std::string_view name)
{
    for (const std::string& word : detail::words_of(name))
        for (std::size_t i = 0; i < place_count; ++i)
            if (detail::same_name(word, place_labels[i])) return static_cast<Place>(i);
    return std::nullopt;
}

std::optional<Breaker> breaker_of(std::string_view label)
{
    for (std::size_t i = 0; i < breaker_count; ++i)
        if (detail::same_name(label, breaker_labels[i])) return static_cast<Breaker>(i);
    return std::nullopt;
}

bool is_plug(Place place)
{
    return place == p9 || place == d3 || place == j1;
}

} // namespace chockside::practice
