#pragma once
// The shared pieces of a swing: which terms, the row of each heading, and the fitted curve with its uncertainty.

#include <core/base/result.h>
#include <core/heading/swing.h>

#include <array>
#include <span>
#include <string>
#include <vector>

namespace chockside::heading::detail {

constexpr std::size_t most_terms = 5;
using Row = std::array<double, most_terms>;

struct Curve {
    std::string terms;
    std::vector<double> coefficients;
    std::vector<double> unit_covariance; ///< (X' W X)^-1, terms x terms
    double sigma = 0;
    double band_factor = 0; ///< sqrt(p F)

    std::size_t size() const { return terms.size(); }
    double value(double heading_deg) const;
    double slope(double heading_deg) const; ///< degrees per degree
    /// (X' W X)^-1 x: with the row of the same heading it gives the variance there, in units of sigma^2.
    Row times_covariance(const Row& row) const;
    SwingBand band(double heading_deg) const;
};

/// Values of the named terms at a heading; the first terms.size() places count.
Row row_of(const std::string& terms, double heading_deg);

Status check_points(std::span<const SwingPoint> points);
Status check_options(const SwingOptions& options);
/// The terms asked for, or those that the number of points can bear.
Result<std::string> choose_terms(const SwingOptions& options, std::size_t points);

SwingBand worst_of(const Curve& curve);
SwingResult judge(const Curve& curve, std::span<const SwingPoint> points, const SwingOptions& options);
double next_heading(const Curve& curve);
std::vector<CardRow> make_card(const Curve& curve, int step_deg);

} // namespace chockside::heading::detail
