#pragma once
// Why it is thought so, and what would change it: plain facts with factors, for a screen, a sheet and the shop.

#include <core/isolate/isolate.h>

namespace chockside::isolate {

struct Factor {
    std::string evidence, check, outcome;
    std::optional<double> number;
    double times = 1;                   ///< by how much it multiplied the odds of the cause against the rest
};

/// An answer still to come that would put another remedy first.
struct Turn {
    std::string check, outcome;
    double chance = 0;                  ///< of that answer, as things stand
    std::string cause;                  ///< then the likeliest
    double p = 0;                       ///< then its remedy's
};

/// The two likeliest remedies that evidence so far parts worst.
struct Rivals {
    std::string first, second;          ///< causes
    double p_first = 0, p_second = 0;
    std::string check;                  ///< parts them best of those not answered; empty: none does
    double bits = 0;                    ///< of the one bit between the two, taken as equally likely, that it is expected to give
};

struct Explanation {
    std::string cause;                  ///< the likeliest
    double p = 0;                       ///< of its remedy
    std::vector<Factor> in_favour;      ///< strongest first, factors above 1.2
    std::vector<Factor> against;        ///< strongest first, factors below 1 / 1.2
    std::vector<PlaceLikelihood> along; ///< places in the order given, each with what is likely there
    std::vector<Turn> turns;            ///< likeliest first
    std::optional<Rivals> rivals;
    bool fits_nothing = false;
    double misfit = 0;
};

/// `places`: the harness in order; empty: as they stand in the model. At most `most` factors a side and as many turns.
/// `p`: the reasoner's, contributions in.
Explanation explain(const Reasoner&, const Posterior& p, std::span<const std::string> places, Presence now, std::size_t most = 6);

} // namespace chockside::isolate
