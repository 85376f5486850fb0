#include <core/isolate/detail/branches.h>
#include <core/isolate/detail/remedy.h>

#include <algorithm>
#include <cmath>

namespace chockside::isolate {

namespace {

using detail::Branch;
using detail::Hypothesis;
using detail::Remedy;
using detail::Rows;

constexpr double hides_min = 3, destroys_min = 10; ///< what a disturbance is priced at, in minutes
constexpr double shared = 0.7;                     ///< of a second check's worth that is still there after a first behind the same panel

double cost_of(const Remedy& remedy, const Costs& costs)
{
    if (remedy.cause_class == "unit" || remedy.cause_class == "sensor") return costs.wrong_removal + costs.missed;
    return remedy.cause_class == "none" ? costs.missed + costs.misleading : costs.missed;
}

/// Expected loss of acting on a remedy drawn by its likelihood: sum of cost x p x (1 - p). Concave, so no check makes it worse.
class Loss {
public:
    Loss(const Rows& rows, const Costs& costs) : rows_(rows), remedies_(detail::remedies(rows.model()))
    {
        for (const Remedy& r : remedies_) costs_.push_back(cost_of(r, costs));
        owner_.resize(rows.model().causes.size());
        for (std::size_t r = 0; r < remedies_.size(); ++r)
            for (std::size_t k : remedies_[r].causes) owner_[k] = r;
    }

    double of(std::span<const double> p) const
    {
        std::vector<double> sums(remedies_.size(), 0.0);
        for (std::size_t k = 0; k < p.size(); ++k) {
            const Hypothesis& h = rows_.hypotheses()[k];
            sums[owner_[h.first]] += p[k] / 2;
            sums[owner_[h.second]] += p[k] / 2;
        }
        double loss = 0;
        for (std::size_t r = 0; r < sums.size(); ++r) loss += costs_[r] * sums[r] * (1 - sums[r]);
        return loss;
    }

    double saved(std::size_t check, Presence now, std::span<const double> p) const
    {
        double after = 0, all = 0;
        for (const Branch& b : detail::branches(rows_, check, now, p)) {
            after += b.chance * of(b.p);
            all += b.chance;
        }
        return all > 0 ? std::max(0.0, of(p) - after / all) : 0;
    }

private:
    const Rows& rows_;
    std::vector<Remedy> remedies_;
    std::vector<double> costs_;
    std::vector<std::size_t> owner_;
};

NextCheck priced(const Check& check, const Situation& now)
{
    NextCheck n;
    n.check = check.id;
    n.own_minutes = check.minutes;
    n.access_minutes = check.panel.empty() || now.open_panels.contains(check.panel) ? 0 : check.access_minutes;
    // Power that goes off must come back, and warmth that was there must be waited for again.
    if (check.needs_power_off && now.power_on) n.power_minutes = now.power_down_min + now.power_up_min;
    else if (!now.power_on && (check.needs_power_on || check.needs_warm)) n.power_minutes = now.power_up_min;
    const bool lost = check.needs_power_off && now.power_on && now.warm;
    if (lost || (check.needs_warm && !now.warm)) n.warm_minutes = now.warm_min;
    n.minutes = n.own_minutes + n.access_minutes + n.power_minutes + n.warm_minutes;
    return n;
}

double disturbance(const Check& check)
{
    return check.disturbs >= 2 ? destroys_min : check.disturbs == 1 ? hides_min : 0;
}

struct Candidate {
    const Check* check = nullptr;
    NextCheck next;
    double saved = 0, minutes = 0;
};

void value(Candidate& c, const Situation& now, const Costs& costs)
{
    c.minutes = std::max(c.next.minutes + disturbance(*c.check), 0.5);
    const bool late = c.next.minutes > now.minutes_left;
    c.next.worth = (c.saved - (late ? costs.deferral : 0)) / c.minutes;
    c.next.why = late ? "late" : "splits";
}

/// A panel that is opened once serves every check behind it: the first is worth what it and the next best there bring together.
void batch(std::vector<Candidate>& all)
{
    for (Candidate& c : all) {
        if (c.next.access_minutes <= 0) {
            if (!c.check->panel.empty()) c.next.why = c.next.why == "late" ? "late" : "same_panel";
            continue;
        }
        for (const Candidate& d : all) {
            if (&d == &c || d.check->panel != c.check->panel || d.check->needs_power_off != c.check->needs_power_off) continue;
            const double both = (c.saved + shared * d.saved) / (c.minutes + d.next.own_minutes + disturbance(*d.check));
            if (c.saved > 0 && both > c.next.worth && c.next.why != "late") c.next.worth = both;
        }
    }
}

} // namespace

Result<double> information_gain(const Model& model, std::span<const Evidence> evidence, const std::string& check, Presence now)
{
    const auto rows = Rows::make(model);
    if (!rows) return Unexpected{rows.error()};
    const auto items = detail::weigh(*rows, evidence);
    if (!items) return Unexpected{items.error()};
    const auto index = rows->check(check);
    if (!index) return fail("unknown_check", check);
    const auto p = detail::normalised(detail::log_joint(*rows, *items));
    double bits = 0, all = 0;
    for (const Branch& b : detail::branches(*rows, *index, now, p)) {
        bits += b.chance * detail::entropy_bits(b.p);
        all += b.chance;
    }
    return all > 0 ? detail::entropy_bits(p) - bits / all : 0.0;
}

std::vector<NextCheck> next_checks(const Model& model, std::span<const Evidence> evidence, const Situation& situation, const Costs& costs, Presence now, std::size_t most)
{
    const auto rows = Rows::make(model);
    if (!rows) return {};
    const auto items = detail::weigh(*rows, evidence);
    if (!items) return {};
    const auto p = detail::normalised(detail::log_joint(*rows, *items));
    const Loss loss(*rows, costs);
    std::vector<Candidate> all;
    for (std::size_t c = 0; c < model.checks.size(); ++c) {
        const Check& check = model.checks[c];
        if (check.automatic || check.people > situation.people || situation.answered.contains(check.id)) continue;
        Candidate candidate{&check, priced(check, situation), loss.saved(c, now, p), 0};
        value(candidate, situation, costs);
        all.push_back(std::move(candidate));
    }
    batch(all);
    std::stable_sort(all.begin(), all.end(), [](const Candidate& a, const Candidate& b) { return a.next.worth > b.next.worth; });
    std::vector<NextCheck> next;
    for (std::size_t i = 0; i < std::min(most, all.size()); ++i) next.push_back(std::move(all[i].next));
    return next;
}

} // namespace chockside::isolate
