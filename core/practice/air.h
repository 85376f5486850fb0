#pragma once
// What an air data unit measures at the stand: the standard atmosphere at its elevation, its own drift, and the probe's heater.

#include <core/base/random.h>
#include <core/practice/channel.h>
#include <core/practice/controls.h>
#include <core/practice/world.h>

namespace chockside::practice {

/// Static pressure in Pa of the U.S. Standard Atmosphere, 1976 (its equation 33a, number from memory), at a geopotential height of -5000 to 11000 m.
double standard_pressure_pa(double height_m);
/// The way back: geopotential height in m for 22632 to 178000 Pa.
double standard_height_m(double pressure_pa);

class Air {
public:
    Air(const World& world, std::uint64_t seed) : world_(&world), random_(seed) {}

    /// Ageing of the sensors since power came on, and what the unit stores of it. `channel` keeps the memory.
    void step(double dt_s, Channel& channel, const Controls& controls, const Defects& defects);

    double static_pa() const { return static_pa_; }
    double impact_pa() const { return impact_pa_; }
    double altitude_ft() const { return standard_height_m(static_pa_) / 0.3048; }
    double temperature_c() const { return world_->outside_c; }
    /// Pa that the static sensor has gone away from the true pressure.
    double drift_pa() const { return drift_pa_; }
    /// Current flows in the probe's heater.
    bool heater_on() const { return heater_on_; }

private:
    const World* world_;
    SeededRandom random_;
    double static_pa_ = 0, impact_pa_ = 0, drift_pa_ = 0, cold_s_ = 0;
    bool heater_on_ = false;
};

} // namespace chockside::practice
