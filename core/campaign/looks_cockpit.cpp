// What is seen live, from the cockpit or walking round, on the aircraft as it stands now.
#include <core/campaign/laws.h>
#include <core/campaign/looks.h>
#include <core/campaign/turn.h>

#include <algorithm>

namespace chockside::campaign::detail {

namespace {

Seen seen(const char* outcome) { return {outcome, {}}; }

struct Live {
    bool power, inside, sensor, data, display, input;
    Errors e;
};

/// What is lost within half a minute of looking.
Live live(Scene& s, Setting with)
{
    const Losses l = losses(s.now(), with);
    return {s.happens(l.power, 0.5), s.happens(l.inside, 0.5), s.happens(l.sensor, 0.5), s.happens(l.data, 0.5), s.happens(l.display, 0.5), l.input >= always,
        errors(s.now(), with)};
}
Live live(Scene& s) { return live(s, on_stand(s.now())); }

Seen side_by_side(Scene& s)
{
    const Truth& t = s.now();
    const Live l = live(s);
    if (t.logic.standby_wrong) return seen("standby_off");
    if (bus_volts(t, on_stand(t)) < t.unit.drop_out_v || t.logic.setting_wrong) return seen("all_wrong_alike");
    if (std::hypot(t.magnetics.place_x, t.magnetics.place_y) > 800 && s.job.complaint.starts_with("heading")) return seen("all_differ");
    if (t.logic.true_selected || t.logic.reference_deg > 1) return seen("all_wrong_alike");
    if (t.logic.moved_aligning || t.logic.sky_blocked) return seen(s.chance.uniform() < 0.7 ? "all_differ" : "all_wrong_alike");
    if (l.power || l.inside || l.sensor || l.data || l.display || l.e.shows()) return seen("this_side_off");
    return seen("equal");
}

Seen source_transfer(Scene& s)
{
    const Truth& t = s.now();
    const Live l = live(s);
    if (t.logic.selector_open) return seen("vanishes");
    if (l.display && t.logic.display_bad) return seen("stays_with_display");
    // A dead pair between the unit and one display: the other display still has the source.
    const bool one_receiver = (t.at(Place::w13).leg_open || t.at(Place::w13).open_now || t.at(Place::w13).shorted) && !t.logic.receiver_shorted;
    if (l.data && one_receiver) return seen(s.chance.uniform() < 0.6 ? "goes_with_source" : "vanishes");
    if (l.power || l.inside || l.sensor || l.data || l.e.shows()) return seen("goes_with_source");
    return seen("nothing_to_see");
}

constexpr double worked = 30; ///< gain of working a relay or a breaker over its quiet rate

Seen selector_worked(Scene& s)
{
    const auto& l = s.now().logic;
    return seen(l.selector_open || s.happens(l.selector_opens_per_hour * worked, 12) ? "hits" : "none");
}

Seen breaker_worked(Scene& s) { return seen(s.happens(s.now().supply.breaker_opens_per_hour * worked, 8) ? "hits" : "none"); }

Seen displays_exchanged(Scene& s)
{
    const Truth& t = s.now();
    const Live l = live(s);
    if (t.logic.display_bad) return seen("follows_display");
    return seen(l.power || l.inside || l.sensor || l.data || l.display || l.e.shows() ? "stays" : "vanishes");
}

Seen word_status(Scene& s)
{
    const Truth& t = s.now();
    const Live l = live(s);
    if (t.logic.side_strap) return seen("wrong_source_number");
    if (t.unit.data_lost) return seen("default_data");
    if (l.inside || l.sensor || l.power) return seen("fail_warn");
    if (l.input || t.logic.moved_aligning) return seen("no_computed_data");
    return seen("normal");
}

Seen power_up(Scene& s)
{
    const Truth& t = s.now();
    Setting first = on_stand(t), later = first;
    first.first_power_up = true;
    const bool hard = losses(t, later).inside >= always || losses(t, later).power >= always || t.unit.input_refuses || t.supply.excitation_absent;
    if (hard || losses(t, later).sensor >= always) return seen(hard || s.chance.uniform() < 0.6 ? "fails_every_time" : "passes");
    if (losses(t, first).inside >= always) return seen("fails_first_only");
    return seen(s.happens(losses(t, later).inside + losses(t, later).power, 1) ? "fails_first_only" : "passes");
}

Seen commanded(Scene& s)
{
    const Losses l = losses(s.now(), on_stand(s.now()));
    const bool hard = l.inside >= always || l.power >= always || s.now().unit.input_refuses || s.now().supply.excitation_absent;
    if (s.now().logic.air_ground_wrong) return seen("fails"); // refused: the unit believes it flies
    return seen(hard || s.happens(l.inside + l.power, 1) ? "fails" : "passes");
}

Seen sky(Scene& s)
{
    if (!s.now().logic.sky_blocked) return seen("valid");
    return seen(s.chance.uniform() < 0.5 ? "none_inside" : "none_outside");
}

Seen move(Scene& s)
{
    const Truth& t = s.now();
    Setting here = on_stand(t), there = here;
    there.elsewhere = true;
    double most = 0;
    for (double h = 0; h < 360; h += 90) {
        const double d = std::fabs(indicated_heading(t, here, h) - indicated_heading(t, there, h));
        most = std::max(most, std::min(d, 360 - d));
    }
    return seen(most + s.chance.normal(0, 0.3) > 2 ? "changes" : "stays");
}

Seen altitude_known(Scene& s)
{
    if (s.now().logic.setting_wrong) return seen("all_off");
    const double off = errors(s.now(), on_stand(s.now())).altitude_ft + s.chance.normal(0, 8);
    return seen(std::fabs(off) > 60 ? "one_off" : "right");
}

Seen probes(Scene& s)
{
    if (s.now().air.pitot_blocked || s.now().air.drain_blocked) return seen(s.chance.uniform() < 0.8 ? "blocked_or_covered" : "clean");
    if (s.now().air.port_damaged) return seen(s.chance.uniform() < 0.85 ? "port_damaged" : "clean");
    return seen("clean");
}

double all_stand(const Truth& t)
{
    Losses l = losses(t, on_stand(t));
    l.input = 0;
    return l.all();
}

Seen long_watch(Scene& s)
{
    Setting hot = on_stand(s.now());
    hot.minutes_on = 45;
    Losses l = losses(s.now(), hot);
    l.input = 0;
    const int n = s.count(std::min(l.all(), always), 45);
    return seen(n > 2 ? "many" : n > 0 ? "one_or_two" : "none");
}

Seen start_watch(Scene& s)
{
    const Truth& t = s.now();
    Setting start = on_stand(t), run = start;
    start.start = start.engine = true;
    run.engine = true;
    if (losses(t, start).power >= always) return seen("at_start_or_transfer");
    const bool play = t.logic.tray_play;
    return seen(play || s.happens(losses(t, run).all(), 20) ? "with_vibration" : "none");
}

Seen loads_heading(Scene& s)
{
    const Truth& t = s.now();
    if (t.magnetics.loop_a > 0) return seen("step");
    using U = Logic::Unlisted;
    if ((t.logic.unlisted == U::keyed_threshold || t.logic.unlisted == U::dimmer_diode) && s.chance.uniform() < 0.7) return seen("twitch"); // the radio and the lights are loads too
    return seen(t.at(Place::w7).shield_open || t.at(Place::w8).shield_open ? "twitch" : "none");
}

Seen field(Scene& s)
{
    const Truth& t = s.now();
    Setting open = on_stand(t);
    open.elsewhere = true;
    double least = 1e9, most = 0, sum = 0;
    for (double h = 0; h < 360; h += 45) {
        const double f = field_length(t, open, h) * (1 + s.chance.normal(0, 0.002));
        least = std::min(least, f), most = std::max(most, f), sum += f / 8;
    }
    if (s.happens(losses(t, open).sensor, 2)) return seen("noisy");
    if (most - least > 0.08 * t.magnetics.h_nt) return seen("varies_with_heading");
    return seen(std::fabs(sum / t.magnetics.h_nt - 1) > 0.04 ? "wrong_length" : "right");
}

Seen turned(Scene& s, int headings)
{
    const Truth& t = s.now();
    Setting open = on_stand(t);
    open.elsewhere = true;
    return seen(shape_of_turn(t, open, headings, [&] { return s.chance.normal(0, 0.4); }));
}

Seen still_watch(Scene& s)
{
    const Truth& t = s.now();
    if (t.unit.gyro_dph + s.chance.normal(0, 1) > 10) return seen("slope");
    return seen(t.logic.moved_aligning || s.happens(losses(t, on_stand(t)).inside, 10) ? "jumps" : "still");
}

Seen heading_watch(Scene& s)
{
    const Truth& t = s.now();
    if (t.logic.free_selected) return seen("drifts_at_earth_rate");
    return seen(s.happens(losses(t, on_stand(t)).sensor, 10) && s.chance.uniform() < 0.5 ? "drifts_otherwise" : "steady");
}

Seen consumer(Scene& s)
{
    if (s.now().logic.receiver_shorted) return seen(s.chance.uniform() < 0.5 ? "gone" : "stays");
    return seen(s.now().logic.autopilot_input && s.chance.uniform() < 0.7 ? "gone" : "stays");
}

Seen comparator(Scene& s)
{
    const Truth& t = s.now();
    if (t.logic.cross_bus_open || t.logic.aiding_open) return seen("one_stale");
    const Live l = live(s);
    if (l.e.shows() || t.logic.standby_wrong) return seen("one_off");
    return seen(t.logic.comparator_tight ? "both_inside" : "no_flag");
}

Seen proof(Scene& s)
{
    const Truth& t = s.now();
    return seen(s.happens(3 * all_stand(t), 30) || errors(t, on_stand(t)).shows() ? "came_again" : "none");
}

Seen flight(Scene& s)
{
    const Setting air = in_flight(s.now());
    return seen(errors(s.now(), air).shows() || s.happens(losses(s.now(), air).all(), 60) ? "showed" : "clean");
}

Seen cold_first(Scene& s)
{
    Truth t = s.now();
    if (!t.around.night_cold) return seen("passes");
    t.around.bay_c = s.then().around.bay_c, t.around.tip_c = s.then().around.tip_c;
    Setting first = on_stand(t);
    first.first_power_up = true;
    if (losses(t, first).power >= always) return seen("fails_volts_low");
    return seen(losses(t, first).inside >= always || losses(t, first).sensor >= always ? "fails_volts_good" : "passes");
}

const NamedLook table[] = {
    {"shows_now", [](Scene& s) { return seen(showing_now(s) ? "yes" : "no"); }}, {"side_by_side", side_by_side}, {"source_transfer", source_transfer}, {"selector_worked", selector_worked}, {"breaker_worked", breaker_worked},
    {"displays_exchanged", displays_exchanged}, {"word_status", word_status}, {"power_up_test", power_up},
    {"commanded_test", commanded}, {"air_ground_read", [](Scene& s) { return seen(s.now().logic.air_ground_wrong ? "wrong" : "right"); }}, {"sky_view", sky},
    {"move_aircraft", move}, {"altitude_known", altitude_known}, {"probes_look", probes}, {"long_watch", long_watch}, {"start_watch", start_watch},
    {"loads_heading", loads_heading}, {"field_length", field}, {"quick_turn", [](Scene& s) { return turned(s, 4); }},
    {"full_swing", [](Scene& s) { return turned(s, 8); }}, {"still_watch", still_watch}, {"heading_watch", heading_watch}, {"consumer_pulled", consumer},
    {"comparator_capture", comparator}, {"proof_watch", proof}, {"flight", flight}, {"cold_first", cold_first},
    {"loopback", [](Scene& s) { return seen(s.now().logic.adapter_wrong ? "bad" : "good"); }},
    {"lead_check", [](Scene& s) { return seen(s.now().logic.leads_bad ? "bad" : "good"); }},
    {"second_reference", [](Scene& s) { return seen(s.now().logic.reference_deg + s.chance.normal(0, 0.3) > 1 ? "disagrees" : "agrees"); }},
    {"gauss_survey", [](Scene& s) { return seen(std::fabs(s.now().magnetics.gear_x) > 500 ? "gear_or_door" : s.now().magnetics.steel_fastener ? "fastener" : "clean"); }},
    {"temperature_probes", [](Scene& s) { return seen(s.now().air.probe_off ? "probe_off" : "agree"); }},
};

} // namespace

Look cockpit(const std::string& check) { return in(table, check); }

} // namespace chockside::campaign::detail
