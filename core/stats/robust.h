#pragma once

#include <core/stats/least_squares.h>

namespace chockside::stats {

struct RobustFit {
    LinearFit fit;               ///< leverage is that of plain least squares; sigma and covariance as below
    std::vector<double> weights; ///< 0 .. 1; 0: taken as an outlier altogether
    int iterations = 0;
    bool converged = false;
};

/// Tukey's bisquare M-estimate by iteratively reweighted least squares from the plain fit, tuning constant 4.685 (95 % efficiency at the
/// normal distribution), leverage-adjusted residuals, scale from their median. Sigma and covariance after Street, Carroll and Ruppert,
/// The American Statistician 42 (1988) 152, mixed with the plain sigma, as GSL documents it ("Robust linear regression").
/// A high-leverage outlier can still mislead it. Codes: those of fit_linear.
Result<RobustFit> fit_bisquare(const Design& design, std::span<const double> y);

} // namespace chockside::stats
