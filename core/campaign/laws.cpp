#include <core/campaign/laws.h>

#include <cmath>
#include <numbers>

namespace chockside::campaign {

namespace {

constexpr double earth_rate_dph = 15.041; // sidereal

} // namespace

double water_pa(double inches) { return 999.0 * 9.80665 * inches * 0.0254; }
double wire_field_nt(double amperes, double metres) { return 200.0 * amperes / metres; }
double earth_drift_dph(double latitude) { return earth_rate_dph * std::sin(latitude * std::numbers::pi / 180); }

} // namespace chockside::campaign
