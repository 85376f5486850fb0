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

Prospect::Prospect(const Rows& rows, const Stakes& stakes, std::span<const double> logs, double share, std::size_t most) : rows_(rows), stakes_(stakes)
{
    const std::vector<double> p = normalised({logs.begin(), logs.end()});
    std::vector<std::size_t> order;
    const double least = (1 - share) / static_cast<double>(p.size()); // whatever is below cannot be missed by more than 1 - share in all
    for (std::size_t k = 0; k < p.size(); ++k)
        if (p[k] >= least) order.push_back(k);
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return p[a] > p[b]; });
    double sum = 0;
    for (std::size_t k : order) {
        if (sum >= share || p_.size() >= most) break;
        const Hypothesis& h = rows.hypotheses()[k];
        first_.push_back(h.first);
        second_.push_back(h.second);
        owner_a_.push_back(stakes.owner[h.first]);
        owner_b_.push_back(stakes.owner[h.second]);
        p_.push_back(p[k]);
        sum += p[k];
    }
    for (double& v : p_) v /= sum;
    rest_ = std::max(0.0, 1 - sum);
    by_remedy_.assign(stakes.cost.size(), 0.0);
    for (std::size_t i = 0; i < p_.size(); ++i) {
        by_remedy_[owner_a_[i]] += p_[i] / 2;
        by_remedy_[owner_b_[i]] += p_[i] / 2;
    }
}

Prospect::Seen Prospect::seen(std::size_t check, Presence presence) const
{
    const std::vector<double> table = rows_.table(check, presence, cells);
    const bool number = rows_.has_number(check);
    Seen s;
    s.outcomes = number ? cells : rows_.model().checks[check].outcomes.size();
    s.l.resize(s.outcomes * size());
    const auto& together = rows_.together(check);
    for (std::size_t i = 0; i < size(); ++i) {
        const double *a = &table[first_[i] * s.outcomes], *b = &table[second_[i] * s.outcomes];
        const bool single = first_[i] == second_[i];
        const auto own = single || together.empty() ? together.end() : together.find({first_[i], second_[i]});
        double before_a = 0, before_b = 0;
        for (std::size_t o = 0; o < s.outcomes; ++o) {
            double& l = s.l[o * size() + i];
            if (single) l = a[o];
            else if (number) l = (a[o] + b[o]) / 2;
            else if (own != together.end()) l = own->second[o];
            else l = more_abnormal(before_a, a[o], before_b, b[o]);
            before_a += a[o];
            before_b += b[o];
        }
    }
    return s;
}

double Prospect::loss(std::span<const double> p) const
{
    std::vector<double> sums(stakes_.cost.size(), 0.0);
    double total = 0;
    for (std::size_t i = 0; i < p.size(); ++i) {
        sums[owner_a_[i]] += p[i] / 2;
        sums[owner_b_[i]] += p[i] / 2;
        total += p[i];
    }
    return loss_of(sums, total);
}

double Prospect::loss_of(std::span<const double> sums, double total) const
{
    double loss = 0;
    if (total <= 0) return 0;
    for (std::size_t r = 0; r < sums.size(); ++r) loss += stakes_.cost[r] * sums[r] * (1 - sums[r] / total);
    return loss;
}

double Prospect::saved(std::size_t check, Presence presence) const
{
    if (rows_.has_number(check) || !rows_.together(check).empty()) return saved(seen(check, presence), p_);
    return saved_by_tails(check, presence);
}

/// P(at most as abnormal as o) of a pair is the product of its causes' own: one product per inner boundary between outcomes and
/// hypothesis, and the sums by remedy between two boundaries are what an outcome leaves.
double Prospect::saved_by_tails(std::size_t check, Presence presence) const
{
    const std::vector<double> table = rows_.table(check, presence, cells);
    const std::size_t causes = rows_.model().causes.size(), n = table.size() / causes, remedies = stakes_.cost.size();
    std::vector<double> tail(causes + 1, 1.0), above = by_remedy_, below(remedies), between(remedies); // the last tail stands for "no second cause"
    double after = 0;
    for (std::size_t o = 0; o < n; ++o) {
        std::fill(below.begin(), below.end(), 0.0);
        if (o + 1 < n) {
            for (std::size_t k = 0; k < causes; ++k) tail[k] -= table[k * n + o];
            for (std::size_t i = 0; i < p_.size(); ++i) {
                const double half = p_[i] * tail[first_[i]] * tail[first_[i] == second_[i] ? causes : second_[i]] / 2;
                below[owner_a_[i]] += half;
                below[owner_b_[i]] += half;
            }
        }
        double total = 0;
        for (std::size_t r = 0; r < remedies; ++r) total += between[r] = std::max(above[r] - below[r], 0.0);
        after += loss_of(between, total);
        above.swap(below);
    }
    return std::max(0.0, loss_of(by_remedy_, 1) - after);
}

double Prospect::saved(const Seen& s, std::span<const double> p) const
{
    std::vector<double> joint(p.size());
    double after = 0;
    for (std::size_t o = 0; o < s.outcomes; ++o) {
        const double* l = &s.l[o * size()];
        for (std::size_t i = 0; i < p.size(); ++i) joint[i] = p[i] * l[i];
        after += loss(joint);
    }
    return std::max(0.0, loss(p) - after);
}

} // namespace chockside::isolate::detail
