// The fast way for small, well-conditioned designs: scaled normal equations by Cholesky, everything on the stack.

#include <core/stats/least_squares.h>

#include <core/stats/detail/checks.h>

#include <array>
#include <cmath>
#include <optional>

namespace chockside::stats {
namespace {

constexpr double least_pivot = 0.05; // 1 - R^2 of a column on those before it: the error stays below 1e-12

template <std::size_t p>
struct Normal {
    std::array<std::array<double, p>, p> cross{}; ///< lower half of X' X
    std::array<double, p> right{};                ///< X' y
};

template <std::size_t p>
Normal<p> accumulate(const double* row, std::span<const double> y, const double* weights = nullptr)
{
    Normal<p> sums;
    for (std::size_t i = 0; i < y.size(); ++i, row += p)
        for (std::size_t a = 0; a < p; ++a) {
            const double weighted = weights ? weights[i] * row[a] : row[a];
            for (std::size_t b = 0; b <= a; ++b) sums.cross[a][b] += weighted * row[b];
            sums.right[a] += weighted * y[i];
        }
    return sums;
}

/// Cholesky factor L of the cross products in place; false where a pivot, relative to its column, is too small.
template <std::size_t p>
bool factorise(std::array<std::array<double, p>, p>& m)
{
    for (std::size_t a = 0; a < p; ++a) {
        const double whole = m[a][a];
        for (std::size_t b = 0; b <= a; ++b) {
            double rest = m[a][b];
            for (std::size_t k = 0; k < b; ++k) rest -= m[a][k] * m[b][k];
            if (b < a) {
                m[a][b] = rest / m[b][b];
                continue;
            }
            if (!(rest > least_pivot * whole)) return false;
            m[a][a] = std::sqrt(rest);
        }
    }
    return true;
}

/// Inverse of a lower triangle.
template <std::size_t p>
std::array<std::array<double, p>, p> invert(const std::array<std::array<double, p>, p>& l)
{
    std::array<std::array<double, p>, p> v{};
    for (std::size_t b = 0; b < p; ++b) {
        v[b][b] = 1 / l[b][b];
        for (std::size_t a = b + 1; a < p; ++a) {
            double rest = 0;
            for (std::size_t k = b; k < a; ++k) rest -= l[a][k] * v[k][b];
            v[a][b] = rest / l[a][a];
        }
    }
    return v;
}

template <std::size_t p>
double sum_of_squares(const double* row, std::span<const double> y, const std::vector<double>& b)
{
    double sum = 0;
    for (std::size_t i = 0; i < y.size(); ++i, row += p) {
        double rest = y[i];
        for (std::size_t k = 0; k < p; ++k) rest -= row[k] * b[k];
        sum += rest * rest;
    }
    return sum;
}

template <std::size_t p>
std::optional<PlainFit> solve_normal(const double* design, std::span<const double> y)
{
    Normal<p> sums = accumulate<p>(design, y);
    if (!factorise<p>(sums.cross)) return {};
    const auto v = invert<p>(sums.cross);
    PlainFit fit{std::vector<double>(p), std::vector<double>(p * p), 0, static_cast<int>(y.size() - p)};
    for (std::size_t a = 0; a < p; ++a)
        for (std::size_t b = 0; b <= a; ++b) {
            double c = 0;
            for (std::size_t k = a; k < p; ++k) c += v[k][a] * v[k][b];
            fit.covariance[a * p + b] = fit.covariance[b * p + a] = c;
        }
    for (std::size_t a = 0; a < p; ++a)
        for (std::size_t b = 0; b < p; ++b) fit.coefficients[a] += fit.covariance[a * p + b] * sums.right[b];
    const double squares = sum_of_squares<p>(design, y, fit.coefficients);
    const double variance = fit.degrees_of_freedom > 0 ? squares / fit.degrees_of_freedom : 0;
    fit.sigma = std::sqrt(variance);
    for (auto& c : fit.covariance) c *= variance;
    return fit;
}

/// Coefficients alone: L z = X' W y, L' b = z.
template <std::size_t p>
bool solve_weighted(const double* design, std::span<const double> y, const double* weights, std::span<double> b)
{
    Normal<p> sums = accumulate<p>(design, y, weights);
    if (!factorise<p>(sums.cross)) return false;
    const auto v = invert<p>(sums.cross);
    std::array<double, p> z{};
    for (std::size_t a = 0; a < p; ++a)
        for (std::size_t k = 0; k <= a; ++k) z[a] += v[a][k] * sums.right[k];
    for (std::size_t a = 0; a < p; ++a) {
        b[a] = 0;
        for (std::size_t k = a; k < p; ++k) b[a] += v[k][a] * z[k];
    }
    return true;
}

std::optional<PlainFit> solve_small(const Design& design, std::span<const double> y)
{
    const double* first = design.values.data();
    switch (design.columns) {
    case 1: return solve_normal<1>(first, y);
    case 2: return solve_normal<2>(first, y);
    case 3: return solve_normal<3>(first, y);
    case 4: return solve_normal<4>(first, y);
    case 5: return solve_normal<5>(first, y);
    case 6: return solve_normal<6>(first, y);
    default: return {};
    }
}

} // namespace

Result<PlainFit> fit_plain(const Design& design, std::span<const double> y)
{
    if (auto ok = detail::check_fit(design, y, {}); !ok) return Unexpected{ok.error()};
    if (auto fast = solve_small(design, y); fast && std::isfinite(fast->sigma)) return std::move(*fast);
    auto full = fit_linear(design, y);
    if (!full) return Unexpected{full.error()};
    return PlainFit{std::move(full->coefficients), std::move(full->covariance), full->sigma, full->degrees_of_freedom};
}

namespace detail {

bool solve_small_weighted(const Design& design, std::span<const double> y, std::span<const double> weights, std::span<double> b)
{
    const double *first = design.values.data(), *w = weights.data();
    switch (design.columns) {
    case 1: return solve_weighted<1>(first, y, w, b);
    case 2: return solve_weighted<2>(first, y, w, b);
    case 3: return solve_weighted<3>(first, y, w, b);
    case 4: return solve_weighted<4>(first, y, w, b);
    case 5: return solve_weighted<5>(first, y, w, b);
    default: return false;
    }
}

} // namespace detail
} // namespace chockside::stats
