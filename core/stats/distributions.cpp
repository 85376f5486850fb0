#include <core/stats/distributions.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace chockside::stats {
namespace {

constexpr double nan_value = std::numeric_limits<double>::quiet_NaN();
constexpr double infinity = std::numeric_limits<double>::infinity();

bool is_chance(double p) { return p > 0 && p < 1; }

/// Root of a rising function between low and high (high may be infinite) by bisection on the numbers' own spacing.
template <class Rising>
double solve(double low, double high, Rising rising)
{
    if (std::isinf(high))
        for (high = std::max(1.0, 2 * low); rising(high) < 0 && high < 1e300; high *= 2) low = high;
    for (int i = 0; i < 1200; ++i) {
        // Far apart, halve the logarithm: quantiles near 0 keep their relative accuracy.
        const double middle = low > 0 && high > 4 * low ? std::sqrt(low) * std::sqrt(high) : low + (high - low) / 2;
        if (middle <= low || middle >= high) break;
        (rising(middle) < 0 ? low : high) = middle;
    }
    return high;
}

/// P(T > t) for t >= 0, accurate in the tail: I of dof / (dof + t^2), DLMF 8.17 with a = dof/2, b = 1/2.
double student_tail(double t, double dof)
{
    const double t2 = t * t;
    if (t2 < dof) return 0.5 - 0.5 * beta_i(t2 / (dof + t2), 0.5, dof / 2);
    return 0.5 * beta_i(dof / (dof + t2), dof / 2, 0.5);
}

} // namespace

double normal_cdf(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

double normal_quantile(double p)
{
    if (!is_chance(p)) return nan_value;
    if (p > 0.5) return -normal_quantile(1 - p);
    return -solve(0, 40, [p](double z) { return p - normal_cdf(-z); });
}

double student_t_cdf(double t, double dof)
{
    if (!(dof > 0) || std::isnan(t)) return nan_value;
    if (std::isinf(t)) return t > 0 ? 1 : 0;
    return t > 0 ? 1 - student_tail(t, dof) : student_tail(-t, dof);
}

double student_t_quantile(double p, double dof)
{
    if (!is_chance(p) || !(dof > 0)) return nan_value;
    if (p == 0.5) return 0;
    if (p < 0.5) return -student_t_quantile(1 - p, dof);
    const double tail = 1 - p;
    return solve(0, infinity, [tail, dof](double t) { return tail - student_tail(t, dof); });
}

double chi_squared_cdf(double x, double dof) { return x <= 0 ? 0 : gamma_p(dof / 2, x / 2); }

double chi_squared_quantile(double p, double dof) { return 2 * gamma_quantile(p, dof / 2); }

double gamma_quantile(double p, double a)
{
    if (!is_chance(p) || !(a > 0)) return nan_value;
    if (p < 0.5) return solve(0, infinity, [p, a](double x) { return gamma_p(a, x) - p; });
    return solve(0, infinity, [p, a](double x) { return (1 - p) - gamma_q(a, x); });
}

double beta_quantile(double p, double a, double b)
{
    if (!is_chance(p) || !(a > 0) || !(b > 0)) return nan_value;
    return solve(0, 1, [p, a, b](double x) { return beta_i(x, a, b) - p; });
}

double f_cdf(double f, double dof_above, double dof_below)
{
    if (f <= 0) return 0;
    const double whole = dof_below + dof_above * f, below = dof_below / whole;
    return below > 0.5 ? beta_i(dof_above * f / whole, dof_above / 2, dof_below / 2) : 1 - beta_i(below, dof_below / 2, dof_above / 2);
}

double f_quantile(double p, double dof_above, double dof_below)
{
    if (!is_chance(p) || !(dof_above > 0) || !(dof_below > 0)) return nan_value;
    // f = (d2 / d1) (1 - y) / y with y beta distributed: the upper tail of f is the lower tail of y, which bisection keeps accurate.
    const double y = solve(0, 1, [=](double v) { return beta_i(v, dof_below / 2, dof_above / 2) - (1 - p); });
    if (y < 0.999) return dof_below / dof_above * (1 - y) / y;
    const double x = beta_quantile(p, dof_above / 2, dof_below / 2);
    return dof_below / dof_above * x / (1 - x);
}

double binomial_cdf(int k, int n, double p)
{
    if (n < 0 || !(p >= 0) || !(p <= 1)) return nan_value;
    if (k < 0) return 0;
    if (k >= n) return 1;
    return beta_i(1 - p, n - k, k + 1.0); // DLMF 8.17.5
}

int binomial_quantile(double q, int n, double p)
{
    int low = -1, high = n; // cdf(low) < q <= cdf(high)
    while (high - low > 1) {
        const int middle = low + (high - low) / 2;
        (binomial_cdf(middle, n, p) >= q ? high : low) = middle;
    }
    return high;
}

double poisson_cdf(int k, double mean)
{
    if (!(mean >= 0)) return nan_value;
    return k < 0 ? 0 : gamma_q(k + 1.0, mean);
}

} // namespace chockside::stats
