// What is seen with power off and things apart, and what exchanging units or sensors does.
#include <core/campaign/looks.h>

#include <algorithm>

namespace chockside::campaign::detail {

namespace {

Seen seen(const char* outcome) { return {outcome, {}}; }
constexpr Place sensor_way[] = {Place::p9, Place::w7, Place::d3, Place::w8, Place::j1};
constexpr Place data_way[] = {Place::j2, Place::w12, Place::d5, Place::w13};

template <Place... places>
Seen mark(Scene& s)
{
    const bool marked = (s.now().at(places).mark || ...);
    return seen(marked && s.chance.uniform() < 0.8 ? "mark" : s.chance.uniform() < 0.04 ? "mark" : "none");
}

/// Opened, looked into, and reseated by habit: what was parted comes together.
template <Place place>
Seen open(Scene& s)
{
    Line& l = s.job.now.at(place);
    const bool water = l.wet > 0.06 || (place == Place::p9 && s.now().sensor.boot.wet > 0.4 && s.chance.uniform() < 0.4);
    l.open_now = false;
    if (water) return seen("water");
    if (l.salts || (l.seal_bad && s.chance.uniform() < 0.5)) return seen("salts");
    if (place == Place::j1 && (l.bent || l.strand)) return seen(s.chance.uniform() < 0.85 ? "bent_or_strand" : "clean");
    return seen("clean");
}

template <Place... places>
Seen contacts(Scene& s)
{
    if ((s.now().at(places).low || ...)) return seen(s.chance.uniform() < 0.92 ? "low_or_moves" : "good");
    if ((s.now().at(places).grip_loose || ...)) return seen(s.chance.uniform() < 0.9 ? "loose_grip" : "good");
    return seen(s.chance.uniform() < 0.02 ? "low_or_moves" : "good");
}

template <std::size_t N>
Seen ohms(Scene& s, const Place (&way)[N])
{
    double sum = 0.4;
    for (const Place p : way) {
        if (s.now().at(p).leg_open || s.now().at(p).open_now) return seen("open");
        if (s.now().at(p).crossed) return seen("crossed");
        sum += s.now().at(p).ohm;
    }
    return seen(sum * (1 + s.chance.normal(0, 0.02)) > 3 ? "high" : "normal");
}

Seen sensor_ohms(Scene& s) { return s.now().sensor.legs_crossed ? seen("crossed") : ohms(s, sensor_way); }

Seen flexed(Scene& s)
{
    const auto steps = [&](Place p) { return s.now().at(p).open_now || s.happens(s.now().at(p).opens_per_hour * 20, 4); };
    if (steps(Place::w7)) return seen("steps_w7");
    if (steps(Place::w8)) return seen("steps_w8");
    return seen(steps(Place::p9) || steps(Place::d3) || steps(Place::j1) ? "steps_plug" : "steady");
}

template <std::size_t N>
Seen insulation(Scene& s, const Place (&way)[N])
{
    double siemens = 0;
    for (const Place p : way) siemens += 1 / s.now().at(p).insulation();
    return {{}, std::exp(std::log(1 / siemens) + s.chance.normal(0, 0.05))};
}

constexpr Place rack_way[] = {Place::j2, Place::w12, Place::d5, Place::w13, Place::w3};

Seen bus_ohms(Scene& s)
{
    bool shorted = s.now().logic.receiver_shorted, open = false;
    for (const Place p : data_way) {
        shorted = shorted || s.now().at(p).shorted;
        open = open || s.now().at(p).leg_open || s.now().at(p).open_now;
    }
    return seen(shorted ? "near_zero" : open ? "open" : "normal");
}

Seen pair_halves(Scene& s)
{
    const auto bad = [&](Place p) { return s.now().at(p).leg_open || s.now().at(p).open_now || s.now().at(p).shorted; };
    if (bad(Place::j2) || bad(Place::w12)) return seen("in_w12");
    return seen(bad(Place::w13) || bad(Place::d5) ? "in_w13" : "normal");
}

Seen reflectometer(Scene& s)
{
    static constexpr const char* says[] = {"at_p9", "in_w7", "at_d3", "in_w8", "at_j1"};
    for (std::size_t k = 0; k < 5; ++k) {
        const Line& l = s.now().at(sensor_way[k]);
        if (l.leg_open || l.open_now || l.ohm > 20 || l.insulation() < 0.02) {
            if (s.chance.uniform() < 0.15) k = k ? k - 1 : 1; // one reading of distance beside the other
            return seen(says[k]);
        }
    }
    return seen("as_twin");
}

Seen strap_pins(Scene& s) { return seen(s.now().logic.side_strap ? "side_wrong" : s.now().logic.mount_strap ? "mounting_wrong" : "right"); }

Seen shield(Scene& s) { return seen(s.now().at(Place::w7).shield_open ? "open_w7" : s.now().at(Place::w8).shield_open ? "open_w8" : "sound"); }

Seen sensor_bay(Scene& s)
{
    if (s.now().magnetics.steel_fastener) return seen(s.chance.uniform() < 0.93 ? "attracted" : "clean");
    return seen(s.now().magnetics.new_fitting ? "new_fitting" : "clean");
}

double rate_in_bay(const Truth& t) { return losses(t, on_stand(t)).all(); }
bool there(const Truth& t) { return rate_in_bay(t) >= 2 || errors(t, on_stand(t)).shows(); }

/// The unit and all that lives in it, put as new.
Truth without_unit(const Truth& t)
{
    Truth other = t;
    other.unit = Unit{};
    other.unit.stops_above_c = std::max(t.unit.stops_above_c, t.logic.no_airflow ? t.unit.stops_above_c : 95.0);
    other.magnetics.corrected_x = other.magnetics.corrected_y = 0;
    other.air.table_ft_per_100kt = 0;
    other.logic.wrong_part = other.logic.software_unlike = false;
    return other;
}

/// Taking a unit off and on makes contact again where contact was the trouble.
void reseat(Scene& s)
{
    Truth& t = s.job.now;
    if (t.logic.tray_unlatched && s.chance.uniform() < 0.6) t.logic.tray_unlatched = false;
    for (const Place p : {Place::j1, Place::j2}) {
        t.at(p).open_now = false;
        if (t.at(p).opens_per_hour > 0 && s.chance.uniform() < 0.3) t.at(p).opens_per_hour *= 0.1;
    }
}

Seen swap(Scene& s)
{
    const bool before = there(s.now());
    reseat(s);
    if (!before) return seen("vanishes");
    if (!there(s.now())) return seen("vanishes");
    return seen(there(without_unit(s.now())) ? "stays" : "follows");
}

/// A trial is watched in the condition in which it failed, as far as the ground has it: engine running, taxied through turns.
bool comes_on_trial(Scene& s, const Truth& t)
{
    Setting taxi = on_stand(t);
    taxi.engine = taxi.turning = true;
    return s.happens(losses(t, taxi).all(), 30) || errors(t, taxi).shows();
}

Seen trial(Scene& s)
{
    reseat(s);
    return seen(comes_on_trial(s, without_unit(s.now())) ? "not_cured" : "cured");
}

Seen back(Scene& s) { return seen(comes_on_trial(s, s.now()) ? "returns" : "stays_away"); }

Seen swap_sensors(Scene& s)
{
    const bool before = there(s.now());
    s.job.now.at(Place::p9).open_now = false;
    if (!before || !there(s.now())) return seen("vanishes");
    Truth other = s.now();
    other.sensor = Sensor{};
    return seen(there(other) ? "stays" : "follows");
}

Seen windings(Scene& s) { return seen(std::fabs(s.now().sensor.gain_x - s.now().sensor.gain_y) > 0.1 ? "unequal" : "equal"); }

const NamedLook table[] = {
    {"harness_look_wing", mark<Place::w7, Place::w8>}, {"harness_look_rack", mark<Place::w3, Place::w12, Place::w13>}, {"open_p9", open<Place::p9>},
    {"open_d3", open<Place::d3>}, {"open_j1", open<Place::j1>}, {"contacts_p9", contacts<Place::p9>}, {"contacts_d3", contacts<Place::d3>},
    {"contacts_rack", contacts<Place::j1, Place::j2, Place::d5>}, {"sensor_ohms", sensor_ohms}, {"data_ohms", [](Scene& s) { return ohms(s, data_way); }},
    {"sensor_ohms_flexed", flexed}, {"insulation_wing", [](Scene& s) { return insulation(s, sensor_way); }},
    {"insulation_rack", [](Scene& s) { return insulation(s, rack_way); }}, {"shield_ohms", shield},
    {"bond", [](Scene& s) { return Seen{{}, std::exp(std::log(1.5) + s.chance.normal(0, 0.2)) + 1000 * std::max(0.0, s.now().supply.return_ohm - 0.005)}; }},
    {"bus_ohms", bus_ohms}, {"distance_to_fault", reflectometer}, {"pair_halves", pair_halves}, {"strap_pins", strap_pins}, {"sensor_bay", sensor_bay},
    {"sensor_push", [](Scene& s) { return seen(s.now().sensor.mount_loose ? "moves_or_turned" : "firm"); }}, {"windings", windings}, {"swap_units", swap},
    {"trial_unit", trial}, {"first_unit_back", back}, {"swap_sensors", swap_sensors},
};

} // namespace

Look bench(const std::string& check) { return in(table, check); }

} // namespace chockside::campaign::detail
