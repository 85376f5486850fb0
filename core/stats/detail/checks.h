#pragma once

#include <core/stats/least_squares.h>

namespace chockside::stats::detail {

/// What every fit refuses: see fit_linear.
Status check_fit(const Design& design, std::span<const double> y, std::span<const double> weights);

/// Weighted coefficients of up to 5 nearly independent columns by normal equations, as in fit_plain; false: go through fit_linear.
/// Checks nothing.
bool solve_small_weighted(const Design& design, std::span<const double> y, std::span<const double> weights, std::span<double> b);

} // namespace chockside::stats::detail
