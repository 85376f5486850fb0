#include <core/isolate/detail/weigh.h>

#include <algorithm>
#include <cmath>

namespace chockside::isolate {

namespace {

using detail::Hypothesis;
using detail::Item;
using detail::Rows;

constexpr double misfit_limit = 0.99;
constexpr std::size_t judged_from = 4; ///< items; fewer cannot fit badly

/// Probability that the cause is at work, alone or in a pair.
double of_cause(const Rows& rows, const std::vector<double>& p, std::size_t cause)
{
    double sum = 0;
    for (std::size_t k = 0; k < p.size(); ++k)
        if (rows.hypotheses()[k].first == cause || rows.hypotheses()[k].second == cause) sum += p[k];
    return sum;
}

double log_odds(double p)
{
    const double least = 1e-300;
    return std::log(std::max(p, least)) - std::log(std::max(1 - p, least));
}

/// Odds against the rest need the rest itself: 1 - p loses everything near 1.
double log_odds_of(const Rows& rows, std::span<const double> logs, std::size_t cause)
{
    std::vector<double> with, without;
    for (std::size_t k = 0; k < logs.size(); ++k) {
        const Hypothesis& h = rows.hypotheses()[k];
        (h.first == cause || h.second == cause ? with : without).push_back(logs[k]);
    }
    return without.empty() ? log_odds(1) : detail::log_sum(with) - detail::log_sum(without);
}

std::vector<Contribution> contributions(const Rows& rows, const std::vector<Item>& items, std::span<const Evidence> evidence)
{
    std::vector<Contribution> all;
    const auto& causes = rows.model().causes;
    std::vector<double> logs = detail::log_joint(rows, {});
    std::vector<double> odds;
    for (std::size_t c = 0; c < causes.size(); ++c) odds.push_back(log_odds_of(rows, logs, c));
    for (const Item& item : items) {
        for (std::size_t k = 0; k < logs.size(); ++k) logs[k] += item.log_l[k];
        for (std::size_t c = 0; c < causes.size(); ++c) {
            const double now = log_odds_of(rows, logs, c);
            all.push_back({evidence[item.evidence].id, evidence[item.evidence].check, causes[c].id, now - odds[c]});
            odds[c] = now;
        }
    }
    return all;
}

template <class Out, class Key>
std::vector<Out> summed(const Rows& rows, const std::vector<double>& p, Key key)
{
    std::map<std::string, double> sums;
    for (std::size_t k = 0; k < p.size(); ++k) {
        const Hypothesis& h = rows.hypotheses()[k];
        const std::string first = key(rows.model().causes[h.first]), second = key(rows.model().causes[h.second]);
        sums[first] += p[k];
        if (second != first) sums[second] += p[k];
    }
    std::vector<Out> all;
    for (const auto& [name, sum] : sums)
        if (!name.empty()) all.push_back({name, sum});
    std::stable_sort(all.begin(), all.end(), [](const Out& a, const Out& b) { return a.p > b.p; });
    return all;
}

std::vector<Likelihood> likelihood(const Rows& rows, const std::vector<double>& p)
{
    std::vector<Likelihood> all;
    for (std::size_t k = 0; k < p.size(); ++k) {
        const Hypothesis& h = rows.hypotheses()[k];
        Likelihood l{{rows.model().causes[h.first].id}, p[k]};
        if (!h.single()) l.causes.push_back(rows.model().causes[h.second].id);
        all.push_back(std::move(l));
    }
    std::stable_sort(all.begin(), all.end(), [](const Likelihood& a, const Likelihood& b) { return a.p > b.p; });
    return all;
}

bool unlisted_leads(const Rows& rows, const std::vector<double>& p)
{
    for (std::size_t c = 0; c < rows.model().causes.size(); ++c)
        if (rows.model().causes[c].cause_class == "unlisted" && of_cause(rows, p, c) > 0.5) return true;
    return false;
}

} // namespace

Result<Posterior> posterior(const Model& model, std::span<const Evidence> evidence)
{
    const auto rows = Rows::make(model);
    if (!rows) return Unexpected{rows.error()};
    const auto items = detail::weigh(*rows, evidence);
    if (!items) return Unexpected{items.error()};
    const std::vector<double> p = detail::normalised(detail::log_joint(*rows, *items));

    Posterior result;
    result.likelihood = likelihood(*rows, p);
    result.classes = summed<ClassLikelihood>(*rows, p, [](const Cause& c) { return c.cause_class; });
    result.places = summed<PlaceLikelihood>(*rows, p, [](const Cause& c) { return c.place; });
    result.contributions = contributions(*rows, *items, evidence);
    result.misfit = detail::misfit(*rows, *items, evidence, p);
    result.fits_nothing = (result.misfit > misfit_limit && items->size() >= judged_from) || unlisted_leads(*rows, p);
    return result;
}

} // namespace chockside::isolate
