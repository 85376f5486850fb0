#pragma once
// What an air data unit measures at the stand: the standard atmosphere at its elevation, its own drift, and the probe's heater.

#include <core/airdata/standard.h>
#include <core/base/random.h>
#include <core/practice/channel.h>
#include <core/practice/controls.h>
#include <core/practice/world.h>

namespace chockside::practice {

class Air {
public:
    Air(const World& world, std::uint64_t seed) : elevation_ft_(world.elevation_m / foot_m), outside_c_(world.outside_c), random_(seed) {}

    /// Ageing of the sensors since power came on, and what the unit stores of it. `channel` keeps the memory.
    void step(double dt_s, Channel& channel, const Controls& controls, const Defects& defects);

    double static_pa() const { return static_pa_; }
    double impact_pa() const { return impact_pa_; }
    double altitude_ft() const { return airdata::altitude_ft(static_pa_); }
    double temperature_c() const { return outside_c_; }
    /// Pressure in the static line, which the standby altimeter feels too: the outside's, and the head of water that stands in it.
    double line_pa() const { return line_pa_; }
    double elevation_ft() const { return elevation_ft_; }
    /// Pa that the static sensor has gone away from the pressure in the line.
    double drift_pa() const { return drift_pa_; }
    /// Current flows in the probe's heater.
    bool heater_on() const { return heater_on_; }

private:
    static constexpr double foot_m = 0.3048;
    double elevation_ft_, outside_c_;
    SeededRandom random_;
    double line_pa_ = 0, static_pa_ = 0, impact_pa_ = 0, drift_pa_ = 0, cold_s_ = 0;
    bool heater_on_ = false;
};

} // namespace chockside::practice
