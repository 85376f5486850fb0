#include <core/isolate/unexplained.h>

#include <core/isolate/detail/inner.h>
#include <core/isolate/detail/summary.h>

#include <algorithm>
#include <cmath>

namespace chockside::isolate {

namespace {

using detail::Rows;

constexpr double odd = 0.05, shown = 0.5, far_off = 3, near_by = 2;

const Row& row_of(const Check& check, Presence presence, std::size_t cause)
{
    return presence == Presence::absent && !check.absent.empty() ? check.absent[cause] : check.given[cause];
}

double share(const Row& row, std::size_t outcome)
{
    double sum = 0;
    for (const double p : row.outcomes) sum += p;
    return sum > 0 ? row.outcomes[outcome] / sum : 0;
}

/// Chance that the cause shows this, or something as far off; negative: it says nothing of it.
double chance(const Check& check, const detail::Item& item, std::size_t cause)
{
    const Row& row = row_of(check, item.presence, cause);
    if (item.outcome) return row.outcomes.empty() ? -1 : share(row, *item.outcome);
    return row.number ? std::erfc(std::fabs(score(*row.number, item.number)) / std::sqrt(2.0)) : -1;
}

} // namespace

std::vector<Unexplained> unexplained(const Reasoner& reasoner)
{
    const auto& inner = reasoner.inner();
    const Model& model = inner.ground->model;
    const auto p = detail::normalised(inner.weights.logs());
    const auto best = static_cast<std::size_t>(std::max_element(p.begin(), p.end()) - p.begin());
    const detail::Hypothesis& lead = inner.ground->rows.hypotheses()[best];
    const auto mass = detail::of_causes(inner.ground->rows, p);
    const double odd_number = std::erfc(far_off / std::sqrt(2.0)), shown_number = std::erfc(near_by / std::sqrt(2.0));
    std::vector<Unexplained> all;
    for (const detail::Item& item : inner.weights.items()) {
        if (!item.counts) continue;
        const Check& check = model.checks[item.check];
        const double told = std::max(chance(check, item, lead.first), chance(check, item, lead.second));
        if (told < 0 || told >= (item.outcome ? odd : odd_number)) continue;
        std::size_t other = model.causes.size();
        for (std::size_t k = 0; k < model.causes.size(); ++k) {
            const bool real = model.causes[k].cause_class != "none" && model.causes[k].cause_class != "unlisted";
            if (real && chance(check, item, k) >= (item.outcome ? shown : shown_number) && (other == model.causes.size() || mass[k] > mass[other])) other = k;
        }
        if (other < model.causes.size()) all.push_back({inner.evidence[item.evidence].id, check.id, model.causes[other].id, told});
    }
    return all;
}

} // namespace chockside::isolate
