#include <core/practice/channel.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chockside::practice {

namespace {

constexpr double radian = std::numbers::pi / 180;
constexpr double reset_s = 0.4;
constexpr double slaving_s = 4, warm_s = 35;

} // namespace

void Channel::begin(Phase phase)
{
    phase_ = phase;
    phase_s_ = 0;
}

void Channel::restart_test()
{
    if (!talking()) return;
    begin(Phase::self_test);
    failed_ = 0;
    lowest_in_test_v_ = 99;
    bad_in_test_s_ = 0;
}

void Channel::wake_warm(double uptime_s, int power_up, const ChannelInput& in, const Defects& defects)
{
    begin(Phase::running);
    uptime_s_ = uptime_s;
    since_test_s_ = uptime_s;
    power_up_ = power_up;
    supply_v_ = in.supply_v;
    off_s_ = 0;
    if (const Effect* clock = defects.find("cold_clock", number_)) crystal_rise_c_ = clock->num("rise_c");
    if (defects.find("input_stage", number_)) failed_ = 1u << test_bit::sensor_input;
    smooth_fore_ = in.field.fore_nt;
    smooth_right_ = in.field.right_nt;
    ChannelInput slaved = in;
    slaved.slaved = true;
    step_heading(1e3, slaved, defects);
    const Effect* free = defects.find("free", number_);
    if (!in.slaved && free) step_heading(free->num("for_s"), in, defects);
}

void Channel::step(double dt_s, const ChannelInput& in, const Defects& defects)
{
    pace_ = in.pace;
    step_power(dt_s, in);
    step_clock(dt_s, in, defects);
    if (phase_ == Phase::off) return;
    uptime_s_ += dt_s;
    step_supply_watch(dt_s);
    step_sensor(dt_s, in, defects);
    step_phase(dt_s, in, defects);
    step_heading(dt_s, in, defects);
}

// Below 18 V the internal supply lets go; above 20 V for 0.4 s the reset ends. The gap between is the hysteresis.
void Channel::step_power(double dt_s, const ChannelInput& in)
{
    supply_v_ = in.supply_v;
    if (phase_ != Phase::off) {
        if (supply_v_ >= pace_.drop_out_v) return;
        begin(Phase::off);
        off_s_ = good_supply_s_ = 0;
        return;
    }
    off_s_ += dt_s;
    good_supply_s_ = supply_v_ > pace_.restart_v ? good_supply_s_ + dt_s : 0;
    if (good_supply_s_ < reset_s) return;
    if (off_s_ < 5) {
        memory_.watch(code::power_lost, true, power_up_, uptime_s_);
        memory_.settle(code::power_lost);
    }
    ++power_up_;
    uptime_s_ = 0;
    below_22_s_ = below_21_s_ = 0;
    low_supply_ = lost_ = false;
    memory_.settle(code::supply_low);
    memory_.settle(code::sensor_lost);
    begin(Phase::starting);
}

// The crystal warms itself while it runs and cools within seconds when it stops; below its limit it doesn't start.
void Channel::step_clock(double dt_s, const ChannelInput& in, const Defects& defects)
{
    const Effect* clock = defects.find("cold_clock", number_);
    clock_stopped_ = false;
    if (clock) {
        const double rise = clock->num("rise_c", 20), need = clock->num("stops_below_c") - in.bay_c;
        const double warm = need > 0 && need < rise ? -clock->num("seconds", 240) / std::log(1 - need / rise) : 1;
        const double target = phase_ == Phase::off ? 0 : rise;
        const double time_constant = phase_ == Phase::off ? 2 : warm;
        crystal_rise_c_ += (target - crystal_rise_c_) * (1 - std::exp(-dt_s / time_constant));
        clock_stopped_ = phase_ == Phase::starting && crystal_rise_c_ < need;
        if (phase_ == Phase::starting) memory_.watch(code::internal_clock, clock_stopped_, power_up_, uptime_s_);
    }
    if (phase_ != Phase::starting || clock_stopped_) return;
    begin(Phase::self_test);
    restart_test();
}

void Channel::step_supply_watch(double dt_s)
{
    below_22_s_ = supply_v_ < pace_.low_v ? below_22_s_ + dt_s : 0;
    below_21_s_ = supply_v_ < pace_.low_v - 1 ? below_21_s_ + dt_s : 0;
    low_supply_ = below_21_s_ > 0.3;
    if (phase_ != Phase::starting) memory_.watch(code::supply_low, below_22_s_ > 0.3, power_up_, uptime_s_);
}

void Channel::step_phase(double dt_s, const ChannelInput& in, const Defects& defects)
{
    phase_s_ += dt_s;
    since_test_s_ += dt_s;
    if (phase_ == Phase::self_test) {
        lowest_in_test_v_ = std::min(lowest_in_test_v_, supply_v_);
        if (!in.sensor_wires) bad_in_test_s_ += dt_s;
        if (phase_s_ >= pace_.self_test_s) end_test(defects);
    } else if (phase_ == Phase::aligning) {
        if (in.moving) phase_s_ = 0;
        if (phase_s_ >= pace_.alignment_s) begin(Phase::running);
    }
}

void Channel::end_test(const Defects& defects)
{
    failed_ = 0;
    if (bad_in_test_s_ > 1.5) failed_ |= 1u << test_bit::sensor_drive;
    if (lowest_in_test_v_ < pace_.low_v) failed_ |= 1u << test_bit::supply;
    const bool input = defects.find("input_stage", number_) != nullptr;
    if (input) failed_ |= 1u << test_bit::sensor_input;
    if (defects.find("static_drift")) failed_ |= 1u << test_bit::static_sensor;
    memory_.watch(code::sensor_input, input, power_up_, uptime_s_);
    since_test_s_ = 0;
    begin(Phase::aligning);
}

void Channel::step_sensor(double dt_s, const ChannelInput& in, const Defects& defects)
{
    wires_ok_ = in.sensor_wires;
    bad_wires_s_ = wires_ok_ ? 0 : bad_wires_s_ + dt_s;
    good_wires_s_ = wires_ok_ ? good_wires_s_ + dt_s : 0;
    if (bad_wires_s_ > 0.06) lost_ = true;
    else if (good_wires_s_ > 0.5) lost_ = false;
    step_input_stage(dt_s, defects);

    field_ = wires_ok_ ? in.field : BodyField{};
    const double k = 1 - std::exp(-dt_s / 0.5);
    if (!lost_ && wires_ok_) {
        smooth_fore_ += (in.field.fore_nt - smooth_fore_) * k;
        smooth_right_ += (in.field.right_nt - smooth_right_) * k;
    }
    const double length = std::hypot(smooth_fore_, smooth_right_);
    const bool misfit = length < 10500 || length > 32000;
    if (phase_ == Phase::running) memory_.watch(code::sensor_lost, lost_ || misfit, power_up_, uptime_s_);
    sensor_bad_ = in.slaved && (lost_ || misfit || input_bad_);
}

void Channel::step_input_stage(double dt_s, const Defects& defects)
{
    const Effect* stage = defects.find("input_stage", number_);
    if (!stage) {
        input_bad_ = false;
        return;
    }
    input_left_s_ -= dt_s;
    const double good_s = stage->num("good_s");
    if (good_s <= 0) input_bad_ = true;
    else if (input_left_s_ <= 0) {
        input_bad_ = !input_bad_;
        input_left_s_ = (input_bad_ ? stage->num("bad_s", 30) : good_s) * random_.uniform(0.6, 1.5);
    }
    if (phase_ == Phase::running) memory_.watch(code::sensor_input, input_bad_, power_up_, uptime_s_);
}

double Channel::warm_error() const
{
    return phase_ == Phase::off ? 0 : (number_ == 1 ? 1 : -0.8) * warm_start_deg_ * std::exp(-since_test_s_ / warm_s);
}

// Slaved, the gyro follows turns at once and the magnetic heading with one time constant. Free, it keeps its place in space, so the
// meridian turns away under it at the earth's rate times sine of latitude.
void Channel::step_heading(double dt_s, const ChannelInput& in, const Defects& defects)
{
    raw_ = wrap_360(std::atan2(-smooth_right_, smooth_fore_) / radian);
    const double magnetic = raw_ + in.calibration.b_deg * std::sin(raw_ * radian) + in.calibration.c_deg * std::cos(raw_ * radian);
    heading_ += in.turned_deg;
    if (in.slaved) {
        if (!sensor_bad_) heading_ += wrap_180(magnetic - heading_) * (1 - std::exp(-dt_s / slaving_s));
    } else {
        const Effect* free = defects.find("free", number_);
        const double own = free ? free->num("drift_deg_h") : 0.4;
        heading_ -= (15.04 * std::sin(in.latitude_deg * radian) + own) * dt_s / 3600;
    }
    heading_ = wrap_360(heading_);
    pitch_ = in.stance.pitch_deg + random_.normal(0, 0.01);
    roll_ = in.stance.roll_deg + random_.normal(0, 0.01);
}

} // namespace chockside::practice
