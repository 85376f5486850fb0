#include <core/isolate/detail/price.h>

#include <algorithm>

namespace chockside::isolate::detail {

namespace {

constexpr double hides_min = 3, destroys_min = 10;

} // namespace

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

Situation left_by(const Check& check, Situation s)
{
    if (!check.panel.empty()) s.open_panels.insert(check.panel);
    s.answered.insert(check.id);
    if (check.needs_power_off) s.power_on = s.warm = false;
    if (check.needs_power_on || check.needs_warm) s.power_on = true;
    if (check.needs_warm) s.warm = true;
    return s;
}

bool can_be_done(const Check& check, const Situation& s)
{
    if (check.automatic || check.people > s.people || s.answered.contains(check.id)) return false;
    return !s.bag || std::all_of(check.tools.begin(), check.tools.end(), [&](const std::string& tool) { return s.bag->contains(tool); });
}

} // namespace chockside::isolate::detail
