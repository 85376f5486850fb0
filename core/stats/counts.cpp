#include <core/stats/counts.h>

#include <core/stats/distributions.h>

#include <algorithm>
#include <cmath>

namespace chockside::stats {
namespace {

bool is_confidence(double c) { return c > 0 && c < 1; }

Status check_rate(int events, double exposure, double confidence)
{
    if (events < 0) return fail("bad_count");
    if (!(exposure > 0) || std::isinf(exposure)) return fail("bad_exposure");
    return is_confidence(confidence) ? Status{} : Status{fail("bad_confidence")};
}

double log_choose(int n, int k) { return log_gamma(n + 1.0) - log_gamma(k + 1.0) - log_gamma(n - k + 1.0); }

} // namespace

Result<double> rate_upper_bound(int events, double exposure, double confidence)
{
    if (auto ok = check_rate(events, exposure, confidence); !ok) return Unexpected{ok.error()};
    return gamma_quantile(confidence, events + 1.0) / exposure;
}

Result<Interval> rate_interval(int events, double exposure, double confidence)
{
    if (auto ok = check_rate(events, exposure, confidence); !ok) return Unexpected{ok.error()};
    const double tail = (1 - confidence) / 2;
    const double lower = events == 0 ? 0 : gamma_quantile(tail, events) / exposure;
    return Interval{lower, gamma_quantile(1 - tail, events + 1.0) / exposure};
}

Result<double> quiet_time_needed(double rate, double confidence)
{
    if (!(rate > 0) || std::isinf(rate)) return fail("bad_rate");
    if (!is_confidence(confidence)) return fail("bad_confidence");
    return -std::log1p(-confidence) / rate;
}

Result<Interval> share_interval(int successes, int trials, double confidence)
{
    if (successes < 0 || trials < 1 || successes > trials) return fail("bad_count");
    if (!is_confidence(confidence)) return fail("bad_confidence");
    const double tail = (1 - confidence) / 2, k = successes, n = trials;
    return Interval{successes == 0 ? 0 : beta_quantile(tail, k, n - k + 1), successes == trials ? 1 : beta_quantile(1 - tail, k + 1, n - k)};
}

Result<FisherP> fisher_exact(int a, int b, int c, int d)
{
    if (std::min({a, b, c, d}) < 0 || double(a) + b + c + d > 1e6) return fail("bad_count");
    const int row = a + b, column = a + c, all = a + b + c + d;
    auto chance = [&](int k) { return std::exp(log_choose(row, k) + log_choose(all - row, column - k) - log_choose(all, column)); };
    const double own = chance(a);
    FisherP p{0, 0, 0};
    for (int k = std::max(0, row + column - all); k <= std::min(row, column); ++k) {
        const double q = chance(k);
        if (k <= a) p.less += q;
        if (k >= a) p.greater += q;
        if (q <= own * (1 + 1e-7)) p.two_sided += q; // ties differ by rounding
    }
    return FisherP{std::min(p.less, 1.0), std::min(p.greater, 1.0), std::min(p.two_sided, 1.0)};
}

Result<double> marked_time_p(int events, int marked, double share)
{
    if (marked < 0 || marked > events) return fail("bad_count");
    if (!(share >= 0) || !(share <= 1)) return fail("bad_share");
    if (marked == 0) return 1.0;
    return beta_i(share, marked, events - marked + 1.0); // DLMF 8.17.5, upper tail
}

} // namespace chockside::stats
