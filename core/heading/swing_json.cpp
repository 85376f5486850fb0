#include <core/heading/swing_json.h>

namespace chockside::heading {
namespace {

json::Value coefficients_of(const SwingFit& fit)
{
    json::Object all;
    for (const auto& term : fit.coefficients)
        all[std::string(1, term.name)] = json::Object{{"value", term.value_deg}, {"se", term.se_deg}};
    return all;
}

template <class Range>
json::Value list_of(const Range& values)
{
    json::Array all;
    for (const auto v : values) all.emplace_back(v);
    return all;
}

json::Value worst_of(const SwingBand& b)
{
    return json::Object{{"heading_deg", b.heading_deg}, {"value_deg", b.value_deg}, {"lower_deg", b.lower_deg}, {"upper_deg", b.upper_deg}};
}

json::Value card_of(const std::vector<CardRow>& rows)
{
    json::Array all;
    for (const auto& row : rows) all.emplace_back(json::Object{{"for_deg", row.for_deg}, {"steer_deg", row.steer_deg}});
    return all;
}

} // namespace

json::Value swing_to_json(const SwingFit& fit)
{
    json::Object all;
    all["terms"] = fit.terms;
    all["coefficients"] = coefficients_of(fit);
    all["sigma_deg"] = fit.sigma_deg;
    all["residuals_deg"] = list_of(fit.residuals_deg);
    all["outliers"] = list_of(fit.outliers);
    all["worst"] = worst_of(fit.worst);
    all["result"] = to_text(fit.result);
    all["next_heading_deg"] = fit.next_heading_deg ? json::Value(*fit.next_heading_deg) : json::Value();
    all["card"] = card_of(fit.card);
    return all;
}

} // namespace chockside::heading
