#include <core/heading/detail/curve.h>

#include <algorithm>
#include <cmath>

namespace chockside::heading::detail {
namespace {

Unexpected<Problem> at_point(const char* code, std::size_t i) { return fail(code, {}, {{"point", std::to_string(i + 1)}}); }

bool is_heading(double h) { return h >= 0 && h <= 360; }

Status check_sigma(const SwingPoint& point, bool expected, std::size_t i)
{
    if (point.sigma_deg.has_value() != expected) return at_point("sigma_missing", i);
    if (point.sigma_deg && !(*point.sigma_deg > 0 && std::isfinite(*point.sigma_deg))) return at_point("bad_sigma", i);
    return {};
}

bool are_terms(const std::string& terms)
{
    for (std::size_t k = 0; k < terms.size(); ++k)
        if (terms[k] < 'A' || terms[k] > 'E' || (k > 0 && terms[k] <= terms[k - 1])) return false;
    return true;
}

} // namespace

Status check_points(std::span<const SwingPoint> points)
{
    const bool weighted = std::any_of(points.begin(), points.end(), [](const auto& p) { return p.sigma_deg.has_value(); });
    for (std::size_t i = 0; i < points.size(); ++i) {
        const auto& p = points[i];
        if (!std::isfinite(p.reference_deg) || !std::isfinite(p.indicated_deg)) return at_point("not_finite", i);
        if (!is_heading(p.reference_deg) || !is_heading(p.indicated_deg)) return at_point("heading_out_of_range", i);
        if (auto ok = check_sigma(p, weighted, i); !ok) return ok;
    }
    return {};
}

Status check_options(const SwingOptions& options)
{
    if (!are_terms(options.terms)) return fail("bad_terms", {}, {{"terms", options.terms}});
    const auto& tolerance = options.tolerance_deg;
    if (tolerance && !(*tolerance > 0 && std::isfinite(*tolerance))) return fail("bad_tolerance");
    if (!(options.confidence >= 0.5 && options.confidence <= 0.9999)) return fail("bad_confidence");
    if (options.card_step_deg < 1 || 360 % options.card_step_deg != 0) return fail("bad_card_step");
    return {};
}

Result<std::string> choose_terms(const SwingOptions& options, std::size_t points)
{
    const std::string terms = !options.terms.empty() ? options.terms : (points >= 8 ? "ABCDE" : "ABC");
    const std::size_t needed = options.terms.empty() ? 5 : terms.size() + 1; // one spare point, or there is no telling how sure
    if (points >= needed) return terms;
    return fail("too_few_points", {}, {{"points", std::to_string(points)}, {"needed", std::to_string(needed)}});
}

} // namespace chockside::heading::detail
