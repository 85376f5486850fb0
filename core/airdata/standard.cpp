#include <core/airdata/standard.h>

#include <algorithm>
#include <cmath>

namespace chockside::airdata {

namespace {

constexpr double sea_level_pa = 101325.0, sea_level_k = 288.15, lapse_k_per_m = 0.0065, foot_m = 0.3048;
constexpr double exponent = 9.80665 * 0.0289644 / (8.31432 * lapse_k_per_m); // g M / (R* L), constants of the 1976 standard
constexpr double sound_kt = 661.4786;                                         // sqrt(1.4 p0 / rho0) at sea level

} // namespace

double pressure_pa(double altitude)
{
    return sea_level_pa * std::pow(1 - lapse_k_per_m * altitude * foot_m / sea_level_k, exponent);
}

double altitude_ft(double pressure)
{
    return sea_level_k / lapse_k_per_m * (1 - std::pow(pressure / sea_level_pa, 1 / exponent)) / foot_m;
}

double airspeed_kt(double impact)
{
    return sound_kt * std::sqrt(5 * (std::pow(std::max(impact, 0.0) / sea_level_pa + 1, 2.0 / 7) - 1));
}

double impact_pa(double airspeed)
{
    const double mach = airspeed / sound_kt;
    return sea_level_pa * (std::pow(1 + 0.2 * mach * mach, 3.5) - 1);
}

} // namespace chockside::airdata
