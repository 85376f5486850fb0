#include <core/stats/robust.h>

#include <core/stats/detail/checks.h>
#include <core/stats/summary.h>

#include <algorithm>
#include <cmath>

namespace chockside::stats {
namespace {

constexpr double tuning = 4.685;
constexpr double step_end = 1.4901161193847656e-08; // square root of the double spacing
constexpr int most_iterations = 100;
constexpr double normal_mad = 0.6745; // median of |z|, as the published statistic rounds it

double bisquare_weight(double u) { return std::fabs(u) < 1 ? (1 - u * u) * (1 - u * u) : 0; }
double psi(double u) { return u * bisquare_weight(u); }
double psi_slope(double u) { return std::fabs(u) < 1 ? (1 - u * u) * (1 - 5 * u * u) : 0; }

/// Scale from the median of the n - p + 1 largest sizes: p residuals may be zero only because the curve passes through them.
double median_scale(std::vector<double> sizes, std::size_t columns)
{
    for (auto& s : sizes) s = std::fabs(s);
    const std::size_t first = columns - 1, count = sizes.size() - first, middle = first + count / 2;
    std::nth_element(sizes.begin(), sizes.begin() + static_cast<std::ptrdiff_t>(middle), sizes.end());
    double median = sizes[middle];
    if (count % 2 == 0) median = (median + *std::max_element(sizes.begin(), sizes.begin() + static_cast<std::ptrdiff_t>(middle))) / 2;
    return median / normal_mad;
}

std::vector<double> leverage_factors(const std::vector<double>& leverage)
{
    std::vector<double> factors;
    for (const double h : leverage) factors.push_back(1 / std::sqrt(1 - std::min(h, 0.9999)));
    return factors;
}

std::vector<double> adjusted(const std::vector<double>& residuals, const std::vector<double>& factors)
{
    std::vector<double> out(residuals.size());
    std::transform(residuals.begin(), residuals.end(), factors.begin(), out.begin(), std::multiplies<>());
    return out;
}

bool is_near(const std::vector<double>& a, const std::vector<double>& b)
{
    for (std::size_t k = 0; k < a.size(); ++k)
        if (std::fabs(a[k] - b[k]) > step_end * std::max(std::fabs(a[k]), std::fabs(b[k]))) return false;
    return true;
}

/// Street, Carroll and Ruppert (1988): standard deviation of pseudo-values, with Huber's small-sample factor.
double robust_sigma(const std::vector<double>& residuals, const std::vector<double>& factors, double scale, std::size_t columns)
{
    const double n = static_cast<double>(residuals.size()), p = static_cast<double>(columns);
    double squares = 0, slope = 0;
    for (std::size_t i = 0; i < residuals.size(); ++i) {
        const double u = residuals[i] * factors[i] / (tuning * scale);
        squares += psi(u) * psi(u) / (factors[i] * factors[i]); // times 1 - leverage
        slope += psi_slope(u) / n;
    }
    const double factor = 1 + p / n * (1 - slope) / slope;
    return factor * std::sqrt(squares / (n - p)) * tuning * scale / slope;
}

double mixed_sigma(double plain, double robust, double rows, double columns)
{
    return std::max(robust, std::sqrt((plain * plain * columns * columns + robust * robust * rows) / (columns * columns + rows)));
}

/// Coefficients alone: the quick way where the weighted columns stay independent, else QR.
Status solve(const Design& design, std::span<const double> y, const std::vector<double>& weights, std::vector<double>& b)
{
    if (detail::solve_small_weighted(design, y, weights, b)) return {};
    auto full = fit_linear(design, y, weights);
    if (!full) return Unexpected{full.error()};
    b = std::move(full->coefficients);
    return {};
}

void put_residuals(std::vector<double>& r, const Design& design, std::span<const double> y, const std::vector<double>& b)
{
    const double* row = design.values.data();
    for (std::size_t i = 0; i < design.rows; ++i, row += design.columns) {
        r[i] = y[i];
        for (std::size_t k = 0; k < design.columns; ++k) r[i] -= row[k] * b[k];
    }
}

} // namespace

Result<RobustFit> fit_bisquare(const Design& design, std::span<const double> y)
{
    auto plain = fit_linear(design, y);
    if (!plain) return Unexpected{plain.error()};
    RobustFit robust{std::move(*plain), std::vector<double>(design.rows, 1.0), 0, false};
    if (robust.fit.degrees_of_freedom < 1) return robust;
    const LinearFit first = robust.fit;
    const auto factors = leverage_factors(first.leverage);
    const double spread = summarise(y)->sd, least_scale = spread > 0 ? 1e-6 * spread : 1.0;
    std::vector<double> before(design.columns);
    while (!robust.converged && robust.iterations++ < most_iterations) {
        const auto r = adjusted(robust.fit.residuals, factors);
        const double scale = std::max(median_scale(r, design.columns), least_scale);
        for (std::size_t i = 0; i < r.size(); ++i) robust.weights[i] = bisquare_weight(r[i] / (tuning * scale));
        before.swap(robust.fit.coefficients);
        if (auto ok = solve(design, y, robust.weights, robust.fit.coefficients); !ok) return Unexpected{ok.error()};
        robust.converged = is_near(robust.fit.coefficients, before);
        put_residuals(robust.fit.residuals, design, y, robust.fit.coefficients);
    }
    const double scale = std::max(median_scale(robust.fit.residuals, design.columns), least_scale);
    const double sigma = robust_sigma(robust.fit.residuals, factors, scale, design.columns);
    robust.fit.sigma = mixed_sigma(first.sigma, sigma, static_cast<double>(design.rows), static_cast<double>(design.columns));
    robust.fit.residual_sum_of_squares = 0;
    for (std::size_t i = 0; i < design.rows; ++i)
        robust.fit.residual_sum_of_squares += robust.weights[i] * robust.fit.residuals[i] * robust.fit.residuals[i];
    robust.fit.covariance = first.unit_covariance;
    for (auto& c : robust.fit.covariance) c *= robust.fit.sigma * robust.fit.sigma;
    return robust;
}

} // namespace chockside::stats
