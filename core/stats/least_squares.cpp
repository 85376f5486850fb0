#include <core/stats/least_squares.h>

#include <core/stats/detail/checks.h>

#include <Eigen/Dense>

#include <cmath>
#include <limits>
#include <string>
#include <utility>
#include <vector>

namespace chockside::stats {
namespace {

using Matrix = Eigen::MatrixXd;
using Vector = Eigen::VectorXd;
using RowMajor = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
using Pivoted = Eigen::ColPivHouseholderQR<Matrix>;

constexpr double least_pivot = 1e-13;

Vector column_scales(const Matrix& x)
{
    Vector scales = x.colwise().norm();
    for (auto& s : scales) s = s > 0 ? std::exp2(std::round(std::log2(s))) : 1; // powers of two: scaling rounds nothing
    return scales;
}

Vector root_weights(std::span<const double> weights, Eigen::Index rows)
{
    if (weights.empty()) return Vector::Ones(rows);
    return Eigen::Map<const Vector>(weights.data(), rows).cwiseSqrt();
}

/// Residual and coefficients together, in extended precision: r + X b = y, X' r = 0.
struct Solution {
    std::vector<long double> r, b;
};

/// What the two equations still lack: f = y - r - X b, g = -X' r.
std::pair<Vector, Vector> lacking(const Matrix& x, const Vector& y, const Solution& s)
{
    Vector f(x.rows()), g(x.cols());
    for (Eigen::Index i = 0; i < x.rows(); ++i) {
        long double rest = y[i] - s.r[static_cast<std::size_t>(i)];
        for (Eigen::Index k = 0; k < x.cols(); ++k) rest -= static_cast<long double>(x(i, k)) * s.b[static_cast<std::size_t>(k)];
        f[i] = static_cast<double>(rest);
    }
    for (Eigen::Index k = 0; k < x.cols(); ++k) {
        long double sum = 0;
        for (Eigen::Index i = 0; i < x.rows(); ++i) sum -= static_cast<long double>(x(i, k)) * s.r[static_cast<std::size_t>(i)];
        g[k] = static_cast<double>(sum);
    }
    return {f, g};
}

void add(std::vector<long double>& to, const Vector& step)
{
    for (std::size_t k = 0; k < to.size(); ++k) to[k] += static_cast<long double>(step[static_cast<Eigen::Index>(k)]);
}

/// X P = Q R. With Q' f = (w1, w2) and R' z = P' g the correction is dr = Q (z, w2), db = P R^-1 (w1 - z). The first pass is the plain
/// solution; large residuals, which plain refinement cannot mend, are mended because r is refined with b.
Solution refine(const Pivoted& qr, const Matrix& x, const Vector& y)
{
    Solution s{std::vector<long double>(static_cast<std::size_t>(x.rows())), std::vector<long double>(static_cast<std::size_t>(x.cols()))};
    const auto p = x.cols();
    const auto upper = qr.matrixR().topRows(p).triangularView<Eigen::Upper>();
    for (int pass = 0; pass < 3; ++pass) {
        const auto [f, g] = lacking(x, y, s);
        const Vector z = upper.transpose().solve(qr.colsPermutation().transpose() * g);
        Vector w = qr.householderQ().adjoint() * f;
        const Vector db = qr.colsPermutation() * Vector(upper.solve(w.head(p) - z));
        w.head(p) = z;
        add(s.b, db);
        add(s.r, qr.householderQ() * w);
    }
    return s;
}

std::vector<double> residuals_of(const Design& design, std::span<const double> y, const std::vector<double>& b)
{
    std::vector<double> r(design.rows);
    for (std::size_t i = 0; i < design.rows; ++i) {
        long double rest = y[i];
        for (std::size_t k = 0; k < design.columns; ++k) rest -= static_cast<long double>(design.values[i * design.columns + k]) * b[k];
        r[i] = static_cast<double>(rest);
    }
    return r;
}

double condition_of(const Pivoted& qr, const Matrix& scaled)
{
    const auto p = scaled.cols();
    Matrix r = qr.matrixR().topRows(p).triangularView<Eigen::Upper>();
    for (Eigen::Index k = 0; k < p; ++k) r.col(k) /= r.col(k).norm();
    const Vector s = Eigen::JacobiSVD<Matrix>(r).singularValues();
    return s[p - 1] > 0 ? s[0] / s[p - 1] : std::numeric_limits<double>::infinity();
}

/// (X' X)^-1 = P R^-1 R^-T P' of the scaled design, scaled back.
Matrix inverse_normal(const Pivoted& qr, const Vector& scales)
{
    const auto p = scales.size();
    Matrix inverse = qr.matrixR().topRows(p).triangularView<Eigen::Upper>().solve(Matrix::Identity(p, p));
    inverse = qr.colsPermutation() * inverse;
    inverse = scales.cwiseInverse().asDiagonal() * inverse;
    return inverse * inverse.transpose();
}

void fill_spread(LinearFit& fit, const Pivoted& qr, const Vector& scales, const Vector& root)
{
    const Eigen::Index p = scales.size();
    const auto rows = static_cast<Eigen::Index>(fit.residuals.size());
    const Vector r = Eigen::Map<const Vector>(fit.residuals.data(), rows).cwiseProduct(root);
    fit.residual_sum_of_squares = r.squaredNorm();
    fit.degrees_of_freedom = static_cast<int>(rows - p);
    if (fit.degrees_of_freedom > 0) fit.sigma = std::sqrt(fit.residual_sum_of_squares / fit.degrees_of_freedom);
    const Matrix unit = inverse_normal(qr, scales);
    fit.unit_covariance.assign(unit.data(), unit.data() + unit.size());
    fit.covariance = fit.unit_covariance;
    for (auto& c : fit.covariance) c *= fit.sigma * fit.sigma;
    const Matrix thin = qr.householderQ() * Matrix::Identity(rows, p);
    const Vector leverage = thin.rowwise().squaredNorm();
    fit.leverage.assign(leverage.begin(), leverage.end());
}

} // namespace

Result<LinearFit> fit_linear(const Design& design, std::span<const double> y, std::span<const double> weights)
{
    if (auto ok = detail::check_fit(design, y, weights); !ok) return Unexpected{ok.error()};
    const auto rows = static_cast<Eigen::Index>(design.rows), columns = static_cast<Eigen::Index>(design.columns);
    const Vector root = root_weights(weights, rows);
    Matrix scaled = root.asDiagonal() * Eigen::Map<const RowMajor>(design.values.data(), rows, columns);
    const Vector scales = column_scales(scaled);
    scaled = scaled * scales.cwiseInverse().asDiagonal();

    Pivoted qr(scaled);
    qr.setThreshold(least_pivot);
    if (qr.rank() < columns)
        return fail("rank_deficient", {}, {{"rank", std::to_string(qr.rank())}, {"columns", std::to_string(columns)}});
    const Vector target = Eigen::Map<const Vector>(y.data(), rows).cwiseProduct(root);
    const Solution solution = refine(qr, scaled, target);
    LinearFit fit;
    for (std::size_t k = 0; k < design.columns; ++k)
        fit.coefficients.push_back(static_cast<double>(solution.b[k]) / scales[static_cast<Eigen::Index>(k)]);
    fit.residuals = residuals_of(design, y, fit.coefficients);
    fit.condition = condition_of(qr, scaled);
    fill_spread(fit, qr, scales, root);
    if (!std::isfinite(fit.residual_sum_of_squares)) return fail("not_finite");
    return fit;
}

} // namespace chockside::stats
