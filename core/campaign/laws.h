#pragma once
// Small laws that the practice aircraft's parts follow beside those of the air (core/airdata).

namespace chockside::campaign {

/// Pressure in pascals of a column of water in inches, 999 kg/m3 (15 degC).
double water_pa(double inches);
/// Field in nanotesla at a distance in metres from one long straight conductor that carries a current in amperes (Ampere).
double wire_field_nt(double amperes, double metres);
/// Rate in degrees per hour at which a free directional gyro leaves the meridian at a latitude in degrees.
double earth_drift_dph(double latitude_deg);

} // namespace chockside::campaign
