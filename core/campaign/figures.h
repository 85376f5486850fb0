#pragma once
// A campaign and its figures.

#include <core/campaign/policy.h>
#include <core/stats/summary.h>

#include <array>
#include <functional>

namespace chockside::campaign {

struct Share {
    int of = 0, all = 0;
    void count(bool yes) { ++all, of += yes; }
    double value() const { return all ? static_cast<double>(of) / all : 0; }
};
/// At 95 %, exact (stats::share_interval); 0 .. 1 where nothing was counted.
stats::Interval interval(const Share&);

struct OfKind {
    Share class_right, remedy_right, wrong_removals, missed_misleading, fits_nothing, watched;
    std::vector<double> minutes;
    double minutes_median() const; ///< 0 where there are none
};

struct OfPolicy {
    OfKind all, showing;                                                   ///< showing: hard, intermittent, after work, two causes
    std::array<OfKind, static_cast<std::size_t>(Kind::count)> kinds;
    std::map<std::string, OfKind> causes;                                  ///< by the first cause
    std::array<Share, 10> bins;                                            ///< remedy right, by tenth of the probability told
    std::array<double, 10> told{};                                         ///< sum of probabilities in the bin
    double calibration_error() const;                                      ///< expected: |right - told| weighed by the bin's count
};

struct Plan {
    int jobs = 500;
    std::uint64_t seed = 1;
    double wrong = 0.02;
    std::vector<Policy> policies = {Policy::printed_order, Policy::cheapest_first, Policy::swap_first, Policy::greedy, Policy::engine};
};

struct Figures {
    std::map<Policy, OfPolicy> of;
    int without_model = 0; ///< jobs whose kind of complaint the profile does not know; not counted elsewhere
};

/// Called after every job of every policy.
using Told = std::function<void(const Job&, Policy, const Ending&)>;

/// Deterministic under the plan. Codes: as work(); an unknown complaint is counted, not an error.
Result<Figures> run(const Plan&, const Aid&, const Told& told = {});

} // namespace chockside::campaign
