#pragma once
// The air that the practice aircraft's pressure lines see. Standard troposphere (U.S. Standard Atmosphere 1976) and the subsonic
// impact-pressure relation; valid below 11 000 m and Mach 1.

namespace chockside::campaign {

/// Static pressure in pascals at a pressure altitude in feet, -2000 .. 36 000.
double pressure_pa(double altitude_ft);
/// The inverse.
double altitude_ft(double pressure_pa);
/// Calibrated airspeed in knots of an impact pressure in pascals, 0 .. 89 000; below zero: zero.
double airspeed_kt(double impact_pa);
/// The inverse; knots 0 .. 661.
double impact_pa(double airspeed_kt);
/// Pressure in pascals of a column of water in inches, 999 kg/m3 (15 degC).
double water_pa(double inches);
/// Field in nanotesla at a distance in metres from one long straight conductor that carries a current in amperes.
double wire_field_nt(double amperes, double metres);
/// Rate in degrees per hour at which a free directional gyro leaves the meridian at a latitude in degrees.
double earth_drift_dph(double latitude_deg);

} // namespace chockside::campaign
