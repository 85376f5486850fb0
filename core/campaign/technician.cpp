#include <core/campaign/technician.h>

#include <cmath>

namespace chockside::campaign {

Technician::Technician(const Job& job, const Person& person, std::uint64_t seed) : job_(job), person_(person), chance_(seed)
{
    situation_.people = person.people;
    situation_.power_on = true;
    situation_.minutes_left = shift_min;
    Scene scene{job_, chance_};
    presence_ = showing_now(scene) ? isolate::Presence::showing : isolate::Presence::absent;
}

double Technician::price(const isolate::Check& c) const
{
    double sum = c.minutes;
    if (!c.panel.empty() && !situation_.open_panels.contains(c.panel)) sum += c.access_minutes;
    if (c.needs_power_on && !situation_.power_on) sum += situation_.power_up_min;
    if (c.needs_power_off && situation_.power_on) sum += situation_.power_down_min;
    if (c.needs_warm && !situation_.warm) sum += situation_.warm_min;
    return sum;
}

isolate::Evidence Technician::look(const isolate::Check& c)
{
    const double took = price(c);
    if (!c.panel.empty()) situation_.open_panels.insert(c.panel);
    if (c.needs_power_off) situation_.power_on = situation_.warm = false;
    if (c.needs_power_on) situation_.power_on = true;
    if (c.needs_warm) situation_.warm = true;
    minutes_ += took;
    situation_.minutes_left = std::max(0.0, shift_min - minutes_);
    pass(job_.now, took);
    Scene scene{job_, chance_};
    if (situation_.power_on) presence_ = showing_now(scene) ? isolate::Presence::showing : isolate::Presence::absent;
    const isolate::Evidence e = entered(c, find_look(c.id)(scene));
    situation_.answered.insert(c.id);
    if (c.disturbs >= 2) disturbed_.insert(c.disturbs_at.begin(), c.disturbs_at.end());
    return e;
}

isolate::Evidence Technician::entered(const isolate::Check& c, const Seen& seen)
{
    isolate::Evidence e;
    e.id = std::to_string(situation_.answered.size() + 1) + ":" + c.id;
    e.check = c.id;
    e.outcome = seen.outcome;
    e.number = seen.number;
    e.presence = presence_;
    e.disturbed_before.assign(disturbed_.begin(), disturbed_.end());
    if (chance_.uniform() >= person_.wrong) return e;
    if (c.outcomes.size() > 1) {
        std::string other = e.outcome;
        while (other == e.outcome) other = c.outcomes[chance_.below(c.outcomes.size())];
        e.outcome = other;
    } else if (e.number) {
        *e.number *= std::exp(chance_.normal(0, 0.3)); // wrong pin, wrong range
    }
    return e;
}

} // namespace chockside::campaign
