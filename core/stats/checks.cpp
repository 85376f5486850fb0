#include <core/stats/detail/checks.h>

#include <cmath>
#include <string>

namespace chockside::stats::detail {
namespace {

Unexpected<Problem> at_row(const char* code, std::size_t row) { return fail(code, {}, {{"row", std::to_string(row + 1)}}); }

bool is_finite(std::span<const double> values)
{
    double sum = 0; // NaN and infinities survive times zero
    for (const double v : values) sum += v * 0.0;
    return sum == 0;
}

Status first_not_finite(const Design& design, std::span<const double> y)
{
    for (std::size_t i = 0; i < design.rows; ++i)
        if (!std::isfinite(y[i]) || !is_finite(design.values.subspan(i * design.columns, design.columns))) return at_row("not_finite", i);
    return {};
}

} // namespace

Status check_fit(const Design& design, std::span<const double> y, std::span<const double> weights)
{
    const bool shaped = design.columns > 0 && design.values.size() == design.rows * design.columns && y.size() == design.rows;
    if (!shaped || (!weights.empty() && weights.size() != design.rows)) return fail("bad_shape");
    if (!is_finite(design.values) || !is_finite(y)) return first_not_finite(design, y);
    std::size_t counted = weights.empty() ? design.rows : 0;
    for (std::size_t i = 0; i < weights.size(); ++i) {
        if (!(weights[i] >= 0) || std::isinf(weights[i])) return at_row("bad_weight", i);
        counted += weights[i] > 0;
    }
    if (counted >= design.columns) return {};
    return fail("too_few_rows", {}, {{"rows", std::to_string(counted)}, {"needed", std::to_string(design.columns)}});
}

} // namespace chockside::stats::detail
