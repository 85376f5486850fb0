#pragma once
// The standard troposphere and the subsonic impact-pressure relation (U.S. Standard Atmosphere, 1976). Pure functions.

namespace chockside::airdata {

/// Static pressure in pascals at a geopotential pressure altitude in feet, -16 000 .. 36 000. Within 0.1 Pa of the published table.
double pressure_pa(double altitude_ft);
/// The inverse: 22 632 .. 178 000 Pa.
double altitude_ft(double pressure_pa);
/// Calibrated airspeed in knots of an impact pressure in pascals, 0 .. 89 000; below zero: zero.
double airspeed_kt(double impact_pa);
/// The inverse; knots 0 .. 661.
double impact_pa(double airspeed_kt);

} // namespace chockside::airdata
