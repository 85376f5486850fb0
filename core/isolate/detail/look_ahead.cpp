#include <core/isolate/detail/look_ahead.h>

#include <core/isolate/detail/price.h>

#include <algorithm>
#include <numeric>

namespace chockside::isolate::detail {

namespace {

constexpr double shared = 0.7;           ///< of a second check's worth that is still there after a first behind the same panel
constexpr std::size_t looked_behind = 8; ///< best of one look, from which a second is taken
constexpr double least_min = 0.5;

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
    Looking(const Rows& rows, const Loss& loss, const Situation& now, Presence presence) : rows_(rows), loss_(loss), now_(now)
    {
        for (std::size_t c = 0; c < rows.model().checks.size(); ++c)
            if (can_be_done(rows.model().checks[c], now)) shows_.emplace_back(c, shows(rows, c, presence, loss.hypotheses()));
    }

    std::vector<Candidate> first(std::span<const double> p, const Costs& costs) const
    {
        const double loss_now = loss_.of(p);
        std::vector<Candidate> all;
        for (const auto& [c, s] : shows_) {
            const Check& check = rows_.model().checks[c];
            Candidate candidate{c, &check, priced(check, now_), saved(loss_, s, p, loss_now), 0};
            value(candidate, now_, costs);
            all.push_back(std::move(candidate));
        }
        batch(all);
        return all;
    }

    /// What the check opens the way to: the best one after each of what it may show, beyond what the same minutes would bring without it
    /// (at `rate`, loss saved per minute).
    void behind(Candidate& c, std::span<const double> p, double rate) const
    {
        const Shows& own = shows_of(c.index);
        const Situation then = left_by(*c.check, now_);
        double more = 0, likeliest_chance = -1;
        std::string likeliest_then;
        std::vector<double> q;
        for (std::size_t b = 0; b < own.l.size(); ++b) {
            const double chance = after(own, b, p, q);
            if (chance <= 1e-9) continue;
            const double sum = std::accumulate(q.begin(), q.end(), 0.0);
            for (double& v : q) v /= sum;
            const auto best = best_after(c.index, then, q);
            more += chance * std::max(0.0, best.saved - rate * best.minutes);
            if (chance > likeliest_chance) likeliest_chance = chance, likeliest_then = best.check ? best.check->id : std::string();
        }
        const double worth = (c.saved + more) / c.minutes;
        if (worth <= c.next.worth || c.next.why == "late") return;
        c.next.worth = worth;
        c.next.why = "leads_on";
        c.next.then = likeliest_then;
    }

private:
    const Shows& shows_of(std::size_t check) const
    {
        return std::find_if(shows_.begin(), shows_.end(), [&](const auto& s) { return s.first == check; })->second;
    }

    /// Nothing after it is always possible.
    Candidate best_after(std::size_t first, const Situation& then, std::span<const double> q) const
    {
        Candidate best;
        double rate = 0;
        const double loss_now = loss_.of(q);
        for (const auto& [d, s] : shows_) {
            if (d == first) continue;
            const Check& check = rows_.model().checks[d];
            const double minutes = std::max(priced(check, then).minutes + disturbance(check), least_min);
            if (loss_now / minutes <= rate) continue; // even all of it would not do
            const double gain = saved(loss_, s, q, loss_now);
            if (gain / minutes > rate) rate = gain / minutes, best = {d, &check, {}, gain, minutes};
        }
        return best;
    }

    const Rows& rows_;
    const Loss& loss_;
    const Situation& now_;
    std::vector<std::pair<std::size_t, Shows>> shows_;
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
    const Loss loss(rows, costs, held);
    std::vector<double> q;
    for (const std::size_t h : held) q.push_back(p[h]);
    const double sum = std::accumulate(q.begin(), q.end(), 0.0);
    for (double& v : q) v /= sum;

    const Looking looking(rows, loss, situation, now);
    auto all = looking.first(q, costs);
    sort(all);
    if (ahead > 1) {
        for (std::size_t i = 0; i < std::min(looked_behind, all.size()); ++i) looking.behind(all[i], q, best_rate_without(all, i));
        sort(all);
    }
    Next next;
    next.loss = loss.of(q);
    next.rest = std::max(0.0, 1 - sum);
    next.decide = std::none_of(all.begin(), all.end(), [&](const Candidate& c) { return c.next.why != "late" && c.saved > c.next.minutes; });
    for (std::size_t i = 0; i < std::min(most, all.size()); ++i) next.checks.push_back(std::move(all[i].next));
    return next;
}

} // namespace chockside::isolate::detail
