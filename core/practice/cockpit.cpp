#include <core/practice/cockpit.h>

#include <cmath>

namespace chockside::practice {

namespace {

constexpr double display_needs_v = 20.8;
constexpr double standby_error_ft = 15; // its card

double shown_ft(double altitude_ft)
{
    return std::round(altitude_ft / 10) * 10;
}

} // namespace

DisplayFace face(int display, const Controls& controls, const Supply& supply, const Unit& unit, const Defects& defects)
{
    DisplayFace f;
    f.source = controls.source[static_cast<std::size_t>(display - 1)];
    f.lit = controls.fed(display == 1 ? disp_1 : disp_2) && supply.bus_v(display) > display_needs_v;
    if (!f.lit) return f;
    const Channel& channel = unit.channel(f.source);
    f.cross = !channel.talking() || !controls.connected[j1] || source_number(f.source, defects) != f.source;
    f.flag = f.cross || channel.heading_flag();
    f.attitude_flag = f.cross || channel.attitude_flag();
    f.heading_deg = std::fmod(std::round(channel.heading_deg()), 360.0);
    return f;
}

AltimeterFace altimeter(const Controls& controls, const Supply& supply, const Unit& unit, const Air& air)
{
    AltimeterFace f;
    f.lit = controls.fed(disp_1) && supply.bus_v(1) > display_needs_v;
    const Channel& channel = unit.channel(1);
    f.flag = !channel.talking() || !controls.connected[j1] || channel.attitude_flag();
    f.altitude_ft = shown_ft(air.altitude_ft() - airdata::altitude_ft(controls.baro_hpa * 100));
    return f;
}

AltimeterFace standby_altimeter(const Air& air)
{
    return {true, false, shown_ft(airdata::altitude_ft(air.line_pa()) + standby_error_ft)};
}

} // namespace chockside::practice
