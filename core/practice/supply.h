#pragma once
// The 28 V system: a source with resistance, two buses, breakers and wires as resistors, and the loads that step.

#include <core/base/random.h>
#include <core/practice/controls.h>
#include <core/practice/defects.h>

#include <array>

namespace chockside::practice {

class Supply {
public:
    Supply(const Electrical& electrical, std::uint64_t seed) : e_(electrical), random_(seed) {}

    /// `drawing`: which channels of the unit run, hence draw current.
    void step(double dt_s, const Controls& controls, const Defects& defects, const std::array<bool, 2>& drawing);

    double cart_v() const { return cart_v_; }
    double cart_a() const { return cart_a_; }
    double bus_v(int channel) const { return channel == 1 ? essential_v_ : main_v_; }
    /// At the unit's connector, between supply pin and return, as the unit sees it; 0 when nothing arrives.
    double plug_v(int channel) const { return plug_v_[static_cast<std::size_t>(channel - 1)]; }
    double breaker_drop_v(int channel) const { return drop_v_[static_cast<std::size_t>(channel - 1)]; }
    double unit_a(int channel) const { return unit_a_[static_cast<std::size_t>(channel - 1)]; }
    bool cart_load_on() const { return load_on_; }
    /// Through the probe's heater.
    double probe_a() const { return heater_a(essential_v_); }

private:
    void switch_loads(double dt_s, const Controls& controls, const Defects& defects);
    void flicker(double dt_s, const Effect* contact);
    void solve(const Controls& controls, const Defects& defects, const std::array<bool, 2>& drawing);
    double feed_ohm(int channel, const Defects& defects) const;
    double heater_a(double volts) const;
    double cart_ohm(const Controls& controls, const Defects& defects) const;

    Electrical e_;
    SeededRandom random_;
    double cart_v_ = 0, cart_a_ = 0, essential_v_ = 0, main_v_ = 0;
    std::array<double, 2> plug_v_{}, drop_v_{}, unit_a_{};
    bool heater_on_ = false, load_on_ = false;
    double heater_for_s_ = 0, load_for_s_ = 0, flicker_left_s_ = 0;
};

} // namespace chockside::practice
