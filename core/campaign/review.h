#pragma once
// How far the likelihoods of a profile are from what the practice aircraft shows: a list to proofread the rows by, worst first.

#include <core/campaign/aid.h>

#include <map>
#include <string>
#include <tuple>
#include <vector>

namespace chockside::campaign {

/// What looks at one cause showed, in one state.
struct Tally {
    int looks = 0;
    std::vector<double> outcomes; ///< counts, in the order of the check
    std::vector<double> numbers;
};
using Records = std::map<std::tuple<std::string, std::string, isolate::Presence>, Tally>; ///< by check, cause, presence

/// Jobs of every cause of the book that the model knows, of the kinds that it belongs to in their shares; each check is done first, by
/// itself, by somebody who does not slip. This is what a shop's own records of such jobs would hold.
Records records(const Aid&, int jobs, std::uint64_t seed);

struct Doubt {
    std::string check, cause;
    isolate::Presence presence = isolate::Presence::unknown;
    int looks = 0;
    std::vector<double> seen, told;  ///< shares of the outcomes, in the order of the check; a number: mean and deviation of its standard score in the row
    double nats = 0;                 ///< what believing the row costs per look: relative entropy, or that of a normal of mean and deviation seen
};

/// Rows that cost at least `least` nats a look.
std::vector<Doubt> review(const Aid&, const Records&, double least);

} // namespace chockside::campaign
