#pragma once
// Fields in body axes at the sensor and at the standby compass. Bearings in degrees from magnetic north, clockwise.

#include <core/base/random.h>
#include <core/practice/defects.h>

#include <array>

namespace chockside::practice {

/// Where the aircraft stands: position from the home stand in metres north and east, heading from magnetic north.
struct Stance {
    double north_m = 0, east_m = 0, heading_deg = 0;
    double pitch_deg = 0.6, roll_deg = -0.3;
};

struct BodyField {
    double fore_nt = 0, right_nt = 0, down_nt = 0;
    double horizontal() const;
    /// atan2(-right, fore) as a bearing in [0, 360).
    double heading_deg() const;
};

class Magnetics {
public:
    /// The iron of a stand defect lies under the sensor as the aircraft is found.
    Magnetics(const World& world, const Stance& found, const Defects& defects, std::uint64_t seed);

    /// What the sensor puts out: earth, place and airframe iron, noise, and a weak winding if there is one.
    BodyField sensed(const Stance& stance, const Defects& defects, double extra_noise_nt);
    /// Standby compass without noise, in degrees; its own deviation is in it.
    double standby_deg(const Stance& stance, const Defects& defects) const;
    /// A sensor that was changed sits a little differently: degrees, clockwise.
    void turn_sensor(double deg) { sensor_turn_deg_ = deg; }

private:
    BodyField outside(const Stance& stance, const std::array<double, 2>& at_m, const Defects& defects) const;

    Magnetic m_;
    SeededRandom random_;
    std::array<double, 2> iron_at_m_{};
    double sensor_turn_deg_ = 0;
};

double wrap_360(double deg);
double wrap_180(double deg);

} // namespace chockside::practice
