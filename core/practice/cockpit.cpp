#include <core/practice/cockpit.h>

#include <cmath>

namespace chockside::practice {

namespace {

constexpr double display_needs_v = 20.8;

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

} // namespace chockside::practice
