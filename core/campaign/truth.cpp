#include <core/airdata/standard.h>
#include <core/campaign/laws.h>
#include <core/campaign/truth.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chockside::campaign {

namespace {

using airdata::airspeed_kt;
using airdata::impact_pa;
using airdata::pressure_pa;

constexpr double degree = std::numbers::pi / 180;
constexpr double least_film = 0.05;       // below it the film is in drops and conducts nothing
constexpr double upsetting_mohm = 0.5;    // leakage below which the sensor's signal suffers
constexpr double receiver_threshold = 0.6; // of nominal amplitude; one display is more sensitive than the other

constexpr Place sensor_way[] = {Place::p9, Place::w7, Place::d3, Place::w8};
constexpr Place data_way[] = {Place::j2, Place::w12, Place::d5, Place::w13};
constexpr Place feed_way[] = {Place::w3, Place::gnd_block, Place::tray};

double opens(const Line& l, const Setting& s)
{
    if (l.open_now || l.leg_open) return always;
    return l.opens_per_hour * (s.engine || s.airborne ? 3 : 1);
}

template <std::size_t N>
double opens(const Truth& t, const Setting& s, const Place (&way)[N])
{
    double sum = 0;
    for (const Place p : way) sum += opens(t.at(p), s);
    return std::min(sum, always);
}

double sensor_leak(const Truth& t)
{
    double least = t.sensor.boot.insulation();
    for (const Place p : sensor_way) least = std::min(least, t.at(p).insulation());
    return std::min(least, t.at(Place::j1).insulation());
}

struct Field {
    double x, y;
};

/// At the sensor, in body axes.
Field at_sensor(const Truth& t, const Setting& s, double heading)
{
    const auto& m = t.magnetics;
    const double share = s.elsewhere || s.airborne ? 0 : 1;
    const double north = m.h_nt + share * m.place_x, east = share * m.place_y;
    const double c = std::cos(heading * degree), n = std::sin(heading * degree);
    Field f{north * c + east * n, -north * n + east * c};
    f.x = f.x * (1 + m.soft) + m.hard_x + (s.gear_up ? 0 : m.gear_x);
    f.y = f.y * (1 - m.soft) + m.hard_y + (s.gear_up ? 0 : m.gear_y);
    if (s.lights && m.loop_a > 0) f.y += wire_field_nt(m.loop_a, m.loop_m);
    return f;
}

Field sensed(const Truth& t, const Setting& s, double heading)
{
    const Field f = at_sensor(t, s, heading);
    const double a = t.sensor.mount_deg * degree;
    Field g{(f.x * std::cos(a) + f.y * std::sin(a)) * t.sensor.gain_x, (-f.x * std::sin(a) + f.y * std::cos(a)) * t.sensor.gain_y};
    if (t.sensor.legs_crossed || t.at(Place::p9).crossed) g.y = -g.y;
    return g;
}

/// Troubles that no list has: what each upsets, and when.
void upset(const Logic& l, const Setting& s, Losses& x)
{
    const double rate = l.unlisted_per_hour;
    const bool shaken = s.engine || s.airborne;
    switch (l.unlisted) {
    case Logic::Unlisted::none: return;
    case Logic::Unlisted::keyed_threshold: x.data += rate * (s.airborne ? 1.5 : 0.5); return;              // the crew talks more than the ramp does
    case Logic::Unlisted::recorder_clock: x.data += rate; return;                                           // leaks into the bus all the time
    case Logic::Unlisted::dimmer_diode: x.display += rate * (s.lights ? 3 : 0.3); return;
    case Logic::Unlisted::lightning_latch: x.power += rate * (shaken ? 1.5 : 0.7); return;                  // a surge arrester that latches
    case Logic::Unlisted::wrong_rate_card: return;                                                          // an error, in turns: errors()
    case Logic::Unlisted::hydraulic_thump: x.inside += rate * (shaken ? 3 : 0.5); return;                   // shakes the rack, not the unit's fault
    }
}

double signed_angle(double degrees)
{
    const double d = std::fmod(std::fmod(degrees, 360) + 540, 360) - 180;
    return d;
}

} // namespace

const char* name_of(Place p)
{
    constexpr const char* names[] = {"p9", "w7", "d3", "w8", "j1", "j2", "w12", "d5", "w13", "w3", "gnd_block", "tray", ""};
    return names[static_cast<std::size_t>(p)];
}

double Line::insulation() const
{
    const double film = std::max(0.0, wet - least_film) / (1 - least_film);
    return 1 / (1 / insulation_mohm + film / wet_mohm);
}

Setting on_stand(const Truth& t)
{
    Setting s;
    s.unit_c = t.around.bay_c + (t.logic.no_airflow ? 45 : 13);
    s.tip_c = t.around.tip_c;
    return s;
}

Setting in_flight(const Truth& t)
{
    Setting s;
    s.engine = s.airborne = s.turning = s.gear_up = true;
    s.cart = false;
    s.heater = s.lights = s.strobe = true;
    s.icing = t.around.icing;
    s.pressurised = true;
    s.unit_c = t.around.bay_c + (t.logic.no_airflow ? 45 : 13);
    s.tip_c = std::min(t.around.tip_c, t.around.night_cold ? -20.0 : 0.0);
    s.altitude_ft = 9000;
    s.airspeed_kt = 180;
    s.minutes_on = 60;
    return s;
}

double bus_volts(const Truth& t, const Setting& s)
{
    const auto& p = t.supply;
    double amps = p.base_a + (s.heater ? p.heater_a : 0) + (s.lights ? 10 : 0);
    if (s.start) return p.battery_v - p.battery_ohm * (amps + p.start_a);
    if (!s.cart && p.cart_only) return 28.2 - 0.005 * amps;
    return p.source_v - p.source_ohm * amps;
}

double plug_volts(const Truth& t, const Setting& s)
{
    const auto& p = t.supply;
    if (p.breaker_out || p.breaker_tripped) return 0;
    const double ohm = p.breaker_ohm + p.return_ohm + t.at(Place::j1).ohm + t.at(Place::w3).ohm + t.at(Place::gnd_block).ohm;
    const double first = bus_volts(t, s) - p.unit_a * ohm;
    const bool switched_in = s.start || s.transfer;
    return switched_in && !p.second_feed_open ? std::max(first, p.battery_v - 0.7) : first;
}

double data_amplitude(const Truth& t)
{
    double a = t.unit.amplitude;
    for (const Place p : data_way) {
        if (t.at(p).leg_open) a *= 0.5;
        if (t.at(p).shorted) a *= 0.02;
    }
    if (t.logic.receiver_shorted) a *= 0.3;
    return a;
}

Losses losses(const Truth& t, const Setting& s)
{
    Losses l;
    const auto& u = t.unit;
    const double volts = plug_volts(t, s);
    const double shake = s.engine || s.airborne ? 3 : 1;
    l.power = std::min(always, (volts < u.drop_out_v ? always : 0) + opens(t, s, feed_way) + t.supply.breaker_opens_per_hour * shake);
    if (t.logic.tray_unlatched) l.power += s.engine || s.airborne ? 4 : 0.4;
    if (t.supply.ripple_mv > 1500 && s.engine) l.power += 4;
    l.inside = u.dead ? always : u.joint_opens_per_hour * (s.engine || s.airborne ? 3 : 0.3) + u.rogue_per_hour * shake;
    if (s.unit_c > u.stops_above_c && s.minutes_on > 30) l.inside = always;
    if (s.first_power_up && t.around.bay_c < u.stops_below_c) l.inside = always;
    l.sensor = opens(t, s, sensor_way) + opens(t.at(Place::j1), s) + u.input_opens_per_hour + t.supply.excitation_opens_per_hour * shake;
    if (u.input_refuses || t.supply.excitation_absent) l.sensor = always;
    if (sensor_leak(t) < upsetting_mohm) l.sensor += 60;
    if (s.tip_c < t.sensor.drifts_below_c) l.sensor = always;
    l.sensor = std::min(l.sensor, always);
    l.data = data_amplitude(t) < receiver_threshold ? always : u.driver_opens_per_hour * shake + t.logic.receiver_shorts_per_hour;
    for (const Place p : data_way) {
        const Line& w = t.at(p);
        if (w.open_now || w.crossed) l.data = always;
        l.data += w.opens_per_hour * shake;
        if (w.insulation() < 0.1) l.data += 30;
    }
    if (t.logic.side_strap) l.data = always;
    l.data = std::min(l.data, always);
    l.display = t.logic.display_bad || t.logic.selector_open ? always : t.logic.selector_opens_per_hour + t.logic.display_opens_per_hour;
    if (t.logic.aiding_open || t.logic.cross_bus_open) l.input = always;
    if (t.logic.sky_blocked && !s.airborne) l.input = always;
    if (t.logic.autopilot_input && s.airborne) l.display += 3;
    upset(t.logic, s, l);
    return l;
}

double indicated_heading(const Truth& t, const Setting& s, double heading)
{
    if (t.logic.free_selected) return std::fmod(heading + earth_drift_dph(t.magnetics.latitude_deg) * s.minutes_on / 60 + 360, 360);
    const Field f = sensed(t, s, heading);
    double h = std::atan2(-(f.y - t.magnetics.corrected_y), f.x - t.magnetics.corrected_x) / degree;
    if (t.logic.true_selected) h += 11; // local variation of Northmoor
    return std::fmod(h + 720, 360);
}

double field_length(const Truth& t, const Setting& s, double heading)
{
    const Field f = sensed(t, s, heading);
    return std::hypot(f.x - t.magnetics.corrected_x, f.y - t.magnetics.corrected_y);
}

Errors errors(const Truth& t, const Setting& s)
{
    Errors e;
    for (double h = 0; h < 360; h += 45) {
        const double off = signed_angle(indicated_heading(t, s, h) - h);
        if (std::fabs(off) > std::fabs(e.heading_deg)) e.heading_deg = off;
    }
    if (t.unit.data_lost) e.heading_deg += 4;
    e.attitude_deg = t.logic.tray_tilt_deg + t.unit.gyro_dph * (s.turning ? 0.1 : 0.01) + (t.unit.data_lost ? 1.5 : 0) + (t.logic.mount_strap ? 5 : 0)
        + (t.logic.aiding_open && s.turning ? 2 : 0) + (t.logic.moved_aligning && !s.airborne ? 2 : 0) + (t.logic.tray_play && s.engine ? 1.5 : 0)
        + (t.logic.unlisted == Logic::Unlisted::wrong_rate_card && s.turning ? 3 : 0);
    const auto& a = t.air;
    const double p = pressure_pa(s.altitude_ft) + water_pa(a.static_water_in);
    double altitude = airdata::altitude_ft(a.crossed ? p + impact_pa(s.airspeed_kt) : p);
    const double leak = s.pressurised ? a.cabin_leak_fpm : 0;
    if (leak > 100) altitude -= leak;
    if (a.static_leak_fpm > 100 && s.airborne) altitude -= a.static_leak_fpm;
    if (a.alternate_open) altitude += s.airborne ? 180 : 0;
    if (a.port_damaged) altitude += s.airspeed_kt;
    altitude += a.table_ft_per_100kt * s.airspeed_kt / 100 + t.unit.transducer_ft;
    if (t.logic.setting_units || t.logic.setting_wrong) altitude += 250;
    e.altitude_ft = altitude - s.altitude_ft;
    double speed = airspeed_kt(a.crossed ? -1 : impact_pa(s.airspeed_kt) + water_pa(a.pitot_water_in) - water_pa(a.static_water_in));
    if (a.pitot_blocked || (a.heater_open && s.icing)) speed = airspeed_kt(pressure_pa(120) - pressure_pa(s.altitude_ft));
    speed -= a.pitot_leak_kt > 10 && s.airspeed_kt > 0 ? a.pitot_leak_kt : 0;
    if (a.drain_blocked && s.airborne) speed -= 12;
    if (a.vane_sticks && s.turning) speed -= 10;
    e.airspeed_kt = speed - s.airspeed_kt;
    e.temperature_c = a.probe_off ? 15 : 0;
    return e;
}

bool Errors::shows() const
{
    return std::fabs(heading_deg) > 3 || std::fabs(attitude_deg) > 1 || std::fabs(altitude_ft) > 100 || std::fabs(airspeed_kt) > 8
        || std::fabs(temperature_c) > 5;
}

void pass(Truth& t, double minutes)
{
    for (Line& l : t.lines) l.wet *= std::exp(-minutes / l.drying_min);
    t.sensor.boot.wet *= std::exp(-minutes / t.sensor.boot.drying_min);
}

} // namespace chockside::campaign
