#include <core/isolate/detail/prospect.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace chockside::isolate::detail {

namespace {

constexpr std::size_t cells = 24; ///< of a number: coarse beside any meter, fine beside any limit

double cost_of(const Remedy& remedy, const Costs& costs)
{
    if (remedy.cause_class == "unit" || remedy.cause_class == "sensor") return costs.wrong_removal + costs.missed;
    return remedy.cause_class == "none" ? costs.missed + costs.misleading : costs.missed;
}

/// Causes to keep: the likeliest until what is left out, with everything that it is a part of, is at most `most`.
std::vector<bool> kept(const std::vector<Hypothesis>& all, const std::vector<double>& p, std::size_t causes, double most)
{
    std::vector<double> mass(causes, 0.0);
    for (std::size_t k = 0; k < p.size(); ++k) {
        mass[all[k].first] += p[k];
        if (!all[k].single()) mass[all[k].second] += p[k];
    }
    std::vector<std::size_t> order(causes);
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return mass[a] < mass[b]; });
    std::vector<bool> keep(causes, true);
    double left_out = 0;
    for (const std::size_t c : order) {
        left_out += mass[c]; // a pair of two that are left out counts twice: on the safe side
        if (left_out > most) break;
        keep[c] = false;
    }
    return keep;
}

/// A cause whose row more than half of the group share, if there is one; else any.
std::size_t majority(const Prospect::Look& look, const std::vector<std::size_t>& group, std::size_t which)
{
    const auto same = [&](std::size_t a, std::size_t b) {
        return std::equal(&look.l[a * look.outcomes], &look.l[a * look.outcomes] + look.outcomes, &look.l[b * look.outcomes]);
    };
    std::size_t leader = 0, votes = 0;
    for (std::size_t k = 0; k < group.size(); ++k) {
        if (group[k] != which) continue;
        if (votes == 0) leader = k, votes = 1;
        else if (same(leader, k)) ++votes;
        else --votes;
    }
    return leader;
}

} // namespace

Stakes Stakes::make(const Model& model, const Costs& costs)
{
    Stakes s;
    s.owner.resize(model.causes.size());
    for (const Remedy& r : remedies(model)) {
        for (std::size_t k : r.causes) s.owner[k] = s.cost.size();
        s.cost.push_back(cost_of(r, costs));
    }
    return s;
}

Prospect::Prospect(const Rows& rows, const Stakes& stakes, std::span<const double> logs, double share) : rows_(&rows), stakes_(&stakes)
{
    const std::vector<double> p = normalised({logs.begin(), logs.end()});
    const auto& all = rows.hypotheses();
    const auto keep = kept(all, p, rows.model().causes.size(), 1 - share);
    std::vector<std::size_t> at(keep.size(), 0);
    for (std::size_t c = 0; c < keep.size(); ++c) {
        if (!keep[c]) continue;
        at[c] = cause_.size();
        cause_.push_back(c);
        owner_.push_back(stakes.owner[c]);
        group_.push_back(rows.model().causes[c].mode == "hard" ? 0 : 1);
    }
    const std::size_t n = cause_.size();
    alone_.assign(n, 0.0);
    pair_.assign(n * n, 0.0);
    double sum = 0;
    for (std::size_t k = 0; k < p.size(); ++k) {
        const Hypothesis& h = all[k];
        if (!keep[h.first] || !keep[h.second]) continue;
        ++hypotheses_;
        sum += p[k];
        if (h.single()) alone_[at[h.first]] = p[k];
        else pair_[at[h.first] * n + at[h.second]] = pair_[at[h.second] * n + at[h.first]] = p[k] / 2;
    }
    for (double& v : alone_) v /= sum;
    for (double& v : pair_) v /= sum;
    rest_ = std::max(0.0, 1 - sum);
    sum_up();
}

void Prospect::sum_up()
{
    const std::size_t n = cause_.size();
    for (auto& s : pair_sum_) s.assign(n, 0.0);
    sums_.assign(stakes_->cost.size(), 0.0);
    mass_ = 0;
    for (std::size_t a = 0; a < n; ++a) {
        const double* row = &pair_[a * n];
        for (std::size_t b = 0; b < n; ++b) pair_sum_[group_[b]][a] += row[b];
        const double own = alone_[a] + pair_sum_[0][a] + pair_sum_[1][a];
        sums_[owner_[a]] += own;
        mass_ += own;
    }
}

Prospect::Look Prospect::look(std::size_t check, Presence presence) const
{
    const std::vector<double> table = rows_->table(check, presence, cells);
    Look look;
    look.check = check;
    look.number = rows_->has_number(check);
    look.outcomes = look.number ? cells : rows_->model().checks[check].outcomes.size();
    for (const std::size_t c : cause_) look.l.insert(look.l.end(), &table[c * look.outcomes], &table[c * look.outcomes] + look.outcomes);
    look.usual = {majority(look, group_, 0), majority(look, group_, 1)};
    for (std::size_t k = 0; k < cause_.size(); ++k)
        if (!std::equal(&look.l[k * look.outcomes], &look.l[k * look.outcomes] + look.outcomes, &look.l[look.usual[group_[k]] * look.outcomes])) look.unusual.push_back(k);
    return look;
}

/// For every cause a: the sum over b of the weight of the two times x[b]. x is that of the usual row but for the unusual ones.
std::vector<double> Prospect::paired(const std::vector<double>& x, const Look& look) const
{
    const std::size_t n = cause_.size();
    const double hard = n ? x[look.usual[0]] : 0, other = n ? x[look.usual[1]] : 0;
    std::vector<double> y(n);
    for (std::size_t a = 0; a < n; ++a) y[a] = hard * pair_sum_[0][a] + other * pair_sum_[1][a];
    for (const std::size_t b : look.unusual) {
        const double more = x[b] - (group_[b] == 0 ? hard : other);
        const double* column = &pair_[b * n]; // symmetric
        for (std::size_t a = 0; a < n; ++a) y[a] += more * column[a];
    }
    return y;
}

std::vector<double> Prospect::by_remedy(const std::vector<double>& alone, const std::vector<double>& of_pairs) const
{
    std::vector<double> sums(stakes_->cost.size(), 0.0);
    for (std::size_t a = 0; a < cause_.size(); ++a) sums[owner_[a]] += alone[a] + of_pairs[a];
    return sums;
}

double Prospect::pair_shows(const Look& look, std::size_t a, std::size_t b, std::size_t outcome) const
{
    const double *la = &look.l[a * look.outcomes], *lb = &look.l[b * look.outcomes];
    if (look.number) return (la[outcome] + lb[outcome]) / 2;
    return more_abnormal(std::accumulate(la, la + outcome, 0.0), la[outcome], std::accumulate(lb, lb + outcome, 0.0), lb[outcome]);
}

/// Two causes that have a row of their own: what was counted for them by the rule goes, what their row says comes.
void Prospect::add_own_pairs(const Look& look, std::size_t outcome, std::vector<double>& sums) const
{
    const std::size_t n = cause_.size();
    for (const auto& [two, own] : rows_->together(look.check)) {
        const auto a = std::lower_bound(cause_.begin(), cause_.end(), two.first), b = std::lower_bound(cause_.begin(), cause_.end(), two.second);
        if (look.number || a == cause_.end() || b == cause_.end() || *a != two.first || *b != two.second) continue;
        const auto i = static_cast<std::size_t>(a - cause_.begin()), j = static_cast<std::size_t>(b - cause_.begin());
        const double more = pair_[i * n + j] * (own[outcome] - pair_shows(look, i, j, outcome));
        sums[owner_[i]] += more;
        sums[owner_[j]] += more;
    }
}

double Prospect::loss_of(std::span<const double> sums, double total) const
{
    double loss = 0;
    if (total <= 0) return 0;
    for (std::size_t r = 0; r < sums.size(); ++r) loss += stakes_->cost[r] * sums[r] * (1 - sums[r] / total);
    return loss;
}

/// P(at most as abnormal as o) of a pair is the product of its causes' own: what lies between two such sums is what an outcome leaves.
double Prospect::after_outcomes(const Look& look) const
{
    const std::size_t n = cause_.size();
    std::vector<double> tail(n, 1.0), above = sums_, alone(n);
    double after = 0;
    for (std::size_t o = 0; o < look.outcomes; ++o) {
        std::vector<double> below(sums_.size(), 0.0);
        if (o + 1 < look.outcomes) {
            for (std::size_t k = 0; k < n; ++k) tail[k] -= look.l[k * look.outcomes + o];
            std::vector<double> pairs = paired(tail, look);
            for (std::size_t k = 0; k < n; ++k) pairs[k] *= tail[k], alone[k] = alone_[k] * tail[k];
            below = by_remedy(alone, pairs);
        }
        std::vector<double> between(below.size());
        for (std::size_t r = 0; r < between.size(); ++r) between[r] = above[r] - below[r];
        add_own_pairs(look, o, between);
        double total = 0;
        for (double& v : between) total += v = std::max(v, 0.0);
        after += loss_of(between, total);
        above.swap(below);
    }
    return after;
}

double Prospect::after_number(const Look& look) const
{
    const std::size_t n = cause_.size();
    std::vector<double> x(n), alone(n);
    double after = 0;
    for (std::size_t o = 0; o < look.outcomes; ++o) {
        for (std::size_t k = 0; k < n; ++k) x[k] = look.l[k * look.outcomes + o];
        std::vector<double> pairs = paired(x, look);
        for (std::size_t k = 0; k < n; ++k) {
            pairs[k] = (pairs[k] + x[k] * (pair_sum_[0][k] + pair_sum_[1][k])) / 2;
            alone[k] = alone_[k] * x[k];
        }
        const std::vector<double> sums = by_remedy(alone, pairs);
        after += loss_of(sums, std::accumulate(sums.begin(), sums.end(), 0.0));
    }
    return after;
}

double Prospect::saved(const Look& look) const
{
    return std::max(0.0, loss_of(sums_, mass_) - (look.number ? after_number(look) : after_outcomes(look)));
}

Prospect Prospect::after(const Look& look, std::size_t outcome) const
{
    Prospect next = *this;
    const std::size_t n = cause_.size();
    std::vector<double> upper(n), lower(n), x(n);
    for (std::size_t k = 0; k < n; ++k) {
        const double* row = &look.l[k * look.outcomes];
        x[k] = row[outcome];
        upper[k] = 1 - std::accumulate(row, row + outcome, 0.0);
        lower[k] = upper[k] - x[k];
        next.alone_[k] *= x[k];
    }
    for (std::size_t a = 0; a < n; ++a) {
        double* row = &next.pair_[a * n];
        if (look.number)
            for (std::size_t b = 0; b < n; ++b) row[b] *= (x[a] + x[b]) / 2;
        else
            for (std::size_t b = 0; b < n; ++b) row[b] *= upper[a] * upper[b] - lower[a] * lower[b];
    }
    for (const auto& [two, own] : rows_->together(look.check)) {
        const auto a = std::lower_bound(cause_.begin(), cause_.end(), two.first), b = std::lower_bound(cause_.begin(), cause_.end(), two.second);
        if (look.number || a == cause_.end() || b == cause_.end() || *a != two.first || *b != two.second) continue;
        const auto i = static_cast<std::size_t>(a - cause_.begin()), j = static_cast<std::size_t>(b - cause_.begin());
        next.pair_[i * n + j] = next.pair_[j * n + i] = pair_[i * n + j] * own[outcome];
    }
    next.sum_up();
    return next;
}

} // namespace chockside::isolate::detail
