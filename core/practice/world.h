#pragma once
// The numbers of the practice aircraft as its file gives them: what is the same in every scenario.

#include <array>
#include <map>
#include <string>

namespace chockside::practice {

/// Volts, ohms and amperes of the 28 V system; currents are steady values at any voltage, the heater is a resistance.
struct Electrical {
    double cart_v = 28.0, cart_ohm = 0.02, other_cart_ohm = 0.018;
    double essential_ohm = 0.03, main_ohm = 0.025, breaker_ohm = 0.012, wire_ohm = 0.015;
    double unit_a = 2.5, display_a = 1.5, transponder_a = 1.2, servo_a = 0.8;
    double heater_ohm = 2.0, heater_inrush = 2.0, heater_inrush_s = 0.4;
    double cart_load_a = 51.0, cart_load_inrush = 2.0, cart_load_inrush_s = 0.3;
};

/// Fields in nT, places in metres forward and right of the aircraft's reference point, dip in degrees (down positive).
struct Magnetic {
    double horizontal_nt = 20000, dip_deg = 45, iron_fore_nt = 0, iron_right_nt = 0, sensor_noise_nt = 25;
    std::array<double, 2> sensor_at_m{-1, 8}, standby_at_m{2.5, 0};
    double standby_b_deg = 0, standby_c_deg = 0;
};

struct Calibration {
    std::string tail;
    double b_deg = 0, c_deg = 0; ///< added: heading = raw + b sin(raw) + c cos(raw)
};

/// How long the unit takes over itself, and the supply that it wants (V): below `low` it says so, below `low` - 1 its words are
/// invalid, below `drop_out` it stops, above `restart` it comes back.
struct Pace {
    double self_test_s = 20, alignment_s = 60, session_lost_s = 6;
    double low_v = 22, drop_out_v = 18, restart_v = 20;
};

struct World {
    std::string id, profile, unit_name = "PRU-2", tail, type, part, spare_unit, spare_sensor;
    unsigned identity_crc = 0;
    double latitude_deg = 35, heading_deg = 0, arrival_uptime_s = 2400, bay_c = 11;
    double elevation_m = 0, outside_c = 15; ///< geopotential height of the stand; air there
    Pace pace;
    int arrival_power_up = 1;
    std::map<std::string, std::string> serials;
    Electrical electrical;
    Magnetic magnetic;
    std::map<std::string, Calibration> calibrations;
};

} // namespace chockside::practice
