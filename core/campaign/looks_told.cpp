// What the crew, the log, the memory of the unit and the cockpit as found tell: of the time when it was written up.
#include <core/campaign/looks.h>

#include <algorithm>

namespace chockside::campaign::detail {

namespace {

constexpr double forgets = 0.08; // a crew that answers "any", "not known" or its neighbour

Seen seen(const char* outcome) { return {outcome, {}}; }
double load(const Truth& t, const Setting& s) { return losses(t, s).all() + (errors(t, s).shows() ? 60 : 0); }

Seen phase(Scene& s)
{
    const Truth& t = s.then();
    Setting stand = on_stand(t), start = stand, cold = stand, turns = in_flight(t), level = turns;
    start.start = start.engine = true;
    cold.first_power_up = true;
    level.turning = false;
    if (s.chance.uniform() < forgets) return seen("any");
    if (t.logic.normal_written_up) return seen(s.chance.uniform() < 0.6 ? "turns" : "start_or_transfer");
    const double on_ground = load(t, stand);
    if (load(t, cold) > on_ground * 2 + 1) return seen("cold_start");
    if (load(t, start) > on_ground * 2 + 1 && load(t, start) >= load(t, level)) return seen("start_or_transfer");
    if (on_ground > 40 && load(t, level) < on_ground / 2) return seen("ground");
    if (load(t, turns) > load(t, level) * 2 + 1) return seen("turns");
    if (on_ground < 0.05 && load(t, level) < 0.05) return seen(s.chance.uniform() < 0.5 ? "any" : "cruise");
    const double altitude_error = std::fabs(errors(t, level).altitude_ft), airspeed_error = std::fabs(errors(t, level).airspeed_kt);
    if (on_ground < 1 && (altitude_error > 100 || airspeed_error > 8)) return seen(t.air.cabin_leak_fpm > 100 ? "cruise" : "climb_or_descent");
    const double at = s.chance.uniform();
    return seen(at < 0.45 ? "any" : at < 0.7 ? "cruise" : at < 0.85 ? "climb_or_descent" : at < 0.95 ? "turns" : "ground");
}

Seen weather(Scene& s)
{
    const auto& a = s.then().around;
    if (s.chance.uniform() < forgets) return seen("dry");
    if (a.icing) return seen("icing");
    if (a.night_cold) return seen("cold");
    if (a.rained || s.chance.uniform() < 0.1) return seen("rain_or_wash");
    if (a.sun || s.chance.uniform() < 0.08) return seen("hot_sun");
    return seen(s.chance.uniform() < 0.08 ? "cold" : "dry");
}

Seen shown_on(Scene& s)
{
    const Truth& t = s.then();
    const Setting worst = worst_setting(t);
    const Losses l = losses(t, worst);
    if (t.logic.standby_wrong) return seen(s.chance.uniform() < 0.8 ? "standby_only" : "one_side");
    if (bus_volts(t, worst) < t.unit.drop_out_v && !worst.start) return seen("both_sides");
    if (t.magnetics.place_x != 0 || t.logic.reference_deg > 0 || t.logic.setting_wrong || t.logic.true_selected || t.supply.ripple_mv > 1500 || t.logic.sky_blocked
        || t.logic.moved_aligning)
        return seen(s.chance.uniform() < 0.85 ? "both_sides" : "one_side");
    const bool only_there = l.display > l.power + l.inside + l.sensor || (l.data > l.power + l.inside + l.sensor && !t.logic.receiver_shorted && !t.at(Place::w12).shorted
        && !t.at(Place::w13).shorted && !t.logic.side_strap && !t.at(Place::j2).crossed && t.unit.amplitude > 0.6);
    if (s.chance.uniform() < forgets) return seen("one_side");
    return seen(only_there && l.all() > 0 ? "one_display" : "one_side");
}

Seen selector(Scene& s)
{
    if (s.chance.uniform() < 0.3) return seen("not_known");
    return seen(s.then().logic.free_selected ? "free" : "slaved");
}

Seen messages(Scene& s)
{
    const Truth& t = s.then();
    const Setting w = worst_setting(t);
    const Losses l = losses(t, w);
    if (s.chance.uniform() < forgets) return seen("none");
    if (w.unit_c > 68) return seen("temperature");
    const double flagged = l.power + l.inside + l.sensor;
    if (flagged > 0.2) {
        if (l.power >= flagged / 2) return seen(s.chance.uniform() < 0.5 ? "power" : "reference");
        if (l.sensor >= flagged / 2) return seen(s.chance.uniform() < 0.6 ? "sensor" : "none");
        return seen("reference");
    }
    if (t.logic.aiding_open || t.air.probe_off || t.air.heater_open) return seen("air_data");
    return seen("none");
}

Seen cured_by(Scene& s)
{
    const Truth& t = s.then();
    const bool lasts = shows(t, on_stand(t)) || shows(t, in_flight(t));
    if (losses(t, worst_setting(t)).display > 0.2 && t.logic.selector_opens_per_hour > 0 && s.chance.uniform() < 0.7) return seen("source_switch");
    if (lasts) return seen(s.chance.uniform() < 0.9 ? "nothing" : "by_itself");
    const double cycled = t.logic.unlisted == Logic::Unlisted::lightning_latch ? 0.8 : 0.25;
    return seen(s.chance.uniform() < cycled ? "power_cycle" : "by_itself");
}

Seen with_load(Scene& s)
{
    const Truth& t = s.then();
    Setting off = on_stand(t), on = off;
    on.heater = on.lights = on.strobe = true;
    using U = Logic::Unlisted;
    if (t.logic.unlisted == U::keyed_threshold || t.logic.unlisted == U::dimmer_diode) return seen(s.chance.uniform() < 0.6 ? "yes" : "not_known");
    const bool twitches = t.at(Place::w7).shield_open || t.at(Place::w8).shield_open;
    if (s.chance.uniform() < 0.25) return seen("not_known");
    return seen(load(t, on) > load(t, off) * 2 + 1 || twitches ? "yes" : "no");
}

/// Entries that `hours` of flying leave, by what was lost.
int stored(Scene& s, double Losses::*what)
{
    const Truth& t = s.then();
    Setting start = on_stand(t), cold = start, hot = start;
    start.start = start.engine = true;
    cold.first_power_up = true;
    hot.minutes_on = 45;
    int n = s.count(losses(t, in_flight(t)).*what, t.flown_h * 60);
    if (losses(t, start).*what >= always && losses(t, on_stand(t)).*what < always) n += s.count(60, t.flown_h / 2);
    if (losses(t, cold).*what >= always && n < 20) n += 1 + s.count(60, 0.5);
    if (losses(t, hot).*what >= always && n < 20) n += 1 + s.count(60, 2);
    return n;
}

Seen by_count(int n) { return seen(n > 2 ? "several" : n > 0 ? "one_or_two" : "none"); }

Seen stored_internal(Scene& s)
{
    int n = stored(s, &Losses::inside);
    // A supply that is just too low upsets the converters before the monitor of the input sees it.
    const Truth& t = s.then();
    const double volts = plug_volts(t, worst_setting(t));
    if (volts > 19 && volts < t.unit.drop_out_v + 0.3 && s.chance.uniform() < 0.35) n += 1 + s.count(60, 2);
    if (t.unit.data_lost) n += 3;
    if (t.unit.amplitude < 0.4) n += s.count(60, 1);
    if (s.chance.uniform() < 0.03) n += 1;
    return by_count(n);
}

Seen stored_power(Scene& s) { return by_count(stored(s, &Losses::power) + (s.chance.uniform() < 0.06 ? 1 : 0)); }
Seen stored_sensor(Scene& s) { return by_count(stored(s, &Losses::sensor) + (s.chance.uniform() < 0.04 ? 1 : 0)); }

Seen stored_temperature(Scene& s)
{
    const Truth& t = s.then();
    const Setting w = worst_setting(t);
    const bool any = losses(t, w).inside + losses(t, w).sensor + losses(t, w).power > 0.3;
    if (any && w.unit_c > 60) return seen("hot");
    if (any && w.unit_c > 46 && s.chance.uniform() < 0.7) return seen("hot");
    if (any && (t.around.bay_c < 0 || w.tip_c < -8)) return seen("cold");
    return seen("none");
}

Seen stored_bus(Scene& s)
{
    if (s.then().logic.unlisted == Logic::Unlisted::recorder_clock && s.chance.uniform() < 0.4) return seen("cross_channel");
    if (s.then().logic.cross_bus_open) return seen("cross_channel");
    if (s.then().logic.aiding_open || (s.then().logic.sky_blocked && s.chance.uniform() < 0.5)) return seen("aiding");
    return seen(s.chance.uniform() < 0.03 ? "aiding" : "none");
}

Seen breaker(Scene& s)
{
    if (s.now().supply.breaker_tripped) return seen("tripped");
    return seen(s.now().supply.breaker_out ? "out_or_collared" : "in");
}

Seen left(Scene& s)
{
    if (s.now().air.port_damaged && s.chance.uniform() < 0.3) return seen("cover_or_tape");
    return seen(s.now().logic.free_selected && s.chance.uniform() < 0.5 ? "switch_off_normal" : "nothing");
}

Seen tail(Scene& s)
{
    if (s.then().unit_changes > 0) return seen("same_after_unit_change");
    return seen(s.chance.uniform() < 0.25 ? "same_before" : "first_time");
}

Seen serial(Scene& s)
{
    if (s.then().serial_repeats) return seen("repeats_elsewhere");
    return seen(s.chance.uniform() < 0.03 ? "repeats_elsewhere" : s.chance.uniform() < 0.4 ? "not_known" : "none");
}

const NamedLook table[] = {
    {"crew_phase", phase},
    {"crew_weather", weather},
    {"crew_shown_on", shown_on},
    {"crew_selector", selector},
    {"crew_messages", messages},
    {"crew_cured_by", cured_by},
    {"crew_with_load", with_load},
    {"recent_work", [](Scene& s) { return s.chance.uniform() < 0.05 ? seen("none") : Seen{s.then().work, {}}; }},
    {"tail_history", tail},
    {"serial_history", serial},
    {"breaker_found", breaker},
    {"left_behind", left},
    {"slaved_switch", [](Scene& s) { return seen(s.now().logic.free_selected ? "free" : "slaved"); }},
    {"true_selected", [](Scene& s) { return seen(s.now().logic.true_selected ? "true_or_old_variation" : "magnetic"); }},
    {"pressure_setting", [](Scene& s) { return seen(s.now().logic.setting_units ? "units_mixed" : s.now().logic.setting_wrong ? "wrong_value" : "same"); }},
    {"stored_internal", stored_internal},
    {"stored_power", stored_power},
    {"stored_sensor", stored_sensor},
    {"stored_temperature", stored_temperature},
    {"stored_bus", stored_bus},
    {"part_software", [](Scene& s) { return seen(s.now().logic.software_unlike || s.now().logic.wrong_part ? "unlike" : "alike"); }},
    {"straps_read", [](Scene& s) { return seen(s.now().logic.side_strap ? "side_wrong" : s.now().logic.mount_strap ? "mounting_wrong" : "as_expected"); }},
    {"calibration_read", [](Scene& s) { return seen(s.now().unit.data_lost ? "default_or_empty" : s.now().logic.calibration_other ? "other_aircraft" : "as_recorded"); }},
    {"static_table_read", [](Scene& s) { return seen(s.now().air.table_ft_per_100kt > 50 ? "other" : "as_expected"); }},
    {"label_check", [](Scene& s) { return seen(s.now().logic.wrong_part ? "mismatch" : "match"); }},
};

} // namespace

Look told(const std::string& check) { return in(table, check); }

} // namespace chockside::campaign::detail
