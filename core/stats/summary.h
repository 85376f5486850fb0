#pragma once

#include <core/base/result.h>

#include <cstddef>
#include <span>

namespace chockside::stats {

struct Interval {
    double lower = 0, upper = 0;
};

struct Summary {
    std::size_t count = 0;
    double mean = 0;
    double sd = 0; ///< with n - 1; 0 for one value
    double least = 0, greatest = 0;
};

/// Codes: no_values, not_finite (row).
Result<Summary> summarise(std::span<const double> values);

/// Student's interval for the mean. Codes: as summarise(), too_few_rows for one value, bad_confidence.
Result<Interval> mean_interval(std::span<const double> values, double confidence);

/// A straight line through a window of readings: whether they still move, and how much they scatter.
struct Trend {
    double slope = 0;     ///< units of y per unit of t
    double at_middle = 0; ///< the line at the mean of t
    double slope_se = 0;
    Interval slope_interval;   ///< two-sided
    double scatter = 0;        ///< standard deviation about the line
    Interval scatter_interval; ///< two-sided, for normal errors
    int degrees_of_freedom = 0;
    double correlation = 0;    ///< of neighbouring residuals (lag 1); above about 0.3 the intervals are too narrow
};

/// Ordinary least squares of y on t; intervals assume independent normal errors. Needs 3 readings at not all the same t.
/// Codes: bad_shape, not_finite (row), too_few_rows (rows, needed), rank_deficient, bad_confidence.
Result<Trend> fit_trend(std::span<const double> t, std::span<const double> y, double confidence);

enum class Settled { yes, no, not_known };

/// yes: the whole slope interval lies within +-slope_most and the scatter's upper bound within scatter_most; no: one of them lies
/// wholly outside; not_known: more readings are needed.
Settled judge_settled(const Trend& trend, double slope_most, double scatter_most);

} // namespace chockside::stats
