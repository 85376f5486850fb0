#pragma once
// Conversions. Factors of NIST Special Publication 811 (2008), appendix B.8; exact where it prints them in bold.

#include <core/units/quantity.h>

namespace chockside {

constexpr double half_turn_rad = 3.14159265358979323846; // moc of Qt 6.4 cannot read <numbers>
constexpr Radians to_radians(Degrees a) { return Radians(a.value * (half_turn_rad / 180)); }
constexpr Degrees to_degrees(Radians a) { return Degrees(a.value * (180 / half_turn_rad)); }

constexpr Metres to_metres(Feet h) { return Metres(h.value * 0.3048); } // exact
constexpr Feet to_feet(Metres h) { return Feet(h.value / 0.3048); }

constexpr MetresPerSecond to_metres_per_second(Knots v) { return MetresPerSecond(v.value * 1852 / 3600); } // exact
constexpr Knots to_knots(MetresPerSecond v) { return Knots(v.value * 3600 / 1852); }

/// Conventional inch of mercury: 3.386389 kPa, seven figures.
constexpr Hectopascals to_hectopascals(InchesOfMercury p) { return Hectopascals(p.value * 33.86389); }
constexpr InchesOfMercury to_inches_of_mercury(Hectopascals p) { return InchesOfMercury(p.value / 33.86389); }

constexpr Kelvin to_kelvin(Celsius t) { return Kelvin(t.value + 273.15); } // exact
constexpr Celsius to_celsius(Kelvin t) { return Celsius(t.value - 273.15); }

} // namespace chockside
