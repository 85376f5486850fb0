#include <core/practice/motion.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chockside::practice {

namespace {

constexpr double turn_deg_s = 4, roll_m_s = 1.5;

} // namespace

void Motion::stop()
{
    target_.reset();
    left_m_ = 0;
}

double Motion::step(double dt_s, Stance& stance)
{
    roll(dt_s, stance);
    return turn(dt_s, stance);
}

double Motion::turn(double dt_s, Stance& stance)
{
    if (!target_) return 0;
    const double left = wrap_180(*target_ - stance.heading_deg);
    const double turned = std::clamp(left, -turn_deg_s * dt_s, turn_deg_s * dt_s);
    stance.heading_deg = wrap_360(stance.heading_deg + turned);
    if (turned == left) target_.reset();
    return turned;
}

void Motion::roll(double dt_s, Stance& stance)
{
    const double metres = std::clamp(left_m_, -roll_m_s * dt_s, roll_m_s * dt_s);
    const double psi = stance.heading_deg * std::numbers::pi / 180;
    stance.north_m += metres * std::cos(psi);
    stance.east_m += metres * std::sin(psi);
    left_m_ -= metres;
}

} // namespace chockside::practice
