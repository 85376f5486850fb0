#include <core/stats/least_squares.h>

#include <core/stats/detail/checks.h>

#include <Eigen/Dense>

#include <cmath>
#include <limits>
#include <string>

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

/// y - X b in extended precision: refinement gains only what the residual holds beyond double.
Vector exact_residuals(const Design& design, std::span<const double> y, const std::vector<long double>& b)
{
    Vector r(static_cast<Eigen::Index>(design.rows));
    for (std::size_t i = 0; i < design.rows; ++i) {
        long double rest = y[i];
        for (std::size_t k = 0; k < design.columns; ++k) rest -= static_cast<long double>(design.values[i * design.columns + k]) * b[k];
        r[static_cast<Eigen::Index>(i)] = static_cast<double>(rest);
    }
    return r;
}

void add(std::vector<long double>& b, const Vector& step)
{
    for (std::size_t k = 0; k < b.size(); ++k) b[k] += static_cast<long double>(step[static_cast<Eigen::Index>(k)]);
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
    std::vector<long double> b(design.columns, 0);
    Vector r = Eigen::Map<const Vector>(y.data(), rows);
    for (int pass = 0; pass < 2; ++pass) {
        const Vector step = qr.solve(r.cwiseProduct(root));
        add(b, step.cwiseQuotient(scales));
        r = exact_residuals(design, y, b);
    }
    LinearFit fit;
    fit.coefficients.assign(b.begin(), b.end());
    fit.residuals.assign(r.begin(), r.end());
    fit.condition = condition_of(qr, scaled);
    fill_spread(fit, qr, scales, root);
    if (!std::isfinite(fit.residual_sum_of_squares)) return fail("not_finite");
    return fit;
}

} // namespace chockside::stats
