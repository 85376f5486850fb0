#include <core/units/angle.h>

#include <cmath>

namespace chockside {

double wrap_360(double degrees)
{
    const double rest = std::fmod(degrees, 360.0); // exact, sign of degrees
    if (rest >= 0) return rest + 0.0;              // + 0.0 turns -0 into 0
    const double up = rest + 360.0;
    return up < 360.0 ? up : (std::isnan(up) ? up : 0.0); // a tiny negative angle rounds up to 360
}

double wrap_180(double degrees)
{
    const double rest = std::remainder(degrees, 360.0); // exact, in [-180, 180]
    return rest == 180.0 ? -180.0 : rest + 0.0;
}

} // namespace chockside
