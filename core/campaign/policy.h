#pragma once
// Ways to work through one job. The fixed ones were written down before the engine's way was run.
//
// All start alike: every check of the write-up and as found, in the printed order. All have one shift (480 minutes of own time, access and
// power changes) and 60 checks. All read answers with the same likelihoods and decide on a remedy at the profile's threshold; what differs:
//   printed_order   every check in the order of the profile; no gates; at the end of the shift it acts on the likeliest remedy
//   cheapest_first  the check that costs least now (own minutes, panel, power); no gates; at the end as above
//   swap_first      exchanges the units at once and pulls the one that the fault follows or that it vanishes with; else as printed_order
//   greedy          one step ahead: the check that tells most bits about the cause per minute; no gates; at the end as above
//   engine          up to two steps ahead; a gate that is missing is looked at before anything is said; at the end it releases with a watch
//                   and the work owed, or defers where the write-up is of misleading data

#include <core/campaign/aid.h>

namespace chockside::campaign {

enum class Policy { printed_order, cheapest_first, swap_first, greedy, engine, count };
const char* name_of(Policy);

struct Person {
    double wrong = 0.02;            ///< share of answers that are another than what was to be seen
    int people = 3;
};

enum class Act { pull_unit, pull_sensor, repair, watch, defer };

struct Ending {
    Act act = Act::watch;
    std::string cause_class, cause;  ///< of the likeliest remedy
    double p = 0;                    ///< its probability as told
    double minutes = 0;
    int checks = 0;
    bool fits_nothing = false;
    bool isolated = false;           ///< decided at the threshold, not at the end of the shift
    std::vector<isolate::RemedyLikelihood> likely; ///< the five likeliest acts at the end
    std::vector<isolate::Evidence> evidence;
    // against the truth
    bool class_right = false, remedy_right = false, wrong_removal = false, missed_misleading = false;
};

/// Codes: unknown_complaint, and those of isolate::Reasoner.
Result<Ending> work(const Job&, const Aid&, Policy, const Person&, std::uint64_t seed);

} // namespace chockside::campaign
