#include <core/practice/air.h>

#include <cmath>

namespace chockside::practice {

namespace {

// Our unit's own limits: it compares its two static cells.
constexpr double drift_limit_pa = 60, heater_limit_s = 1;

} // namespace

void Air::step(double dt_s, Channel& channel, const Controls& controls, const Defects& defects)
{
    const Effect* ageing = defects.find("static_drift");
    drift_pa_ = ageing ? ageing->num("pa") * (1 - std::exp(-channel.uptime_s() / ageing->num("seconds", 120))) : 0;
    const Effect* water = defects.find("static_water");
    line_pa_ = airdata::pressure_pa(elevation_ft_) + (water ? water->num("pa") : 0);
    static_pa_ = line_pa_ + drift_pa_ + random_.normal(0, 1.0);
    impact_pa_ = random_.normal(0, 0.5);
    const bool asked = controls.heater && controls.fed(pitot_ht);
    heater_on_ = asked && !defects.find("heater_open");
    cold_s_ = asked && !heater_on_ ? cold_s_ + dt_s : 0;
    if (channel.phase() != Phase::running) return;
    channel.memory().watch(code::static_drift, std::abs(drift_pa_) > drift_limit_pa, channel.power_up(), channel.uptime_s());
    channel.memory().watch(code::heater, cold_s_ > heater_limit_s, channel.power_up(), channel.uptime_s());
}

} // namespace chockside::practice
