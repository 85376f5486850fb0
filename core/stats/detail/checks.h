#pragma once

#include <core/stats/least_squares.h>

namespace chockside::stats::detail {

/// What every fit refuses: see fit_linear.
Status check_fit(const Design& design, std::span<const double> y, std::span<const double> weights);

} // namespace chockside::stats::detail
