#pragma once
// What counts say: rates of rare events, shares, and whether events keep to one place. All exact, none by normal approximation.

#include <core/base/result.h>
#include <core/stats/summary.h>

#include <cstdint>
#include <span>

namespace chockside::stats {

/// Upper bound of the rate of events (per unit of `exposure`), one-sided: after no events in t it is -ln(1 - confidence) / t.
/// Codes: bad_count (events < 0), bad_exposure (<= 0 or not finite), bad_confidence.
Result<double> rate_upper_bound(int events, double exposure, double confidence);
/// Two-sided (Garwood, Biometrika 28 (1936) 437). Codes as above.
Result<Interval> rate_interval(int events, double exposure, double confidence);
/// How long without an event shows, at `confidence`, that the rate is below `rate`. Codes: bad_rate, bad_confidence.
Result<double> quiet_time_needed(double rate, double confidence);
/// Two-sided interval of a share (Clopper and Pearson, Biometrika 26 (1934) 404). Codes: bad_count, bad_confidence.
Result<Interval> share_interval(int successes, int trials, double confidence);

/// Four-fold table a b / c d.
struct FisherP {
    double less = 1, greater = 1, two_sided = 1;
};
/// Fisher's exact test; `greater`: chance of a as large or larger given the margins, `two_sided`: of any table no likelier than this.
/// Codes: bad_count (one negative, or the sum beyond 1e6).
Result<FisherP> fisher_exact(int a, int b, int c, int d);

/// Whether events fell in marked time more often than chance: n events, k of them marked, marked share of the time. P(K >= k).
/// Codes: bad_count, bad_share (outside 0 .. 1).
Result<double> marked_time_p(int events, int marked, double share);

struct PermutationP {
    double p = 1;         ///< one-sided: the mean of a exceeds the mean of b by as much or more
    double se = 0;        ///< of p where drawn; 0 where exact
    bool exact = false;
    std::int64_t arrangements = 0;
};
/// Permutation test of two samples: every arrangement while there are at most 100 000, else `draws` from a seeded generator with the
/// (hits + 1) / (draws + 1) estimate. Codes: too_few_rows (an empty sample), not_finite.
Result<PermutationP> permutation_test(std::span<const double> a, std::span<const double> b, std::uint64_t seed, int draws = 20000);

} // namespace chockside::stats
