#pragma once
// One channel of the reference unit: power-up, self-test, alignment, warm-up, slaved heading, flags, fault memory.

#include <core/base/random.h>
#include <core/practice/defects.h>
#include <core/practice/fault_memory.h>
#include <core/practice/magnetics.h>

#include <cstdint>

namespace chockside::practice {

namespace code {
inline constexpr int internal_clock = 0x0101, sensor_lost = 0x0204, sensor_input = 0x0205, supply_low = 0x0301, power_lost = 0x0302,
                     calibration = 0x0402, static_drift = 0x0501, heater = 0x0502;
}

/// Bit numbers of the self-test result.
namespace test_bit {
inline constexpr unsigned processor = 0, gyro = 1, sensor_drive = 4, supply = 5, sensor_input = 6, configuration = 9, static_sensor = 10;
}

enum class Phase { off, starting, self_test, aligning, running };

/// What reaches the channel in one step.
struct ChannelInput {
    double supply_v = 0;
    bool sensor_wires = true; ///< drive and both signals closed
    bool moving = false;
    bool slaved = true;
    double turned_deg = 0;    ///< true change of heading in this step
    double bay_c = 11;
    double latitude_deg = 35;
    BodyField field;
    Calibration calibration;
    Pace pace;
    Stance stance;
};

class Channel {
public:
    Channel(int number, std::uint64_t seed) : number_(number), random_(seed) {}

    /// As found: running and warm for `uptime_s`, heading settled.
    void wake_warm(double uptime_s, int power_up, const ChannelInput& in, const Defects& defects);
    void step(double dt_s, const ChannelInput& in, const Defects& defects);
    void restart_test();
    FaultMemory& memory() { return memory_; }

    const FaultMemory& memory() const { return memory_; }
    Phase phase() const { return phase_; }
    bool drawing() const { return phase_ != Phase::off; }
    bool talking() const { return phase_ > Phase::starting; }
    double uptime_s() const { return uptime_s_; }
    int power_up() const { return power_up_; }
    double supply_v() const { return supply_v_; }
    std::uint16_t failed_tests() const { return failed_; }
    bool heading_flag() const { return phase_ != Phase::running || sensor_bad_ || low_supply_; }
    bool attitude_flag() const { return phase_ != Phase::running || low_supply_; }
    bool sensor_wire_ok() const { return wires_ok_; }
    double heading_deg() const { return wrap_360(heading_ + warm_error()); }
    double raw_heading_deg() const { return raw_; }
    double pitch_deg() const { return pitch_; }
    double roll_deg() const { return roll_; }
    const BodyField& field() const { return field_; }

private:
    void step_power(double dt_s, const ChannelInput& in);
    void step_clock(double dt_s, const ChannelInput& in, const Defects& defects);
    void step_phase(double dt_s, const ChannelInput& in, const Defects& defects);
    void end_test(const Defects& defects);
    void step_sensor(double dt_s, const ChannelInput& in, const Defects& defects);
    void step_input_stage(double dt_s, const Defects& defects);
    void step_supply_watch(double dt_s);
    void step_heading(double dt_s, const ChannelInput& in, const Defects& defects);
    double warm_error() const;
    void begin(Phase phase);

    int number_;
    SeededRandom random_;
    FaultMemory memory_;
    Pace pace_;
    Phase phase_ = Phase::off;
    double supply_v_ = 0, good_supply_s_ = 0, off_s_ = 1e9, uptime_s_ = 0, phase_s_ = 0, since_test_s_ = 0;
    double lowest_in_test_v_ = 99, bad_in_test_s_ = 0, below_22_s_ = 0, below_21_s_ = 0;
    int power_up_ = 0;
    std::uint16_t failed_ = 0;
    bool low_supply_ = false, wires_ok_ = true, lost_ = false, sensor_bad_ = false;
    bool input_bad_ = false, clock_stopped_ = false;
    double bad_wires_s_ = 0, good_wires_s_ = 9, input_left_s_ = 0, crystal_rise_c_ = 0;
    double heading_ = 0, raw_ = 0, pitch_ = 0, roll_ = 0;
    double smooth_fore_ = 0, smooth_right_ = 0, warm_start_deg_ = 0.8;
    BodyField field_;
};

} // namespace chockside::practice
