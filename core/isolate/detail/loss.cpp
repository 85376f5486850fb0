#include <core/isolate/detail/loss.h>

#include <algorithm>
#include <array>
#include <numeric>

namespace chockside::isolate::detail {

namespace {

// Standard scores at the middle of nine equal shares of a normal distribution.
constexpr std::array<double, 9> shares{-1.5932, -0.9674, -0.5895, -0.2822, 0, 0.2822, 0.5895, 0.9674, 1.5932};

double cost_of(const Remedy& remedy, const Costs& costs)
{
    if (remedy.cause_class == "unit" || remedy.cause_class == "sensor") return costs.wrong_removal + costs.missed;
    return remedy.cause_class == "none" ? costs.missed + costs.misleading : costs.missed;
}

/// Kinds under this presence; a representative cause for each.
std::vector<std::size_t> number_kinds(const Rows& rows, std::size_t check, Presence now, Split& s)
{
    const auto& given = rows.alike_given(check);
    const auto& absent = rows.alike_absent(check);
    const std::size_t absents = 1u + *std::max_element(absent.begin(), absent.end()), givens = 1u + *std::max_element(given.begin(), given.end());
    std::vector<int> number(givens * absents * 2, -1);
    std::vector<std::size_t> stands_for;
    for (std::size_t k = 0; k < given.size(); ++k) {
        const bool hard = rows.model().causes[k].mode == "hard";
        const std::size_t key = now == Presence::showing ? given[k] : now == Presence::absent ? absent[k] : (given[k] * absents + absent[k]) * 2 + hard;
        if (number[key] < 0) {
            number[key] = static_cast<int>(stands_for.size());
            stands_for.push_back(k);
        }
        s.of.push_back(static_cast<std::uint16_t>(number[key]));
    }
    s.kinds = stands_for.size();
    std::vector<std::size_t> many(s.kinds, 0);
    for (const auto kind : s.of) ++many[kind];
    s.usual = static_cast<std::uint16_t>(std::max_element(many.begin(), many.end()) - many.begin());
    for (std::size_t k = 0; k < s.of.size(); ++k)
        if (s.of[k] != s.usual) s.unusual.push_back(k);
    return stands_for;
}

void by_outcome(const Rows& rows, std::size_t check, Presence now, const std::vector<std::size_t>& kinds, Split& s)
{
    std::vector<std::vector<double>> alone;
    for (const std::size_t k : kinds) alone.push_back(rows.outcomes_of(check, now, k));
    s.l.assign(alone.front().size(), std::vector<double>(s.kinds * s.kinds));
    for (std::size_t a = 0; a < s.kinds; ++a)
        for (std::size_t b = 0; b < s.kinds; ++b) {
            const auto p = more_abnormal(alone[a], alone[b]);
            for (std::size_t o = 0; o < p.size(); ++o) s.l[o][a * s.kinds + b] = p[o];
        }
}

void by_number(const Rows& rows, std::size_t check, Presence now, const std::vector<std::size_t>& kinds, Split& s)
{
    for (std::size_t k = 0; k < s.kinds; ++k) {
        const auto& density = rows.number(check, now, kinds[k]);
        if (!density) continue;
        for (const double z : shares) {
            std::vector<double> alone, l(s.kinds * s.kinds);
            for (const std::size_t cause : kinds) alone.push_back(rows.density_of(check, now, cause, value_at(*density, z)));
            for (std::size_t a = 0; a < s.kinds; ++a)
                for (std::size_t b = 0; b < s.kinds; ++b) l[a * s.kinds + b] = (alone[a] + alone[b]) / 2;
            s.l.push_back(std::move(l));
            s.drawn_from.push_back(static_cast<std::uint16_t>(k));
        }
    }
}

} // namespace

Split split(const Rows& rows, std::size_t check, Presence now)
{
    Split s;
    const auto kinds = number_kinds(rows, check, now, s);
    rows.has_number(check) ? by_number(rows, check, now, kinds, s) : by_outcome(rows, check, now, kinds, s);
    return s;
}

Stand::Stand(const Rows& rows, const Costs& costs, std::vector<std::size_t> hypotheses)
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
    with_first_.resize(rows.model().causes.size());
    with_second_.resize(rows.model().causes.size());
    for (const std::size_t h : hypotheses) {
        const Hypothesis& of = rows.hypotheses()[h];
        with_first_[of.first].push_back(static_cast<std::uint32_t>(ones_.size()));
        if (!of.single()) with_second_[of.second].push_back(static_cast<std::uint32_t>(ones_.size()));
        ones_.push_back({h, of.first, of.second, compact(owner[of.first]), compact(owner[of.second])});
    }
}

std::vector<double> Stand::p_of(std::span<const double> all, double& mass) const
{
    std::vector<double> p;
    p.reserve(ones_.size());
    for (const One& one : ones_) p.push_back(all[one.hypothesis]);
    mass = std::accumulate(p.begin(), p.end(), 0.0);
    for (double& v : p) v /= mass;
    return p;
}

double Stand::loss_of(std::span<const double> sums) const
{
    const double all = std::accumulate(sums.begin(), sums.end(), 0.0);
    if (all <= 0) return 0;
    double loss = 0;
    for (std::size_t r = 0; r < sums.size(); ++r) loss += costs_[r] * (sums[r] / all) * (1 - sums[r] / all);
    return loss;
}

Stand::Laid Stand::lay(std::vector<double> p) const
{
    Laid laid{std::move(p), std::vector<double>(costs_.size(), 0.0), std::vector<double>(with_first_.size(), 0.0), 0};
    for (std::size_t i = 0; i < ones_.size(); ++i) {
        laid.by_remedy[ones_[i].remedy] += laid.p[i] / 2;
        laid.by_remedy[ones_[i].other] += laid.p[i] / 2;
        laid.by_first[ones_[i].first] += laid.p[i];
    }
    laid.loss = loss_of(laid.by_remedy);
    return laid;
}

void Stand::gather(const Split& s, const Laid& laid, std::vector<double>& by_remedy) const
{
    const std::size_t cells = s.kinds * s.kinds, usual = s.usual * s.kinds + s.usual;
    by_remedy.assign(costs_.size() * cells, 0.0);
    for (std::size_t r = 0; r < costs_.size(); ++r) by_remedy[r * cells + usual] = laid.by_remedy[r];
    // As if every cause were of the usual kind; then those move that have one which is not.
    const auto move = [&](std::uint32_t i) {
        const One& one = ones_[i];
        const std::size_t cell = s.of[one.first] * s.kinds + s.of[one.second];
        const double half = laid.p[i] / 2;
        by_remedy[one.remedy * cells + usual] -= half;
        by_remedy[one.remedy * cells + cell] += half;
        by_remedy[one.other * cells + usual] -= half;
        by_remedy[one.other * cells + cell] += half;
    };
    for (const std::size_t k : s.unusual) {
        for (const std::uint32_t i : with_first_[k]) move(i);
        for (const std::uint32_t i : with_second_[k])
            if (s.of[ones_[i].first] == s.usual) move(i);
    }
}

double Stand::saved(const Split& s, const Laid& laid) const
{
    static thread_local std::vector<double> by_remedy, by_kind, sums;
    gather(s, laid, by_remedy);
    by_kind.assign(s.kinds, 0.0);
    if (!s.drawn_from.empty())
        for (std::size_t k = 0; k < s.of.size(); ++k) by_kind[s.of[k]] += laid.by_first[k];
    const std::size_t cells = s.kinds * s.kinds;
    double later = 0, all = 0;
    for (std::size_t b = 0; b < s.l.size(); ++b) {
        sums.assign(costs_.size(), 0.0);
        for (std::size_t r = 0; r < costs_.size(); ++r)
            for (std::size_t g = 0; g < cells; ++g) sums[r] += by_remedy[r * cells + g] * s.l[b][g];
        const double chance = s.drawn_from.empty() ? std::accumulate(sums.begin(), sums.end(), 0.0) : by_kind[s.drawn_from[b]] / static_cast<double>(shares.size());
        if (chance <= 0) continue;
        later += chance * loss_of(sums);
        all += chance;
    }
    return all > 0 ? std::max(0.0, laid.loss - later / all) : 0;
}

std::vector<Stand::Branch> Stand::branches(const Split& s, std::span<const double> p) const
{
    std::vector<Branch> all(s.l.size());
    for (std::size_t b = 0; b < all.size(); ++b) {
        double sum = 0, drawn = 0;
        all[b].p.reserve(p.size());
        for (std::size_t i = 0; i < p.size(); ++i) {
            all[b].p.push_back(p[i] * s.l[b][s.of[ones_[i].first] * s.kinds + s.of[ones_[i].second]]);
            sum += all[b].p.back();
            if (!s.drawn_from.empty() && s.of[ones_[i].first] == s.drawn_from[b]) drawn += p[i] / static_cast<double>(shares.size());
        }
        all[b].chance = s.drawn_from.empty() ? sum : drawn;
        if (sum > 0)
            for (double& v : all[b].p) v /= sum;
    }
    return all;
}

} // namespace chockside::isolate::detail
