#pragma once

#include <core/base/result.h>

#include <cstddef>
#include <span>
#include <vector>

namespace chockside::stats {

/// A design matrix by rows: row i begins at values[i * columns].
struct Design {
    std::span<const double> values;
    std::size_t rows = 0;
    std::size_t columns = 0;
};

struct LinearFit {
    std::vector<double> coefficients;
    std::vector<double> covariance;     ///< of the coefficients, columns x columns, scaled by sigma^2
    std::vector<double> unit_covariance; ///< (X' W X)^-1
    std::vector<double> residuals;      ///< y - X b, not weighted
    std::vector<double> leverage;       ///< diagonal of the hat matrix, 0 .. 1
    double residual_sum_of_squares = 0; ///< weighted
    double sigma = 0;                   ///< sqrt(residual_sum_of_squares / degrees_of_freedom); 0 where that is 0
    int degrees_of_freedom = 0;
    double condition = 0;               ///< 2-norm condition number of the design with its columns scaled to length 1
};

/// Weighted linear least squares by column-pivoted Householder QR on columns scaled by powers of two to length near 1, with two
/// steps of iterative refinement of coefficients and residuals together, in extended precision (Bjorck, BIT 7 (1967) 257; no gain where
/// long double is double). `weights` (>= 0, one a row) are inverse variances up to a common factor; empty: all 1.
/// Codes: bad_shape; not_finite (row); bad_weight (row); too_few_rows (rows, needed); rank_deficient (rank, columns), where a scaled pivot
/// falls below 1e-13 of the largest.
Result<LinearFit> fit_linear(const Design& design, std::span<const double> y, std::span<const double> weights = {});

struct PlainFit {
    std::vector<double> coefficients;
    std::vector<double> covariance;
    double sigma = 0;
    int degrees_of_freedom = 0;
};

/// Coefficients and covariance alone, unweighted. Up to 6 columns that are nearly independent (no scaled Cholesky pivot below 0.05) are
/// solved through the normal equations, whose coefficients then agree with QR to 1e-12 relative to the largest; all others go through
/// fit_linear. Codes as there.
Result<PlainFit> fit_plain(const Design& design, std::span<const double> y);

} // namespace chockside::stats
