#pragma once

#include <core/practice/magnetics.h>

#include <optional>

namespace chockside::practice {

/// The aircraft under tow: turns at 4 deg/s the short way, rolls at 1.5 m/s along its heading (backwards for negative metres).
class Motion {
public:
    void turn_to(double heading_deg) { target_ = wrap_360(heading_deg); }
    void move(double metres) { left_m_ += metres; }
    void stop();
    bool moving() const { return target_.has_value() || left_m_ != 0; }
    /// Degrees turned in this step.
    double step(double dt_s, Stance& stance);

private:
    double turn(double dt_s, Stance& stance);
    void roll(double dt_s, Stance& stance);

    std::optional<double> target_;
    double left_m_ = 0;
};

} // namespace chockside::practice
