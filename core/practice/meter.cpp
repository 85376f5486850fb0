#include <core/practice/meter.h>

#include <core/practice/detail/names.h>
#include <core/practice/detail/points.h>

#include <cmath>

namespace chockside::practice {

using detail::contains_name;

namespace {

constexpr double drive_ohm = 94, signal_ohm = 52, wires_ohm = 2.0, strap_ohm = 0.2;
constexpr double step_seen_s = 10;

Reading because(const char* why)
{
    return {why, 0, false};
}

} // namespace

double Meter::noisy(double value, double share)
{
    return value * (1 + share * p_.look_noise.normal());
}

bool Meter::dead() const
{
    return !p_.controls.fed(ref_1) && !p_.controls.fed(ref_2);
}

Reading Meter::volts(std::string_view points)
{
    const auto pins = detail::pins_in(points);
    if (pins.size() == 2 && pins[0].plug != j1) { // excitation reaches the far plugs: probed from the rear with the panel open
        const auto circuit = detail::circuit_of_pin(pins[0]);
        if (!p_.controls.open_panels.contains(pins[0].plug == p9 ? "wing_tip" : "wing_root")) return because("no_access");
        return circuit == drive ? Reading{"reads", dead() || p_.harness.parted(drive) ? 0 : noisy(9.8), false} : because("no_such_points");
    }
    if (pins.size() == 2 && pins[0].plug == j1) {
        if (!p_.controls.breakout && !p_.controls.open_panels.contains("rack")) return because("no_access");
        const std::string pair = pins[0].name + pins[1].name;
        if (pair == "AB") return {"reads", noisy(p_.supply.plug_v(1)), false};
        if (pair == "CD") return {"reads", noisy(p_.supply.plug_v(2)), false};
        if (detail::circuit_of_pin(pins[0]) == drive) return {"reads", dead() ? 0 : noisy(9.8), false};
        return because("no_such_points");
    }
    if (contains_name(points, "cart")) return {"reads", noisy(p_.supply.cart_v()), false};
    const bool essential = contains_name(points, "REF 1") || contains_name(points, "ess");
    if (!essential && !contains_name(points, "REF 2") && !contains_name(points, "main")) return because("no_such_points");
    if (!p_.controls.open_panels.contains("cb_rear")) return because("no_access");
    const int channel = essential ? 1 : 2;
    return {"reads", noisy(contains_name(points, "bus") ? p_.supply.bus_v(channel) : p_.supply.breaker_drop_v(channel)), false};
}

Reading Meter::amps(std::string_view points)
{
    if (contains_name(points, "cart")) return {"reads", noisy(p_.supply.cart_a()), false};
    if (contains_name(points, "PITOT HT")) return {"reads", noisy(p_.supply.probe_a()), false};
    if (!p_.controls.breakout) return because("no_access");
    const auto pins = detail::pins_in(points);
    const bool second = contains_name(points, "REF 2") || (!pins.empty() && (pins[0].name == "C" || pins[0].name == "D"));
    return {"reads", noisy(p_.supply.unit_a(second ? 2 : 1)), false};
}

// The line is drawn 1000 ft up and left for one minute. A tight one loses some feet by temperature.
Reading Meter::leak(std::string_view points)
{
    if (!contains_name(points, "static")) return because("no_such_points");
    if (!p_.controls.tester) return because("no_access");
    const Effect* hole = p_.defects.find("static_leak");
    return {"reads", std::abs(p_.look_noise.normal(12, 6)) + (hole ? noisy(hole->num("ft_min"), 0.05) : 0), false};
}

Reading Meter::winding(Circuit circuit, bool at_sensor)
{
    double ohm = circuit == drive ? drive_ohm : signal_ohm;
    if (const Effect* weak = p_.defects.find("sensor_axis"))
        if ((circuit == signal_x && weak->text("axis") == "x") || (circuit == signal_y && weak->text("axis") == "y")) ohm = weak->num("winding_ohm");
    if (at_sensor) return {"reads", noisy(ohm), false};
    const bool apart = !p_.controls.connected[p9] || !p_.controls.connected[d3];
    const bool jumped = p_.harness.moving() && p_.clock_s - p_.opened_s[circuit] < step_seen_s;
    if (apart || p_.harness.parted(circuit)) return {"open", overrun_ohm, jumped};
    return {"reads", noisy(ohm + wires_ohm), jumped};
}

Reading Meter::ohms(std::string_view points)
{
    const auto pins = detail::pins_in(points);
    if (pins.empty()) return because("no_such_points");
    if (!dead()) return because("live");
    const bool one_end = pins.size() == 1 || pins[0].plug == pins[1].plug;
    for (const detail::Pin& pin : pins) {
        const bool held = pin.plug == j1 ? p_.controls.breakout || !p_.controls.connected[j1] : !p_.controls.connected[pin.plug];
        if (!held) return because("no_access");
    }
    if (pins[0].name == "17") return p_.defects.find("strap_open", 1) ? Reading{"open", overrun_ohm, false} : Reading{"reads", noisy(strap_ohm), false};
    const auto circuit = detail::circuit_of_pin(pins[0]);
    if (!circuit) return because("no_such_points");
    if (one_end) return winding(*circuit, pins[0].plug == p9);
    if (detail::circuit_of_pin(pins[1]) != circuit) return {"open", overrun_ohm, false};
    return {"reads", noisy(wires_ohm / 2), false};
}

Reading Meter::megohms(std::string_view points)
{
    const auto pins = detail::pins_in(points);
    if (pins.empty() || !detail::names_structure(points)) return because("no_such_points");
    if (!dead()) return because("live");
    const Place plug = pins[0].plug;
    const bool held = plug == j1 ? p_.controls.breakout || !p_.controls.connected[j1] : !p_.controls.connected[plug];
    if (!held) return because("no_access");
    // Beyond an open plug the rest of the line isn't measured; water at P9 sits on its line side too.
    const bool reaches = plug == p9 || p_.controls.connected[d3];
    const double megohm = (reaches ? p_.harness.leak_ohm(p_.defects) : 220e6) / 1e6;
    return megohm > overrun_megohm ? Reading{"open", overrun_megohm, false} : Reading{"reads", noisy(megohm, 0.02), false};
}

} // namespace chockside::practice
