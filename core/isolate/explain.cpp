#include <core/isolate/explain.h>

#include <core/isolate/detail/inner.h>
#include <core/isolate/detail/summary.h>

#include <algorithm>
#include <cmath>

namespace chockside::isolate {

namespace {

using detail::Rows;

constexpr double worth_saying = 0.182; ///< logarithm of a factor of 1.2
constexpr double likely_enough = 0.02; ///< chance of an answer, to speak of it

std::size_t index_of(const Model& m, const std::string& cause)
{
    const auto found = std::find_if(m.causes.begin(), m.causes.end(), [&](const Cause& c) { return c.id == cause; });
    return static_cast<std::size_t>(found - m.causes.begin());
}

void factors(Explanation& out, const Posterior& p, const std::vector<Evidence>& evidence, std::size_t most)
{
    for (const Contribution& c : p.contributions) {
        if (c.cause != out.cause || std::fabs(c.log_odds) < worth_saying) continue;
        const auto e = std::find_if(evidence.begin(), evidence.end(), [&](const Evidence& x) { return x.id == c.evidence; });
        Factor f{c.evidence, c.check, e == evidence.end() ? "" : e->outcome, e == evidence.end() ? std::nullopt : e->number, std::exp(c.log_odds)};
        (c.log_odds > 0 ? out.in_favour : out.against).push_back(std::move(f));
    }
    const auto strongest = [](const Factor& a, const Factor& b) { return std::fabs(std::log(a.times)) > std::fabs(std::log(b.times)); };
    for (auto* side : {&out.in_favour, &out.against}) {
        std::stable_sort(side->begin(), side->end(), strongest);
        side->resize(std::min(side->size(), most));
    }
}

std::vector<PlaceLikelihood> along(const Model& m, const Posterior& p, std::span<const std::string> places)
{
    std::vector<std::string> order(places.begin(), places.end());
    if (order.empty())
        for (const Cause& c : m.causes)
            if (!c.place.empty() && std::find(order.begin(), order.end(), c.place) == order.end()) order.push_back(c.place);
    std::vector<PlaceLikelihood> all;
    for (const std::string& place : order) {
        const auto found = std::find_if(p.places.begin(), p.places.end(), [&](const auto& l) { return l.place == place; });
        all.push_back({place, found == p.places.end() ? 0 : found->p});
    }
    return all;
}

bool answered(const std::vector<Evidence>& evidence, const std::string& check)
{
    return std::any_of(evidence.begin(), evidence.end(), [&](const Evidence& e) { return e.check == check; });
}

/// Answers of asked checks alone: which number a meter will show is no single answer.
std::vector<Turn> turns(const Rows& rows, const detail::Weights& weights, const std::vector<Evidence>& evidence, const std::string& leader, Presence now, std::size_t most)
{
    std::vector<Turn> all;
    const std::vector<double> p = detail::normalised(weights.logs());
    const detail::RemedySums remedies(rows);
    const std::size_t own = remedies.owner(index_of(rows.model(), leader));
    for (std::size_t c = 0; c < rows.model().checks.size(); ++c) {
        const Check& check = rows.model().checks[c];
        if (rows.has_number(c) || check.automatic || answered(evidence, check.id)) continue;
        for (std::size_t o = 0; o < check.outcomes.size(); ++o) {
            const auto logs = rows.log_outcome(c, now, o);
            std::vector<double> after(p.size());
            double chance = 0;
            for (std::size_t k = 0; k < p.size(); ++k) chance += after[k] = p[k] * std::exp(logs[k]);
            if (chance < likely_enough) continue;
            for (double& v : after) v /= chance;
            const auto sums = remedies.of(after);
            const auto best = static_cast<std::size_t>(std::max_element(sums.begin(), sums.end()) - sums.begin());
            if (best == own) continue;
            const std::size_t cause = detail::leading_cause(remedies.remedies()[best], detail::of_causes(rows, after));
            all.push_back({check.id, check.outcomes[o], chance, rows.model().causes[cause].id, sums[best]});
        }
    }
    std::stable_sort(all.begin(), all.end(), [](const Turn& a, const Turn& b) { return a.chance > b.chance; });
    all.resize(std::min(all.size(), most));
    return all;
}

/// Jensen-Shannon divergence of two rows in bits: what one look tells of two equally likely causes.
double parting_bits(const double* a, const double* b, std::size_t n)
{
    double bits = 0;
    for (std::size_t o = 0; o < n; ++o) {
        const double m = (a[o] + b[o]) / 2;
        if (a[o] > 0) bits += a[o] / 2 * std::log2(a[o] / m);
        if (b[o] > 0) bits += b[o] / 2 * std::log2(b[o] / m);
    }
    return bits;
}

std::optional<Rivals> rivals(const Rows& rows, const Posterior& p, const std::vector<Evidence>& evidence, Presence now)
{
    if (p.remedies.size() < 2) return std::nullopt;
    constexpr std::size_t cells = 24;
    Rivals r{p.remedies[0].cause, p.remedies[1].cause, p.remedies[0].p, p.remedies[1].p, {}, 0};
    const std::size_t a = index_of(rows.model(), r.first), b = index_of(rows.model(), r.second);
    for (std::size_t c = 0; c < rows.model().checks.size(); ++c) {
        const Check& check = rows.model().checks[c];
        if (check.automatic || answered(evidence, check.id)) continue;
        const auto table = rows.table(c, now, cells);
        const std::size_t n = rows.has_number(c) ? cells : check.outcomes.size();
        const double bits = parting_bits(&table[a * n], &table[b * n], n);
        if (bits > r.bits) r.bits = bits, r.check = check.id;
    }
    return r;
}

} // namespace

Explanation explain(const Reasoner& reasoner, const Posterior& p, std::span<const std::string> places, Presence now, std::size_t most)
{
    const auto& inner = reasoner.inner();
    Explanation out;
    out.cause = p.remedies.front().cause;
    out.p = p.remedies.front().p;
    out.fits_nothing = p.fits_nothing;
    out.misfit = p.misfit;
    factors(out, p, inner.evidence, most);
    out.along = along(inner.ground->model, p, places);
    out.turns = turns(inner.ground->rows, inner.weights, inner.evidence, out.cause, now, most);
    out.rivals = rivals(inner.ground->rows, p, inner.evidence, now);
    return out;
}

} // namespace chockside::isolate
