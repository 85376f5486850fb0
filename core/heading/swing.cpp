#include <core/heading/swing.h>

#include <core/heading/detail/curve.h>
#include <core/stats/distributions.h>
#include <core/stats/robust.h>
#include <core/units/angle.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace chockside::heading {
namespace {

using detail::Curve;

constexpr double rounding_deg = 1e-9; // residuals below this are arithmetic, not scatter

struct Table {
    std::vector<double> design, deviation, weights;
    double stated_sigma = 0; ///< of a point of weight 1
};

/// Weights 1 / sigma^2 scaled to mean 1, so that sigma_deg speaks of an average point.
void weigh(Table& table, std::span<const SwingPoint> points)
{
    if (points.empty() || !points.front().sigma_deg) return;
    double sum = 0;
    for (const auto& p : points) sum += table.weights.emplace_back(1 / (*p.sigma_deg * *p.sigma_deg));
    const double mean = sum / static_cast<double>(points.size());
    for (auto& w : table.weights) w /= mean;
    table.stated_sigma = 1 / std::sqrt(mean);
}

Table make_table(std::span<const SwingPoint> points, const std::string& terms)
{
    Table table;
    for (const auto& p : points) {
        const auto row = detail::row_of(terms, p.indicated_deg);
        table.design.insert(table.design.end(), row.begin(), row.begin() + static_cast<std::ptrdiff_t>(terms.size()));
        table.deviation.push_back(wrap_180(p.reference_deg - p.indicated_deg));
    }
    weigh(table, points);
    return table;
}

/// Robust weights multiply with the stated ones by scaling rows: a row times sqrt(w) is a row of variance 1.
void scale_rows(Table& table, std::size_t columns)
{
    for (std::size_t i = 0; i < table.weights.size(); ++i) {
        const double root = std::sqrt(table.weights[i]);
        for (std::size_t k = 0; k < columns; ++k) table.design[i * columns + k] *= root;
        table.deviation[i] *= root;
    }
}

void unscale(std::vector<double>& residuals, const std::vector<double>& weights)
{
    for (std::size_t i = 0; i < weights.size(); ++i) residuals[i] /= std::sqrt(weights[i]);
}

Result<stats::LinearFit> solve(Table table, std::size_t columns, bool robust)
{
    const std::size_t rows = table.deviation.size();
    if (!robust) return stats::fit_linear({table.design, rows, columns}, table.deviation, table.weights);
    scale_rows(table, columns);
    auto fit = stats::fit_bisquare({table.design, rows, columns}, table.deviation);
    if (!fit) return Unexpected{fit.error()};
    unscale(fit->fit.residuals, table.weights);
    return std::move(fit->fit);
}

/// Residual over the deviation it should have: for plain fits with the scatter of the other points (externally studentised).
double studentised(const stats::LinearFit& fit, double residual, double leverage, bool robust)
{
    const double share = 1 - leverage;
    if (share < 1e-9 || std::fabs(residual) < rounding_deg) return 0;
    const double dof = fit.degrees_of_freedom;
    const double others = (fit.residual_sum_of_squares - residual * residual / share) / (dof - 1);
    const double sigma = robust ? fit.sigma : std::sqrt(std::max(others, rounding_deg * rounding_deg));
    return std::fabs(residual) / (sigma * std::sqrt(share));
}

std::vector<int> find_outliers(const stats::LinearFit& fit, const std::vector<double>& weights, const SwingOptions& options)
{
    std::vector<int> outliers;
    const int dof = fit.degrees_of_freedom - (options.robust ? 0 : 1);
    if (dof < 1) return outliers;
    const double share = (1 - options.confidence) / static_cast<double>(fit.residuals.size());
    const double limit = stats::student_t_quantile(1 - share / 2, dof);
    for (std::size_t i = 0; i < fit.residuals.size(); ++i) {
        const double residual = fit.residuals[i] * (weights.empty() ? 1 : std::sqrt(weights[i]));
        if (studentised(fit, residual, fit.leverage[i], options.robust) > limit) outliers.push_back(static_cast<int>(i));
    }
    return outliers;
}

Curve make_curve(const stats::LinearFit& fit, const std::string& terms, double stated_sigma, double confidence)
{
    const double p = static_cast<double>(terms.size());
    const double factor = std::sqrt(p * stats::f_quantile(confidence, p, fit.degrees_of_freedom));
    return {terms, fit.coefficients, fit.unit_covariance, std::max(fit.sigma, stated_sigma), factor};
}

void fill_curve(SwingFit& out, const Curve& curve)
{
    out.terms = curve.terms;
    out.sigma_deg = curve.sigma;
    for (std::size_t k = 0; k < curve.size(); ++k) {
        const double unit = curve.unit_covariance[k * curve.size() + k];
        out.coefficients.push_back({curve.terms[k], curve.coefficients[k], curve.sigma * std::sqrt(unit)});
    }
    for (int h = 0; h < 360; h += 5) out.band.push_back(curve.band(h));
    out.worst = detail::worst_of(curve);
}

Unexpected<Problem> as_swing_problem(const Problem& p, std::size_t terms)
{
    if (p.code != "rank_deficient") return Unexpected{p};
    return fail("headings_do_not_span", {}, {{"rank", p.args.empty() ? "" : p.args[0].second}, {"needed", std::to_string(terms)}});
}

} // namespace

Result<SwingFit> fit_swing(std::span<const SwingPoint> points, const SwingOptions& options)
{
    if (auto ok = detail::check_options(options); !ok) return Unexpected{ok.error()};
    if (auto ok = detail::check_points(points); !ok) return Unexpected{ok.error()};
    const auto terms = detail::choose_terms(options, points.size());
    if (!terms) return Unexpected{terms.error()};
    const Table table = make_table(points, *terms);
    const auto fit = solve(table, terms->size(), options.robust);
    if (!fit) return as_swing_problem(fit.error(), terms->size());

    const Curve curve = make_curve(*fit, *terms, table.stated_sigma, options.confidence);
    SwingFit out{};
    fill_curve(out, curve);
    out.degrees_of_freedom = fit->degrees_of_freedom;
    out.residuals_deg = fit->residuals;
    out.leverage = fit->leverage;
    out.outliers = find_outliers(*fit, table.weights, options);
    out.result = detail::judge(curve, points, options);
    if (out.result != SwingResult::pass && out.result != SwingResult::fail) out.next_heading_deg = detail::next_heading(curve);
    out.card = detail::make_card(curve, options.card_step_deg);
    return out;
}

double deviation_at(const SwingFit& fit, double indicated_deg)
{
    const auto row = detail::row_of("ABCDE", indicated_deg);
    double sum = 0;
    for (const auto& term : fit.coefficients) sum += term.value_deg * row[static_cast<std::size_t>(term.name - 'A')];
    return sum;
}

const char* to_text(SwingResult result)
{
    switch (result) {
    case SwingResult::pass: return "pass";
    case SwingResult::fail: return "fail";
    case SwingResult::not_proven: return "not_proven";
    case SwingResult::no_tolerance: break;
    }
    return "no_tolerance";
}

} // namespace chockside::heading
