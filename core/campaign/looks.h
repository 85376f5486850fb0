#pragma once
// What a person sees who does one check: only the physical state is looked at, through meters, words and eyes, and put into the words of
// the check as a person would, by limits as a manual prints them.

#include <core/campaign/faults.h>

#include <cmath>
#include <optional>
#include <string>

namespace chockside::campaign {

struct Seen {
    std::string outcome;             ///< empty where `number` stands
    std::optional<double> number;    ///< in the unit of the check
};

/// One check being done: the aircraft (which it may disturb), chance, and who looks.
struct Scene {
    Job& job;
    SeededRandom& chance;

    const Truth& now() const { return job.now; }
    const Truth& then() const { return job.then; }
    bool happens(double per_hour, double minutes) { return per_hour >= always || chance.uniform() < 1 - std::exp(-per_hour * minutes / 60); }
    int count(double per_hour, double minutes); ///< Poisson; 20 at most
};

using Look = Seen (*)(Scene&);
/// Nothing where no such check is known.
Look find_look(const std::string& check);

namespace detail {
struct NamedLook {
    const char* check;
    Look look;
};
Look told(const std::string& check);
Look cockpit(const std::string& check);
Look bay(const std::string& check);
Look bench(const std::string& check);
Look pressure(const std::string& check);
template <std::size_t N>
Look in(const NamedLook (&table)[N], const std::string& check)
{
    for (const NamedLook& l : table)
        if (check == l.check) return l.look;
    return nullptr;
}
} // namespace detail

/// Whether the trouble shows at this moment to somebody who sits in the cockpit.
bool showing_now(Scene&);

} // namespace chockside::campaign
