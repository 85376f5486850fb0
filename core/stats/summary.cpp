#include <core/stats/summary.h>

#include <core/stats/distributions.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace chockside::stats {
namespace {

bool is_confidence(double c) { return c > 0 && c < 1; }

Status all_finite(std::span<const double> values)
{
    for (std::size_t i = 0; i < values.size(); ++i)
        if (!std::isfinite(values[i])) return fail("not_finite", {}, {{"row", std::to_string(i + 1)}});
    return {};
}

/// Two-sided interval of a standard deviation: dof s^2 / sigma^2 is chi-squared distributed.
Interval scatter_bounds(double sd, int dof, double confidence)
{
    const double tail = (1 - confidence) / 2;
    return {sd * std::sqrt(dof / chi_squared_quantile(1 - tail, dof)), sd * std::sqrt(dof / chi_squared_quantile(tail, dof))};
}

double neighbour_correlation(const std::vector<double>& residuals)
{
    double own = 0, shifted = 0;
    for (std::size_t i = 0; i < residuals.size(); ++i) {
        own += residuals[i] * residuals[i];
        if (i > 0) shifted += residuals[i] * residuals[i - 1];
    }
    return own > 0 ? shifted / own : 0;
}

Status check_trend(std::span<const double> t, std::span<const double> y, double confidence)
{
    if (t.size() != y.size()) return fail("bad_shape");
    if (!is_confidence(confidence)) return fail("bad_confidence");
    if (t.size() < 3) return fail("too_few_rows", {}, {{"rows", std::to_string(t.size())}, {"needed", "3"}});
    if (auto ok = all_finite(t); !ok) return ok;
    return all_finite(y);
}

} // namespace

Result<Summary> summarise(std::span<const double> values)
{
    if (values.empty()) return fail("no_values");
    if (auto ok = all_finite(values); !ok) return Unexpected{ok.error()};
    Summary s{values.size(), 0, 0, values[0], values[0]};
    double squares = 0;
    for (std::size_t i = 0; i < values.size(); ++i) { // Welford: no cancellation for readings far from zero
        const double off = values[i] - s.mean;
        s.mean += off / static_cast<double>(i + 1);
        squares += off * (values[i] - s.mean);
        s.least = std::min(s.least, values[i]);
        s.greatest = std::max(s.greatest, values[i]);
    }
    if (values.size() > 1) s.sd = std::sqrt(squares / static_cast<double>(values.size() - 1));
    return s;
}

Result<Interval> mean_interval(std::span<const double> values, double confidence)
{
    if (!is_confidence(confidence)) return fail("bad_confidence");
    const auto s = summarise(values);
    if (!s) return Unexpected{s.error()};
    if (s->count < 2) return fail("too_few_rows", {}, {{"rows", "1"}, {"needed", "2"}});
    const double n = static_cast<double>(s->count);
    const double half = student_t_quantile(0.5 + confidence / 2, n - 1) * s->sd / std::sqrt(n);
    return Interval{s->mean - half, s->mean + half};
}

Result<Trend> fit_trend(std::span<const double> t, std::span<const double> y, double confidence)
{
    if (auto ok = check_trend(t, y, confidence); !ok) return Unexpected{ok.error()};
    const auto mean_t = summarise(t)->mean, mean_y = summarise(y)->mean;
    double tt = 0, ty = 0;
    for (std::size_t i = 0; i < t.size(); ++i) {
        tt += (t[i] - mean_t) * (t[i] - mean_t);
        ty += (t[i] - mean_t) * (y[i] - mean_y);
    }
    if (!(tt > 0)) return fail("rank_deficient", {}, {{"rank", "1"}, {"columns", "2"}});
    std::vector<double> residuals(t.size());
    double squares = 0;
    for (std::size_t i = 0; i < t.size(); ++i) {
        residuals[i] = (y[i] - mean_y) - ty / tt * (t[i] - mean_t);
        squares += residuals[i] * residuals[i];
    }
    Trend trend;
    trend.slope = ty / tt;
    trend.at_middle = mean_y;
    trend.degrees_of_freedom = static_cast<int>(t.size()) - 2;
    trend.scatter = std::sqrt(squares / trend.degrees_of_freedom);
    trend.slope_se = trend.scatter / std::sqrt(tt);
    const double half = student_t_quantile(0.5 + confidence / 2, trend.degrees_of_freedom) * trend.slope_se;
    trend.slope_interval = {trend.slope - half, trend.slope + half};
    trend.scatter_interval = scatter_bounds(trend.scatter, trend.degrees_of_freedom, confidence);
    trend.correlation = neighbour_correlation(residuals);
    return trend;
}

Settled judge_settled(const Trend& trend, double slope_most, double scatter_most)
{
    const auto& slope = trend.slope_interval;
    if (slope.lower > slope_most || slope.upper < -slope_most || trend.scatter_interval.lower > scatter_most) return Settled::no;
    const bool still = slope.lower >= -slope_most && slope.upper <= slope_most;
    return still && trend.scatter_interval.upper <= scatter_most ? Settled::yes : Settled::not_known;
}

} // namespace chockside::stats
