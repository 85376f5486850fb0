#include <core/stats/distributions.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace chockside::stats {
namespace {

constexpr double nan_value = std::numeric_limits<double>::quiet_NaN();
constexpr double tiny = 1e-300;
constexpr double step_end = 1e-16;
constexpr int most_terms = 20000;

/// x^a e^-x / gamma(a), DLMF 8.2; near x = a through the deviance, where the plain logarithms cancel.
double gamma_weight(double a, double x)
{
    if (a < 30) return std::exp(a * std::log(x) - x - log_gamma(a));
    const double u = (x - a) / a;
    const double deviance = std::fabs(u) < 0.5 ? std::log1p(u) - u : std::log(x / a) - u;
    const double stirling = 1 / (12 * a) - 1 / (360 * a * a * a) + 1 / (1260 * std::pow(a, 5)) - 1 / (1680 * std::pow(a, 7));
    return std::exp(a * deviance - stirling) * std::sqrt(a / (2 * std::numbers::pi));
}

/// DLMF 8.7.1 as a series of falling terms, for x < a + 1.
double gamma_series(double a, double x)
{
    double term = 1 / a, sum = term;
    for (int n = 1; n < most_terms && term > sum * step_end; ++n) {
        term *= x / (a + n);
        sum += term;
    }
    return sum;
}

/// DLMF 8.9.2, even part, by Lentz's recurrence, for x >= a + 1.
double gamma_fraction(double a, double x)
{
    double b = x + 1 - a, c = 1 / tiny, d = 1 / b, f = d;
    for (int n = 1; n < most_terms; ++n) {
        const double an = -n * (n - a);
        b += 2;
        d = 1 / std::copysign(std::max(std::fabs(an * d + b), tiny), an * d + b);
        c = b + an / c;
        f *= c * d;
        if (std::fabs(c * d - 1) < 4 * step_end) break;
    }
    return f;
}

/// DLMF 8.17.22 by Lentz's recurrence; converges fast for x < (a + 1) / (a + b + 2).
double beta_fraction(double x, double a, double b)
{
    auto kept = [](double v) { return std::fabs(v) < tiny ? tiny : v; };
    double c = 1, d = 1 / kept(1 - (a + b) * x / (a + 1)), f = d;
    for (int m = 1; m < most_terms; ++m) {
        const double even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
        const double odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
        double turn = 1;
        for (const double an : {even, odd}) {
            d = 1 / kept(1 + an * d);
            c = kept(1 + an / c);
            turn = c * d;
            f *= turn;
        }
        if (std::fabs(turn - 1) < 4 * step_end) break;
    }
    return f;
}

double log_beta(double a, double b) { return log_gamma(a) + log_gamma(b) - log_gamma(a + b); }

double beta_lower(double x, double a, double b)
{
    return std::exp(a * std::log(x) + b * std::log1p(-x) - log_beta(a, b)) * beta_fraction(x, a, b) / a;
}

} // namespace

// Stirling's series (DLMF 5.11.1) from 15 up, where seven terms leave less than 1e-16; smaller x are lifted by the recurrence 5.5.1.
double log_gamma(double x)
{
    if (!(x > 0)) return nan_value;
    double product = 1;
    for (; x < 15; x += 1) product *= x;
    const double r = 1 / (x * x);
    const double series = (1.0 / 12 - r * (1.0 / 360 - r * (1.0 / 1260 - r * (1.0 / 1680 - r * (1.0 / 1188 - r * (691.0 / 360360 - r / 156)))))) / x;
    return (x - 0.5) * std::log(x) - x + 0.5 * std::log(2 * std::numbers::pi) + series - std::log(product);
}

double gamma_p(double a, double x)
{
    if (!(a > 0) || !(x >= 0)) return nan_value;
    if (x == 0) return 0;
    if (std::isinf(x)) return 1;
    return x < a + 1 ? gamma_weight(a, x) * gamma_series(a, x) : 1 - gamma_weight(a, x) * gamma_fraction(a, x);
}

double gamma_q(double a, double x)
{
    if (!(a > 0) || !(x >= 0)) return nan_value;
    if (x == 0) return 1;
    if (std::isinf(x)) return 0;
    return x < a + 1 ? 1 - gamma_weight(a, x) * gamma_series(a, x) : gamma_weight(a, x) * gamma_fraction(a, x);
}

double beta_i(double x, double a, double b)
{
    if (!(a > 0) || !(b > 0) || !(x >= 0) || !(x <= 1)) return nan_value;
    if (x == 0 || x == 1) return x;
    return x < (a + 1) / (a + b + 2) ? beta_lower(x, a, b) : 1 - beta_lower(1 - x, b, a);
}

} // namespace chockside::stats
