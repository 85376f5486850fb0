#pragma once
// The physical state of the whole practice aircraft on one side (1), its surroundings and its people. Nothing here knows a profile, a
// cause or a check. All figures are practice values of the invented aircraft unless a source stands beside them.

#include <array>
#include <string>
#include <vector>

namespace chockside::campaign {

/// A length of harness or a contact place. Resistance in ohms, insulation in megohms, times in minutes, rates per hour.
struct Line {
    double ohm = 0.01;
    double opens_per_hour = 0;      ///< untouched and quiet
    bool open_now = false;          ///< parted at this moment, until it is moved
    double insulation_mohm = 800;   ///< dry
    double wet = 0;                 ///< film of water, 0 .. 1
    double wet_mohm = 0.04;         ///< under a whole film
    double drying_min = 60;
    bool seal_bad = false;          ///< lets water in
    bool low = false, grip_loose = false, salts = false, bent = false, strand = false, mark = false;
    bool crossed = false, leg_open = false, shorted = false, shield_open = false;

    double insulation() const;
};

enum class Place { p9, w7, d3, w8, j1, j2, w12, d5, w13, w3, gnd_block, tray, count };
const char* name_of(Place);

struct Supply {
    double source_v = 28.0, source_ohm = 0.06;                   ///< the ramp's cart, or the generator
    double base_a = 20, heater_a = 15, start_a = 300, unit_a = 2.5;
    double battery_v = 25.2, battery_ohm = 0.02;
    bool cart_only = true;                                       ///< a weak cart stays behind in flight
    double breaker_ohm = 0.01, return_ohm = 0.005;
    double breaker_opens_per_hour = 0;
    bool breaker_out = false, breaker_tripped = false;
    bool second_feed_open = false;
    double ripple_mv = 120;                                      ///< engine running
    bool excitation_absent = false;
    double excitation_opens_per_hour = 0;
};

struct Unit {
    bool dead = false;
    double gyro_dph = 0.5;             ///< bias beyond earth rate
    double stops_below_c = -60, stops_above_c = 95;
    double transducer_ft = 0;          ///< altitude offset
    double amplitude = 1;              ///< of its data driver
    double driver_opens_per_hour = 0;
    bool input_refuses = false;
    double input_opens_per_hour = 0;
    bool data_lost = false;
    double joint_opens_per_hour = 0;   ///< in vibration
    double rogue_per_hour = 0;         ///< only in this aircraft's vibration and heat
    double drop_out_v = 22.0, restart_v = 23.0;
    bool level_off = false;
};

struct Sensor {
    double gain_x = 1, gain_y = 1;
    double mount_deg = 0;
    bool mount_loose = false;
    double drifts_below_c = -60;
    Line boot;
    bool legs_crossed = false;
};

/// Fields in nanotesla, body axes x forward, y right; `place` in earth axes, x north.
struct Magnetics {
    double h_nt = 20000;
    double hard_x = 0, hard_y = 0, soft = 0;
    double gear_x = 0, gear_y = 0;       ///< part of the iron that moves with the gear
    double corrected_x = 0, corrected_y = 0; ///< what the stored calibration takes off
    double loop_a = 0, loop_m = 0.6;     ///< current of a load's return past the sensor
    double place_x = 0, place_y = 0;     ///< iron under this stand
    bool steel_fastener = false, new_fitting = false;
    double latitude_deg = 35;
};

/// Pressures in inches of water, leaks in feet or knots a minute.
struct Pneumatics {
    double static_leak_fpm = 10, cabin_leak_fpm = 20, pitot_leak_kt = 1;
    double static_water_in = 0, pitot_water_in = 0;
    bool pitot_blocked = false, drain_blocked = false, crossed = false, port_damaged = false, alternate_open = false;
    double set_leak_fpm = 0;
    double table_ft_per_100kt = 0;       ///< static correction of another type
    bool probe_off = false, vane_sticks = false, heater_open = false;
};

struct Logic {
    bool side_strap = false, mount_strap = false, software_unlike = false, wrong_part = false;
    bool calibration_other = false, true_selected = false, setting_units = false, setting_wrong = false, free_selected = false;
    bool cross_bus_open = false, aiding_open = false, sky_blocked = false, air_ground_wrong = false, moved_aligning = false;
    bool comparator_tight = false, standby_wrong = false, display_bad = false, autopilot_input = false;
    double selector_opens_per_hour = 0, receiver_shorts_per_hour = 0, display_opens_per_hour = 0;
    bool selector_open = false, receiver_shorted = false;
    bool normal_written_up = false;
    double tray_tilt_deg = 0;
    bool tray_play = false, tray_unlatched = false;
    bool no_airflow = false;
    bool leads_bad = false, adapter_wrong = false;
    double reference_deg = 0;            ///< the compass rose's own error
    double unlisted_per_hour = 0;        ///< troubles that no ordinary cause describes
    enum class Unlisted { none, keyed_threshold, recorder_clock, dimmer_diode, lightning_latch, wrong_rate_card, hydraulic_thump } unlisted = Unlisted::none;
};

struct Surroundings {
    double bay_c = 22, tip_c = 18;
    bool rained = false, night_cold = false, sun = false, icing = false;
};

struct Truth {
    std::array<Line, static_cast<std::size_t>(Place::count)> lines;
    Supply supply;
    Unit unit;
    Sensor sensor;
    Magnetics magnetics;
    Pneumatics air;
    Logic logic;
    Surroundings around;
    std::string work = "none";           ///< what was done in the last 60 days
    int unit_changes = 0;                ///< since the complaint first came
    bool serial_repeats = false;
    double flown_h = 6;                  ///< since the stored faults were cleared

    Line& at(Place p) { return lines[static_cast<std::size_t>(p)]; }
    const Line& at(Place p) const { return lines[static_cast<std::size_t>(p)]; }
};

/// What is going on around the aircraft at one moment.
struct Setting {
    bool heater = false, lights = false, strobe = false, engine = false, start = false, transfer = false, airborne = false, cart = true;
    bool icing = false, pressurised = false, gear_up = false, turning = false, first_power_up = false;
    double unit_c = 35, tip_c = 18;
    double altitude_ft = 120, airspeed_kt = 0;
    double minutes_on = 15;              ///< since power came on
    bool elsewhere = false;              ///< 50 m from the stand
};
Setting on_stand(const Truth&);
Setting in_flight(const Truth&);

constexpr double always = 1e6; ///< a rate that means: all the time

/// Losses per hour by what is lost; `always` where it is lost throughout.
struct Losses {
    double power = 0, inside = 0, sensor = 0, data = 0, display = 0, input = 0;
    double all() const { return power + inside + sensor + data + display + input; }
};

struct Errors {
    double heading_deg = 0, attitude_deg = 0, altitude_ft = 0, airspeed_kt = 0, temperature_c = 0;
    bool shows() const;                  ///< beyond what a crew would write up
};

double bus_volts(const Truth&, const Setting&);
/// At the connector under load; the better of both feeds while the second is switched in.
double plug_volts(const Truth&, const Setting&);
double data_amplitude(const Truth&);     ///< A to B at the display, 1 = nominal
Losses losses(const Truth&, const Setting&);
/// What the heading of side 1 reads at a true magnetic heading, degrees 0 .. 360.
double indicated_heading(const Truth&, const Setting&, double heading_deg);
double field_length(const Truth&, const Setting&, double heading_deg);
Errors errors(const Truth&, const Setting&);
/// Water dries, with its time constant, while `minutes` pass.
void pass(Truth&, double minutes);

} // namespace chockside::campaign
