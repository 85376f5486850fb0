#include <core/stats/allan.h>

#include <cmath>
#include <string>
#include <vector>

namespace chockside::stats {
namespace {

/// Running sums, so that any average is one difference: sums[i] is the total of the first i values less i times their mean.
Result<std::vector<double>> running_sums(std::span<const double> values)
{
    std::vector<double> sums(values.size() + 1, 0.0);
    double mean = 0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (!std::isfinite(values[i])) return fail("not_finite", {}, {{"row", std::to_string(i + 1)}});
        mean += values[i] / static_cast<double>(values.size());
    }
    for (std::size_t i = 0; i < values.size(); ++i) sums[i + 1] = sums[i] + (values[i] - mean);
    return sums;
}

/// Root of half the mean squared difference of neighbouring averages over m, taken every `stride` values.
Result<double> deviation(std::span<const double> values, int m, std::size_t stride)
{
    const auto width = static_cast<std::size_t>(m);
    if (m < 1 || values.size() / 2 < width) return fail("bad_factor", {}, {{"factor", std::to_string(m)}});
    const auto sums = running_sums(values);
    if (!sums) return Unexpected{sums.error()};
    double squares = 0;
    std::size_t count = 0;
    for (std::size_t i = 0; i + 2 * width <= values.size(); i += stride, ++count) {
        const double step = ((*sums)[i + 2 * width] - 2 * (*sums)[i + width] + (*sums)[i]) / static_cast<double>(m);
        squares += step * step;
    }
    return std::sqrt(squares / (2 * static_cast<double>(count)));
}

} // namespace

Result<double> allan_deviation(std::span<const double> values, int m)
{
    return deviation(values, m, m < 1 ? 1 : static_cast<std::size_t>(m));
}

Result<double> overlapping_allan_deviation(std::span<const double> values, int m) { return deviation(values, m, 1); }

} // namespace chockside::stats
