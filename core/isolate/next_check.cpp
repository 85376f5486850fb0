#include <core/isolate/detail/branches.h>
#include <core/isolate/detail/inner.h>
#include <core/isolate/detail/prospect.h>

#include <algorithm>
#include <cmath>

namespace chockside::isolate {

namespace {

using detail::Branch;
using detail::Prospect;
using detail::Rows;
using detail::Stakes;

constexpr double hides_min = 3, destroys_min = 10; ///< what a disturbance is priced at, in minutes
constexpr double shared = 0.7;                     ///< of a second check's worth that is still there after a first behind the same panel
constexpr double held = 0.999;                     ///< share of the mass that is weighed
constexpr std::size_t looked_ahead = 8;

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
    std::size_t index = 0;
    NextCheck next;
    double saved = 0, minutes = 0;
};

double minutes_of(const NextCheck& next, const Check& check)
{
    return std::max(next.minutes + disturbance(check), 0.5);
}

void value(Candidate& c, const Situation& now, const Costs& costs)
{
    c.minutes = minutes_of(c.next, *c.check);
    const bool late = c.next.minutes > now.minutes_left;
    c.next.worth = (c.saved - (late ? costs.deferral : 0)) / c.minutes;
    c.next.why = late ? "late" : "splits";
}

bool beside(const Candidate& a, const Candidate& b)
{
    return &a != &b && a.check->panel == b.check->panel && a.check->needs_power_off == b.check->needs_power_off;
}

/// A panel that is opened once serves every check behind it: each of them joins while it raises what all bring per minute together.
void batch(Candidate& c, const std::vector<Candidate>& all)
{
    if (c.next.why == "late" || c.check->panel.empty()) return;
    if (c.next.access_minutes <= 0) c.next.why = "same_panel";
    if (c.saved <= 0) return;
    std::vector<const Candidate*> others;
    for (const Candidate& d : all)
        if (beside(c, d) && d.saved > 0) others.push_back(&d);
    const auto rate = [](const Candidate* d) { return d->saved / std::max(d->next.own_minutes + disturbance(*d->check), 0.5); };
    std::stable_sort(others.begin(), others.end(), [&](const auto* a, const auto* b) { return rate(a) > rate(b); });
    double saved = c.saved, minutes = c.minutes, left = shared;
    for (const Candidate* d : others) {
        const double more = saved + left * d->saved, longer = minutes + d->next.own_minutes + disturbance(*d->check);
        if (more / longer <= saved / minutes) break;
        saved = more, minutes = longer, left *= shared;
        c.next.with.push_back(d->check->id);
    }
    c.next.worth = std::max(c.next.worth, saved / minutes);
}

/// The state that a check leaves behind: its panel open, power as it needed it.
Situation after(const Check& check, Situation now)
{
    if (!check.panel.empty()) now.open_panels.insert(check.panel);
    if (check.needs_power_off) now.power_on = now.warm = false;
    if (check.needs_power_on || check.needs_warm) now.power_on = true;
    if (check.needs_warm) now.warm = true;
    now.answered.insert(check.id);
    return now;
}

struct Ahead {
    std::vector<Candidate*> best;
    std::vector<Prospect::Look> looks;
};

/// What the check saves together with the best one after each of its outcomes, over the minutes of both. Only where that beats every
/// single check: else a look that tells nothing would live on what follows it.
void two_ahead(const Prospect& prospect, const Ahead& ahead, std::size_t at, const Situation& now, double to_beat)
{
    Candidate& c = *ahead.best[at];
    if (c.next.why == "late") return;
    const Situation then = after(*c.check, now);
    double saved = c.saved, minutes = c.minutes, likeliest = 0;
    std::string second;
    for (std::size_t o = 0; o < ahead.looks[at].outcomes; ++o) {
        const Prospect seen = prospect.after(ahead.looks[at], o);
        const double chance = seen.mass();
        if (chance <= 0.01) continue;
        double best_saved = 0, best_minutes = 0, best_rate = 0;
        const Check* best = nullptr;
        for (std::size_t d = 0; d < ahead.best.size(); ++d) {
            if (d == at) continue;
            const Check& check = *ahead.best[d]->check;
            const double m = chance * minutes_of(priced(check, then), check), s = seen.saved(ahead.looks[d]);
            if (s / m > best_rate) best_rate = s / m, best_saved = s, best_minutes = m, best = &check;
        }
        if (!best || best_rate <= c.saved / c.minutes) continue;
        saved += best_saved, minutes += best_minutes;
        if (chance > likeliest) likeliest = chance, second = best->id;
    }
    if (saved / minutes <= std::max(c.next.worth, to_beat)) return;
    c.next.worth = saved / minutes;
    c.next.why = "then";
    c.next.then = second;
}

void sort(std::vector<Candidate>& all)
{
    std::stable_sort(all.begin(), all.end(), [](const Candidate& a, const Candidate& b) { return a.next.worth > b.next.worth; });
}

Plan plan_of(const Rows& rows, const detail::Weights& weights, const Situation& situation, const Costs& costs, Presence now, std::size_t most)
{
    const Stakes stakes = Stakes::make(rows.model(), costs);
    const Prospect prospect(rows, stakes, weights.logs(), held);
    std::vector<Candidate> all;
    for (std::size_t c = 0; c < rows.model().checks.size(); ++c) {
        const Check& check = rows.model().checks[c];
        if (!possible(check, situation)) continue;
        all.push_back({&check, c, priced(check, situation), prospect.saved(prospect.look(c, now)), 0});
        value(all.back(), situation, costs);
    }
    for (Candidate& c : all) batch(c, all);
    sort(all);
    Ahead ahead;
    for (std::size_t i = 0; i < std::min(looked_ahead, all.size()); ++i) {
        ahead.best.push_back(&all[i]);
        ahead.looks.push_back(prospect.look(all[i].index, now));
    }
    const double to_beat = all.empty() ? 0 : all.front().next.worth;
    for (std::size_t i = 0; i < ahead.best.size(); ++i) two_ahead(prospect, ahead, i, situation, to_beat);
    sort(all);
    Plan plan{{}, prospect.size(), prospect.rest()};
    for (std::size_t i = 0; i < std::min(most, all.size()); ++i) plan.checks.push_back(std::move(all[i].next));
    return plan;
}

} // namespace

bool possible(const Check& check, const Situation& now)
{
    const auto answered = [&](const std::string& id) { return now.answered.contains(id); };
    if (!check.after.empty() && std::none_of(check.after.begin(), check.after.end(), answered)) return false;
    if (check.automatic || check.people > now.people || now.answered.contains(check.id)) return false;
    return !now.tools || std::all_of(check.tools.begin(), check.tools.end(), [&](const auto& t) { return now.tools->contains(t); });
}

Result<double> information_gain(const Model& model, std::span<const Evidence> evidence, const std::string& check, Presence now)
{
    const auto rows = Rows::make(model);
    if (!rows) return Unexpected{rows.error()};
    const auto weights = detail::weigh(*rows, evidence);
    if (!weights) return Unexpected{weights.error()};
    const auto index = rows->check(check);
    if (!index) return fail("unknown_check", check, {{"check", check}});
    const auto p = detail::normalised(weights->logs());
    double bits = 0, all = 0;
    for (const Branch& b : detail::branches(*rows, *index, now, p)) {
        bits += b.chance * detail::entropy_bits(b.p);
        all += b.chance;
    }
    return all > 0 ? detail::entropy_bits(p) - bits / all : 0.0;
}

Plan plan(const Reasoner& reasoner, const Situation& situation, const Costs& costs, Presence now, std::size_t most)
{
    return plan_of(reasoner.inner().ground->rows, reasoner.inner().weights, situation, costs, now, most);
}

std::vector<NextCheck> next_checks(const Model& model, std::span<const Evidence> evidence, const Situation& situation, const Costs& costs, Presence now, std::size_t most)
{
    const auto rows = Rows::make(model);
    if (!rows) return {};
    const auto weights = detail::weigh(*rows, evidence);
    if (!weights) return {};
    return plan_of(*rows, *weights, situation, costs, now, most).checks;
}

} // namespace chockside::isolate
