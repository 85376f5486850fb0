// What is seen with a panel open: live words at pins, flexing, mist, cold, heat, tapping, meters under load.
#include <core/campaign/looks.h>

#include <algorithm>

namespace chockside::campaign::detail {

namespace {

constexpr double right_segment = 20, neighbour = 2, forced = 30; // gains over the quiet rate (fault library, section 4)

Seen seen(const char* outcome) { return {outcome, {}}; }
Seen number(double value) { return {{}, value}; }
Setting loaded(const Truth& t)
{
    Setting s = on_stand(t);
    s.heater = s.lights = true;
    return s;
}
double meter(Scene& s, double value) { return value * (1 + s.chance.normal(0, 0.005)); }

Seen words_at_unit(Scene& s)
{
    const Truth& t = s.now();
    const Losses l = losses(t, on_stand(t));
    if (s.happens(l.power, 2) || t.unit.amplitude < 0.6 || t.unit.dead) return seen("absent");
    if (s.happens(l.inside, 2)) return seen(s.chance.uniform() < 0.6 ? "invalid" : "absent");
    if (s.happens(l.sensor, 2)) return seen("invalid");
    const Errors e = errors(t, on_stand(t));
    return seen(e.shows() ? "wrong_value" : "good");
}

Seen words_at_display(Scene& s)
{
    const Truth& t = s.now();
    const Losses l = losses(t, on_stand(t));
    if (s.happens(l.power, 2) || data_amplitude(t) < 0.2 || t.unit.dead) return seen("absent");
    for (const Place p : {Place::j2, Place::w12, Place::d5, Place::w13})
        if (t.at(p).open_now) return seen("absent");
    if (t.at(Place::j2).crossed) return seen("absent");
    if (data_amplitude(t) < 0.6 || (l.data < always && s.happens(l.data, 4))) return seen("errors");
    const Errors e = errors(t, on_stand(t));
    return seen(e.shows() || s.happens(l.inside + l.sensor, 2) ? "wrong_value" : "good");
}

/// Moving a place opens it at its own rate times the gain; what was parted may come together again.
template <Place place>
Seen flex(Scene& s)
{
    Line& l = s.job.now.at(place);
    double rate = l.opens_per_hour * right_segment;
    const auto k = static_cast<std::size_t>(place);
    for (const std::size_t n : {k - 1, k + 1})
        if (n < s.now().lines.size()) rate += s.now().lines[n].opens_per_hour * neighbour;
    const bool parted = l.open_now;
    if (parted && s.chance.uniform() < 0.5) l.open_now = false;
    if (place == Place::j1 && s.now().logic.tray_unlatched) rate += 20;
    return seen(parted || s.happens(rate, 4) ? "hits" : "none");
}

Seen flex_w3(Scene& s)
{
    const double rate = (s.now().at(Place::w3).opens_per_hour + s.now().at(Place::gnd_block).opens_per_hour) * right_segment;
    const bool parted = s.now().at(Place::w3).open_now || s.now().at(Place::gnd_block).open_now;
    return seen(parted || s.happens(rate, 5) ? "hits" : "none");
}

Seen flex_data(Scene& s)
{
    const auto hit = [&](Place p) { return s.now().at(p).open_now || s.happens(s.now().at(p).opens_per_hour * right_segment, 3); };
    if (hit(Place::w12)) return seen("hits_w12");
    if (hit(Place::w13)) return seen("hits_w13");
    return seen(hit(Place::j2) || hit(Place::d5) ? "hits_plug" : "none");
}

template <Place... places>
Seen mist(Scene& s)
{
    bool comes = false;
    for (const Place p : {places...}) {
        Line& l = s.job.now.at(p);
        if (l.seal_bad) l.wet = 1;
        comes = comes || (l.insulation() < 0.5 && s.happens(forced * 2, 10));
    }
    if (((places == Place::p9) || ...) && s.now().sensor.boot.seal_bad) s.job.now.sensor.boot.wet = 1, comes = comes || s.happens(forced * 2, 10);
    return seen(comes ? "comes" : "stays_away");
}

Seen cool_unit(Scene& s) { return seen(s.now().unit.stops_below_c > -25 && s.chance.uniform() < 0.9 ? "comes" : "stays_away"); }
Seen cool_sensor(Scene& s) { return seen(s.now().sensor.drifts_below_c > -25 && s.chance.uniform() < 0.9 ? "comes" : "stays_away"); }

Seen heat_unit(Scene& s)
{
    return seen(s.now().unit.stops_above_c < 60 && s.chance.uniform() < 0.95 ? "comes" : "stays_away"); // mild heat: a case of 60 degC
}

Seen tap(Scene& s)
{
    const Truth& t = s.now();
    if (s.happens(t.unit.joint_opens_per_hour * right_segment, 2)) return seen("at_case");
    if (t.logic.tray_unlatched && s.chance.uniform() < 0.8) return seen("at_tray");
    if (t.logic.tray_play && s.chance.uniform() < 0.6) return seen("at_tray");
    const double plug = t.at(Place::j1).opens_per_hour + t.at(Place::j2).opens_per_hour;
    return seen(s.happens(plug * right_segment, 2) ? "at_plug" : "nothing");
}

Seen volts_switching(Scene& s)
{
    const Truth& t = s.now();
    Setting start = on_stand(t);
    start.start = start.engine = true;
    const double least = std::min(plug_volts(t, loaded(t)), plug_volts(t, start));
    if (least < t.unit.drop_out_v || s.happens(losses(t, on_stand(t)).power, 5)) return seen("dip_with_flag");
    return seen(least < 23 ? "dip_alone" : "steady");
}

Seen feeds(Scene& s)
{
    if (s.now().supply.second_feed_open) return seen("dies_on_second");
    const bool first = plug_volts(s.now(), on_stand(s.now())) < s.now().unit.drop_out_v;
    return seen(first ? "dies_on_first" : "runs_on_each");
}

Seen receivers(Scene& s)
{
    if (s.now().logic.receiver_shorted) return seen("recovers");
    return seen(losses(s.now(), on_stand(s.now())).data >= always && !s.now().logic.side_strap ? "never_recovers" : "was_good");
}

Seen waveform(Scene& s)
{
    const Truth& t = s.now();
    const double a = data_amplitude(t) * (1 + s.chance.normal(0, 0.02));
    if (t.unit.dead || plug_volts(t, on_stand(t)) < t.unit.drop_out_v || a < 0.1) return seen("flat");
    if (a > 0.42 && a < 0.58 && t.unit.amplitude > 0.9) return seen("half");
    if (a < 0.8) return seen("low");
    return seen(t.at(Place::j2).crossed ? "full_swapped" : "full");
}

Seen case_temperature(Scene& s)
{
    if (s.now().logic.no_airflow) return seen("hot_no_flow");
    return seen(on_stand(s.now()).unit_c > 45 ? "hot_with_flow" : "cool");
}

Seen connectors(Scene& s)
{
    const Truth& t = s.now();
    if (t.logic.tray_unlatched) return seen(s.chance.uniform() < 0.8 ? "not_home" : "normal");
    return seen((t.at(Place::j1).wet > 0.2 || t.at(Place::d5).wet > 0.2) && s.chance.uniform() < 0.8 ? "wet" : "normal");
}

Seen tray(Scene& s)
{
    if (s.now().logic.tray_unlatched && s.chance.uniform() < 0.85) return seen("unit_moves");
    return seen(s.now().logic.tray_play && s.chance.uniform() < 0.9 ? "tray_moves" : "firm");
}

Seen level(Scene& s)
{
    if (s.now().logic.tray_tilt_deg + s.chance.normal(0, 0.1) > 0.5) return seen("tray_off");
    return seen(s.now().unit.data_lost || s.now().logic.mount_strap ? "unit_off" : "level");
}

double return_mv(const Truth& t) { return 1000 * t.supply.unit_a * (t.supply.return_ohm + t.at(Place::gnd_block).ohm); }

const NamedLook table[] = {
    {"words_at_unit", words_at_unit}, {"words_at_display", words_at_display}, {"flex_p9", flex<Place::p9>}, {"flex_w7", flex<Place::w7>}, {"flex_d3", flex<Place::d3>},
    {"flex_w8", flex<Place::w8>}, {"flex_j1", flex<Place::j1>}, {"flex_w3", flex_w3}, {"flex_data", flex_data}, {"mist_p9", mist<Place::p9>}, {"mist_d3", mist<Place::d3>},
    {"mist_rack", mist<Place::j1, Place::d5>}, {"cool_unit", cool_unit}, {"cool_sensor", cool_sensor}, {"heat_unit", heat_unit}, {"tap", tap},
    {"volts_switching", volts_switching}, {"feeds_alone", feeds}, {"receivers_off", receivers}, {"waveform", waveform}, {"case_temperature", case_temperature},
    {"connectors_look", connectors}, {"tray_push", tray}, {"level", level},
    {"bus_volts", [](Scene& s) { return number(meter(s, bus_volts(s.now(), loaded(s.now())))); }},
    {"plug_volts", [](Scene& s) { return number(meter(s, plug_volts(s.now(), loaded(s.now())))); }},
    {"breaker_drop", [](Scene& s) { return number(meter(s, 1000 * s.now().supply.unit_a * (s.now().supply.breaker_ohm + s.now().at(Place::w3).ohm))); }},
    {"return_drop", [](Scene& s) { return number(meter(s, return_mv(s.now()))); }},
    {"ripple_ac", [](Scene& s) { return number(meter(s, s.now().supply.ripple_mv)); }},
    {"excitation", [](Scene& s) { return seen(s.now().supply.excitation_absent ? "absent" : s.now().at(Place::w7).ohm > 30 ? "low" : "right"); }},
};

} // namespace

Look bay(const std::string& check) { return in(table, check); }

} // namespace chockside::campaign::detail
