#include <core/stats/harmonic.h>

#include <cmath>
#include <numbers>

namespace chockside::stats {

void harmonic_row(double angle_deg, std::span<double> row)
{
    const double t = angle_deg * (std::numbers::pi / 180);
    for (std::size_t k = 0; k < row.size(); ++k) {
        const double turns = static_cast<double>((k + 1) / 2);
        row[k] = k == 0 ? 1.0 : (k % 2 == 1 ? std::sin(turns * t) : std::cos(turns * t));
    }
}

std::vector<double> harmonic_design(std::span<const double> angles_deg, int columns)
{
    const auto width = static_cast<std::size_t>(columns);
    std::vector<double> design(angles_deg.size() * width);
    for (std::size_t i = 0; i < angles_deg.size(); ++i) harmonic_row(angles_deg[i], std::span(design).subspan(i * width, width));
    return design;
}

} // namespace chockside::stats
