// Pressure lines: the test set on the adapters, drains, heaters, dry air.
#include <core/campaign/laws.h>
#include <core/campaign/looks.h>

#include <algorithm>

namespace chockside::campaign::detail {

namespace {

Seen seen(const char* outcome) { return {outcome, {}}; }

Seen static_leak(Scene& s)
{
    const auto& a = s.now().air;
    const auto over = [&](double fpm) { return fpm + a.set_leak_fpm + s.chance.normal(0, 8) > 100; }; // 14 CFR 25.1325: 100 ft in one minute
    const bool other = over(10), own = over(a.static_leak_fpm) || a.alternate_open;
    return seen(own && other ? "over_both_sides" : own ? "over_one_side" : "within");
}

Seen cabin_leak(Scene& s)
{
    const auto& a = s.now().air;
    return seen(std::max(a.cabin_leak_fpm, a.static_leak_fpm) + a.set_leak_fpm + s.chance.normal(0, 8) > 100 ? "over" : "within");
}

Seen pitot_leak(Scene& s) // AC 43.13-1B 12-59: 10 kt in one minute at 150 kt
{
    return seen(s.now().air.pitot_leak_kt + s.now().air.set_leak_fpm / 40 + s.chance.normal(0, 0.5) > 10 ? "over" : "within");
}

/// What the set applies at the head, as side 1 reads it.
Setting applied(const Truth& t, double altitude, double airspeed)
{
    Setting s = on_stand(t);
    s.altitude_ft = altitude;
    s.airspeed_kt = airspeed;
    return s;
}

Seen altitude_points(Scene& s)
{
    Truth raw = s.now();
    const double off = errors(raw, applied(raw, 5000, 150)).altitude_ft + s.chance.normal(0, 10);
    raw.air.table_ft_per_100kt = 0;
    raw.logic.setting_units = raw.logic.setting_wrong = false; // the test is done on standard setting
    const double plain = errors(raw, applied(raw, 5000, 0)).altitude_ft + s.chance.normal(0, 10);
    if (std::fabs(plain) > 60) return seen("raw_off");
    return seen(std::fabs(off) > 60 && s.now().air.table_ft_per_100kt > 0 ? "corrected_off" : "agree");
}

Seen airspeed_points(Scene& s)
{
    const Truth& t = s.now();
    if (t.air.crossed || t.air.pitot_blocked) return seen("dead");
    if (t.air.pitot_water_in + t.air.static_water_in > 1) return seen("zero_offset");
    return seen(std::fabs(errors(t, applied(t, 120, 150)).airspeed_kt) + s.chance.normal(0, 1) > 6 ? "one_off" : "agree");
}

Seen drains(Scene& s)
{
    auto& a = s.job.now.air;
    const bool st = a.static_water_in > 0.3, pi = a.pitot_water_in > 0.3;
    a.static_water_in = a.pitot_water_in = 0; // it has run out
    return seen(st ? "water_static" : pi ? "water_pitot" : "dry");
}

Seen transponder(Scene& s)
{
    const Setting at = on_stand(s.now());
    return seen(std::fabs(errors(s.now(), at).altitude_ft) + s.chance.normal(0, 10) > 125 ? "over_125_ft" : "within");
}

const NamedLook table[] = {
    {"set_alone", [](Scene& s) { return seen(s.now().air.set_leak_fpm + s.chance.normal(0, 5) > 50 ? "leaks" : "tight"); }},
    {"static_leak_test", static_leak}, {"static_leak_cabin", cabin_leak}, {"pitot_leak_test", pitot_leak}, {"altitude_points", altitude_points},
    {"airspeed_points", airspeed_points}, {"drains", drains},
    {"lines_clear", [](Scene& s) { return seen(s.now().air.crossed ? "crossed" : s.now().air.pitot_blocked || s.now().air.drain_blocked ? "blocked" : "clear"); }},
    {"heater_current", [](Scene& s) { return seen(s.now().air.heater_open ? "none" : "normal"); }},
    {"alternate_static", [](Scene& s) { return seen(s.now().air.alternate_open ? "no_change" : "changes"); }}, {"transponder_altitude", transponder},
};

} // namespace

Look pressure(const std::string& check) { return in(table, check); }

} // namespace chockside::campaign::detail
