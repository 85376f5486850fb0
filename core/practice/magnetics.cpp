#include <core/practice/magnetics.h>

#include <cmath>
#include <numbers>

namespace chockside::practice {

namespace {

constexpr double radian = std::numbers::pi / 180;

// North and east of a point given forward and right of the reference point.
std::array<double, 2> ground_point(const Stance& s, const std::array<double, 2>& at)
{
    const double c = std::cos(s.heading_deg * radian), d = std::sin(s.heading_deg * radian);
    return {s.north_m + at[0] * c - at[1] * d, s.east_m + at[0] * d + at[1] * c};
}

} // namespace

double wrap_360(double deg)
{
    const double wrapped = std::fmod(deg, 360.0);
    return wrapped < 0 ? wrapped + 360 : wrapped;
}

double wrap_180(double deg)
{
    const double wrapped = wrap_360(deg + 180) - 180;
    return wrapped;
}

double BodyField::horizontal() const
{
    return std::hypot(fore_nt, right_nt);
}

double BodyField::heading_deg() const
{
    return wrap_360(std::atan2(-right_nt, fore_nt) / radian);
}

Magnetics::Magnetics(const World& world, const Stance& found, const Defects& defects, std::uint64_t seed) : m_(world.magnetic), random_(seed)
{
    if (defects.find("stand_iron")) iron_at_m_ = ground_point(found, m_.sensor_at_m);
}

// Buried iron as a patch of extra field that falls off like a bell; small against the earth's field, so it simply adds.
BodyField Magnetics::outside(const Stance& stance, const std::array<double, 2>& at_m, const Defects& defects) const
{
    double north = m_.horizontal_nt, east = 0;
    if (const Effect* iron = defects.find("stand_iron")) {
        const auto [n, e] = ground_point(stance, at_m);
        const double r2 = (n - iron_at_m_[0]) * (n - iron_at_m_[0]) + (e - iron_at_m_[1]) * (e - iron_at_m_[1]);
        const double spread = iron->num("spread_m", 9);
        const double nt = iron->num("nt") * std::exp(-r2 / (2 * spread * spread));
        north += nt * std::cos(iron->num("toward_deg") * radian);
        east += nt * std::sin(iron->num("toward_deg") * radian);
    }
    const double c = std::cos(stance.heading_deg * radian), s = std::sin(stance.heading_deg * radian);
    return {north * c + east * s, -north * s + east * c, m_.horizontal_nt * std::tan(m_.dip_deg * radian)};
}

BodyField Magnetics::sensed(const Stance& stance, const Defects& defects, double extra_noise_nt)
{
    BodyField f = outside(stance, m_.sensor_at_m, defects);
    f.fore_nt += m_.iron_fore_nt;
    f.right_nt += m_.iron_right_nt;
    const double c = std::cos(sensor_turn_deg_ * radian), s = std::sin(sensor_turn_deg_ * radian);
    f = {f.fore_nt * c + f.right_nt * s, -f.fore_nt * s + f.right_nt * c, f.down_nt};
    const double noise = std::hypot(m_.sensor_noise_nt, extra_noise_nt);
    f.fore_nt += random_.normal(0, noise);
    f.right_nt += random_.normal(0, noise);
    f.down_nt += random_.normal(0, noise);
    if (const Effect* axis = defects.find("sensor_axis")) (axis->text("axis") == "x" ? f.fore_nt : f.right_nt) *= axis->num("gain");
    return f;
}

double Magnetics::standby_deg(const Stance& stance, const Defects& defects) const
{
    const double psi = outside(stance, m_.standby_at_m, defects).heading_deg();
    return wrap_360(psi + m_.standby_b_deg * std::sin(psi * radian) + m_.standby_c_deg * std::cos(psi * radian));
}

} // namespace chockside::practice
