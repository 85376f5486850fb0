#include <core/isolate/detail/loss.h>

#include <algorithm>
#include <array>
#include <map>
#include <tuple>

namespace chockside::isolate::detail {

namespace {

// Standard scores at the middle of nine equal shares of a normal distribution.
constexpr std::array<double, 9> shares{-1.5932, -0.9674, -0.5895, -0.2822, 0, 0.2822, 0.5895, 0.9674, 1.5932};

double cost_of(const Remedy& remedy, const Costs& costs)
{
    if (remedy.cause_class == "unit" || remedy.cause_class == "sensor") return costs.wrong_removal + costs.missed;
    return remedy.cause_class == "none" ? costs.missed + costs.misleading : costs.missed;
}

Shows by_number(const Rows& rows, std::size_t check, Presence now, const std::vector<std::size_t>& hypotheses)
{
    // Many causes share one row: one set of nine points for each density, not for each cause.
    std::map<std::tuple<int, double, double>, std::vector<std::size_t>> same;
    for (std::size_t i = 0; i < hypotheses.size(); ++i)
        if (const auto& d = rows.number(check, now, rows.hypotheses()[hypotheses[i]].first)) same[{static_cast<int>(d->kind), d->a, d->b}].push_back(i);
    Shows s;
    for (const auto& [key, owners] : same)
        for (const double z : shares) {
            const double x = value_at({static_cast<Density::Kind>(std::get<0>(key)), std::get<1>(key), std::get<2>(key)}, z);
            std::vector<double> l;
            l.reserve(hypotheses.size());
            for (const std::size_t h : hypotheses) l.push_back(rows.density(check, now, rows.hypotheses()[h], x));
            s.l.push_back(std::move(l));
            s.share.push_back(1.0 / static_cast<double>(shares.size()));
            s.owners.push_back(owners);
        }
    return s;
}

} // namespace

Loss::Loss(const Rows& rows, const Costs& costs, std::vector<std::size_t> hypotheses) : hypotheses_(std::move(hypotheses))
{
    const auto all = remedies(rows.model());
    std::vector<std::size_t> owner(rows.model().causes.size()), number(all.size(), all.size());
    for (std::size_t r = 0; r < all.size(); ++r)
        for (const std::size_t k : all[r].causes) owner[k] = r;
    const auto compact = [&](std::size_t remedy) {
        if (number[remedy] == all.size()) {
            number[remedy] = costs_.size();
            costs_.push_back(cost_of(all[remedy], costs));
        }
        return number[remedy];
    };
    for (const std::size_t h : hypotheses_) owners_.emplace_back(compact(owner[rows.hypotheses()[h].first]), compact(owner[rows.hypotheses()[h].second]));
    sums_.resize(costs_.size());
}

double Loss::of(std::span<const double> p) const
{
    std::fill(sums_.begin(), sums_.end(), 0.0);
    double all = 0;
    for (std::size_t i = 0; i < p.size(); ++i) {
        sums_[owners_[i].first] += p[i] / 2;
        sums_[owners_[i].second] += p[i] / 2;
        all += p[i];
    }
    if (all <= 0) return 0;
    double loss = 0;
    for (std::size_t r = 0; r < sums_.size(); ++r) loss += costs_[r] * (sums_[r] / all) * (1 - sums_[r] / all);
    return loss;
}

Shows shows(const Rows& rows, std::size_t check, Presence now, const std::vector<std::size_t>& hypotheses)
{
    if (rows.has_number(check)) return by_number(rows, check, now, hypotheses);
    Shows s;
    s.l.assign(rows.model().checks[check].outcomes.size(), std::vector<double>(hypotheses.size()));
    for (std::size_t i = 0; i < hypotheses.size(); ++i) {
        const auto p = rows.outcomes(check, now, rows.hypotheses()[hypotheses[i]]);
        for (std::size_t o = 0; o < p.size(); ++o) s.l[o][i] = p[o];
    }
    return s;
}

double after(const Shows& s, std::size_t branch, std::span<const double> p, std::vector<double>& out)
{
    out.resize(p.size());
    double chance = 0;
    for (std::size_t i = 0; i < p.size(); ++i) chance += out[i] = p[i] * s.l[branch][i];
    if (s.share.empty()) return chance;
    chance = 0;
    for (const std::size_t i : s.owners[branch]) chance += p[i] * s.share[branch];
    return chance;
}

double saved(const Loss& loss, const Shows& s, std::span<const double> p, double loss_now)
{
    std::vector<double> q;
    double later = 0, all = 0;
    for (std::size_t b = 0; b < s.l.size(); ++b) {
        const double chance = after(s, b, p, q);
        later += chance * loss.of(q);
        all += chance;
    }
    return all > 0 ? std::max(0.0, loss_now - later / all) : 0;
}

} // namespace chockside::isolate::detail
