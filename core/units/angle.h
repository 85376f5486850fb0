#pragma once

#include <core/units/quantity.h>

namespace chockside {

/// The same direction in [0, 360). NaN and infinities give NaN.
double wrap_360(double degrees);
/// The same direction in [-180, 180). NaN and infinities give NaN.
double wrap_180(double degrees);

inline Degrees wrap_360(Degrees a) { return Degrees(wrap_360(a.value)); }
inline Degrees wrap_180(Degrees a) { return Degrees(wrap_180(a.value)); }
/// What must be added to `from` to point along `to`, in [-180, 180).
inline Degrees turn(Degrees from, Degrees to) { return wrap_180(to - from); }

} // namespace chockside
