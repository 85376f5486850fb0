#pragma once

#include <core/base/result.h>

#include <span>

namespace chockside::stats {

/// Allan deviations of equally spaced rate data (fractional frequency, angular rate) at averaging factor m: NIST Special Publication 1065
/// (2008), equations 7 and 9 in terms of averages. `values` cover the spacing tau0 each; the deviation is that at tau = m tau0.
/// Codes: bad_factor (m < 1, or fewer than 2 (overlapping: 2m) averages), not_finite (row).
Result<double> allan_deviation(std::span<const double> values, int m);
Result<double> overlapping_allan_deviation(std::span<const double> values, int m);

} // namespace chockside::stats
