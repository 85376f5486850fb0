#pragma once

#include <span>
#include <vector>

namespace chockside::stats {

/// Design rows of 1, sin t, cos t, sin 2t, cos 2t ... for angles in degrees, `columns` values a row (1 .. 2 * harmonics + 1), by rows.
std::vector<double> harmonic_design(std::span<const double> angles_deg, int columns);
/// One such row.
void harmonic_row(double angle_deg, std::span<double> row);

} // namespace chockside::stats
