#include <core/isolate/detail/look_ahead.h>

#include <core/isolate/detail/price.h>

#include <algorithm>
#include <numeric>

namespace chockside::isolate::detail {

namespace {

constexpr double shared = 0.7;           ///< of a second check's worth that is still there after a first behind the same panel
constexpr std::size_t looked_behind = 8; ///< best of one look, from which a second is taken
constexpr std::size_t second_look_on = 128; ///< hypotheses
constexpr std::size_t second_looks = 48;    ///< best checks of one look, beside those behind the panel that is open then
constexpr double least_min = 0.5, negligible = 1e-6;

struct Candidate {
    std::size_t index = 0;
    const Check* check = nullptr;
    NextCheck next;
    double saved = 0, minutes = 0;
};

void value(Candidate& c, const Situation& now, const Costs& costs)
{
    c.minutes = std::max(c.next.minutes + disturbance(*c.check), least_min);
    const bool late = c.next.minutes > now.minutes_left;
    c.next.worth = (c.saved - (late ? costs.deferral : 0)) / c.minutes;
    c.next.why = late ? "late" : "splits";
}

/// A panel that is opened once serves every check behind it: the first is worth what it and the next best there bring together.
void batch(std::vector<Candidate>& all)
{
    for (Candidate& c : all) {
        if (c.next.access_minutes <= 0) {
            if (!c.check->panel.empty() && c.next.why != "late") c.next.why = "same_panel";
            continue;
        }
        for (const Candidate& d : all) {
            if (&d == &c || d.check->panel != c.check->panel || d.check->needs_power_off != c.check->needs_power_off) continue;
            const double both = (c.saved + shared * d.saved) / (c.minutes + d.next.own_minutes + disturbance(*d.check));
            if (c.saved > 0 && both > c.next.worth && c.next.why != "late") c.next.worth = both;
        }
    }
}

class Looking {
public:
    Looking(const Rows& rows, const Situation& now, Presence presence) : rows_(rows), now_(now)
    {
        for (std::size_t c = 0; c < rows.model().checks.size(); ++c)
            if (can_be_done(rows.model().checks[c], now)) splits_.emplace_back(c, split(rows, c, presence));
    }

    std::vector<Candidate> first(const Stand& stand, const Stand::Laid& laid, const Costs& costs) const
    {
        std::vector<Candidate> all;
        for (const auto& [c, s] : splits_) {
            const Check& check = rows_.model().checks[c];
            Candidate candidate{c, &check, priced(check, now_), stand.saved(s, laid), 0};
            value(candidate, now_, costs);
            all.push_back(std::move(candidate));
        }
        batch(all);
        return all;
    }

    /// What the check opens the way to: the best one after each of what it may show, beyond what the same minutes would bring without it
    /// (at `rate`, loss saved per minute).
    void behind(Candidate& c, const std::vector<std::size_t>& best, const Stand& stand, std::span<const double> p, double rate) const
    {
        if (c.next.why == "late") return;
        const Split& own = std::find_if(splits_.begin(), splits_.end(), [&](const auto& s) { return s.first == c.index; })->second;
        const Situation then = left_by(*c.check, now_);
        double more = 0, all = 0, likeliest_chance = -1;
        std::string likeliest_then;
        for (auto& branch : stand.branches(own, p)) {
            if (branch.chance <= negligible) continue;
            const Candidate second = best_after(c, best, then, stand, stand.lay(std::move(branch.p)));
            more += branch.chance * std::max(0.0, second.saved - rate * second.minutes);
            all += branch.chance;
            if (branch.chance > likeliest_chance) likeliest_chance = branch.chance, likeliest_then = second.check ? second.check->id : std::string();
        }
        const double worth = all > 0 ? (c.saved + more / all) / c.minutes : 0;
        if (worth <= c.next.worth) return;
        c.next.worth = worth;
        c.next.why = "leads_on";
        c.next.then = likeliest_then;
    }

private:
    /// Nothing after it is always possible.
    Candidate best_after(const Candidate& first, const std::vector<std::size_t>& among, const Situation& then, const Stand& stand, const Stand::Laid& laid) const
    {
        Candidate best;
        double rate = 0;
        for (const auto& [d, s] : splits_) {
            const Check& check = rows_.model().checks[d];
            const bool beside = !check.panel.empty() && check.panel == first.check->panel;
            if (d == first.index || (!beside && !std::binary_search(among.begin(), among.end(), d))) continue;
            const double minutes = std::max(priced(check, then).minutes + disturbance(check), least_min);
            if (laid.loss / minutes <= rate) continue; // even all of it would not do
            const double gain = stand.saved(s, laid);
            if (gain / minutes > rate) rate = gain / minutes, best = {d, &check, {}, gain, minutes};
        }
        return best;
    }

    const Rows& rows_;
    const Situation& now_;
    std::vector<std::pair<std::size_t, Split>> splits_;
};

double best_rate_without(const std::vector<Candidate>& all, std::size_t out)
{
    double rate = 0;
    for (std::size_t i = 0; i < all.size(); ++i)
        if (i != out) rate = std::max(rate, all[i].saved / all[i].minutes);
    return rate;
}

void sort(std::vector<Candidate>& all)
{
    std::stable_sort(all.begin(), all.end(), [](const Candidate& a, const Candidate& b) { return a.next.worth > b.next.worth; });
}

} // namespace

std::vector<std::size_t> likeliest(std::span<const double> p, double mass)
{
    std::vector<std::size_t> order(p.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return p[a] > p[b]; });
    double sum = 0;
    std::size_t n = 0;
    while (n < order.size() && sum < mass) sum += p[order[n++]];
    order.resize(n);
    return order;
}

Next look_ahead(const Rows& rows, const std::vector<double>& p, const Situation& situation, const Costs& costs, Presence now, std::size_t most, int ahead, double mass)
{
    const auto held = likeliest(p, mass);
    const Stand stand(rows, costs, held);
    double sum = 0;
    const auto laid = stand.lay(stand.p_of(p, sum));
    const Looking looking(rows, situation, now);
    auto all = looking.first(stand, laid, costs);
    sort(all);
    if (ahead > 1) {
        // The second look only orders the eight: it stands on the likeliest.
        const Stand top(rows, costs, {held.begin(), held.begin() + static_cast<std::ptrdiff_t>(std::min(held.size(), second_look_on))});
        std::vector<std::size_t> best;
        for (std::size_t i = 0; i < std::min(second_looks, all.size()); ++i) best.push_back(all[i].index);
        std::sort(best.begin(), best.end());
        double top_mass = 0;
        const auto top_p = top.p_of(p, top_mass);
        for (std::size_t i = 0; i < std::min(looked_behind, all.size()); ++i) looking.behind(all[i], best, top, top_p, best_rate_without(all, i));
        sort(all);
    }
    Next next;
    next.loss = laid.loss;
    next.rest = std::max(0.0, 1 - sum);
    next.decide = std::none_of(all.begin(), all.end(), [&](const Candidate& c) { return c.next.why != "late" && c.saved > c.next.minutes; });
    for (std::size_t i = 0; i < std::min(most, all.size()); ++i) next.checks.push_back(std::move(all[i].next));
    return next;
}

} // namespace chockside::isolate::detail
