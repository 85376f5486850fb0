#include <core/heading/detail/curve.h>

#include <core/stats/harmonic.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace chockside::heading::detail {
namespace {

constexpr double per_degree = std::numbers::pi / 180;
constexpr int grid = 72; // every 5 degrees: a second harmonic bends little in between

template <class At>
double largest(At at)
{
    double most = at(0.0);
    for (int i = 1; i < 360; ++i) most = std::max(most, at(static_cast<double>(i)));
    return most;
}

double half_width(const SwingBand& b) { return (b.upper_deg - b.lower_deg) / 2; }

} // namespace

Row row_of(const std::string& terms, double heading_deg)
{
    Row all{}, row{};
    stats::harmonic_row(heading_deg, all);
    for (std::size_t k = 0; k < terms.size(); ++k) row[k] = all[static_cast<std::size_t>(terms[k] - 'A')];
    return row;
}

double Curve::value(double heading_deg) const
{
    const Row row = row_of(terms, heading_deg);
    double sum = 0;
    for (std::size_t k = 0; k < size(); ++k) sum += row[k] * coefficients[k];
    return sum;
}

double Curve::slope(double heading_deg) const
{
    const double t = heading_deg * per_degree;
    const Row turns{0, std::cos(t), -std::sin(t), 2 * std::cos(2 * t), -2 * std::sin(2 * t)};
    double sum = 0;
    for (std::size_t k = 0; k < size(); ++k) sum += turns[static_cast<std::size_t>(terms[k] - 'A')] * coefficients[k];
    return sum * per_degree;
}

Row Curve::times_covariance(const Row& row) const
{
    Row out{};
    for (std::size_t i = 0; i < size(); ++i)
        for (std::size_t k = 0; k < size(); ++k) out[i] += unit_covariance[i * size() + k] * row[k];
    return out;
}

SwingBand Curve::band(double heading_deg) const
{
    const Row row = row_of(terms, heading_deg), spread = times_covariance(row);
    const double own = std::inner_product(row.begin(), row.end(), spread.begin(), 0.0);
    const double half = band_factor * sigma * std::sqrt(std::max(own, 0.0)), at = value(heading_deg);
    return {heading_deg, at, at - half, at + half};
}

SwingBand worst_of(const Curve& curve)
{
    auto size_at = [&](double h) { return std::fabs(curve.value(h)); };
    double best = 0, step = 1;
    for (int i = 1; i < 360; ++i)
        if (size_at(i) > size_at(best) + 1e-12) best = i;
    for (; step > 1e-4; step /= 2) // the peak lies within a degree of the best whole one
        for (const double h : {best - step, best + step})
            if (size_at(h) > size_at(best)) best = h;
    return curve.band(std::fmod(best + 360, 360));
}

SwingResult judge(const Curve& curve, std::span<const SwingPoint> points, const SwingOptions& options)
{
    if (!options.tolerance_deg) return SwingResult::no_tolerance;
    const double tolerance = *options.tolerance_deg;
    const double outer = largest([&](double h) { const auto b = curve.band(h); return std::fabs(b.value_deg) + half_width(b); });
    const double inner = largest([&](double h) { const auto b = curve.band(h); return std::fabs(b.value_deg) - half_width(b); });
    if (inner > tolerance) return SwingResult::fail;
    // A measured heading beyond the tolerance is not argued away by a curve that passes beside it.
    auto is_within = [&](const SwingPoint& p) {
        return std::fabs(std::remainder(p.reference_deg - p.indicated_deg, 360.0)) <= tolerance + 1e-9;
    };
    const bool all_within = std::all_of(points.begin(), points.end(), is_within);
    return outer <= tolerance && all_within ? SwingResult::pass : SwingResult::not_proven;
}

// One more point of unit weight at h changes C to C - C x x' C / (1 + x' C x) (Sherman and Morrison), whatever it will read.
double next_heading(const Curve& curve)
{
    std::vector<Row> rows, spread; // x and C x of each heading of the grid
    for (int i = 0; i < grid; ++i) {
        rows.push_back(row_of(curve.terms, 5.0 * i));
        spread.push_back(curve.times_covariance(rows.back()));
    }
    auto shared = [&](std::size_t a, std::size_t b) { return std::inner_product(rows[a].begin(), rows[a].end(), spread[b].begin(), 0.0); };
    std::size_t best = 0;
    double least = -1;
    for (std::size_t h = 0; h < rows.size(); ++h) {
        double widest = 0;
        for (std::size_t g = 0; g < rows.size(); ++g)
            widest = std::max(widest, shared(g, g) - shared(g, h) * shared(g, h) / (1 + shared(h, h)));
        if (least >= 0 && widest > least * (1 - 1e-9)) continue;
        least = widest;
        best = h;
    }
    return 5.0 * static_cast<double>(best);
}

// Steer s with s + deviation(s) = for. The left side rises with s while the deviation's slope stays above -1: Newton's step finds it.
std::vector<CardRow> make_card(const Curve& curve, int step_deg)
{
    if (largest([&](double h) { return -curve.slope(h); }) > 0.9) return {};
    std::vector<CardRow> card;
    for (int wanted = 0; wanted < 360; wanted += step_deg) {
        double s = wanted - curve.value(wanted);
        for (int i = 0; i < 60; ++i) {
            const double off = s + curve.value(s) - wanted;
            s -= off / std::max(1 + curve.slope(s), 0.1);
            if (std::fabs(off) < 1e-10) break;
        }
        const long whole = std::lround(s) % 360;
        card.push_back({wanted, static_cast<int>(whole < 0 ? whole + 360 : whole)});
    }
    return card;
}

} // namespace chockside::heading::detail
