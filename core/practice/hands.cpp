#include <core/practice/hands.h>

#include <core/practice/detail/names.h>

#include <cmath>

namespace chockside::practice {

using detail::contains_name;
using detail::same_name;

namespace {

constexpr std::string_view replace_unit = "replace unit";
const Act no_such_thing{"no_such_thing"}, no_access{"no_access"}, not_possible{"not_possible"};

int number_in(std::string_view text)
{
    for (char c : text)
        if (c == '1' || c == '2') return c - '0';
    return 0;
}

} // namespace

std::string panel_of(std::string_view label)
{
    constexpr std::array<std::array<std::string_view, 3>, 4> panels{{{"rack", "Nose rack door", "Nose rack"},
        {"wing_tip", "Right wing tip panel", "Right wing tip"},
        {"wing_root", "Right wing root panel", "Right wing root"},
        {"cb_rear", "Panel P2 rear", "P2 rear"}}};
    for (const auto& names : panels)
        for (std::string_view name : names)
            if (same_name(label, name)) return std::string(names[0]);
    return {};
}

bool reachable(const Controls& controls, Place place)
{
    const auto open = [&](const char* id) { return controls.open_panels.contains(id); };
    switch (place) {
    case rms_1:
    case p9: return open("wing_tip");
    case w7: return open("wing_tip") || open("wing_root");
    case d3: return open("wing_root");
    case w8: return open("wing_root") || open("rack");
    default: return open("rack");
    }
}

bool Hands::live() const
{
    return p_.controls.fed(ref_1) || p_.controls.fed(ref_2);
}

Act Hands::power(bool on)
{
    p_.controls.power = on;
    return {};
}

Act Hands::breaker(std::string_view label, std::string_view to)
{
    const auto which = breaker_of(label);
    if (!which) return no_such_thing;
    BreakerState& state = p_.controls.breakers[*which];
    if (to == "in") state = BreakerState::in;
    else if (to == "pulled" || to == "out") state = BreakerState::pulled;
    else if (to == "collared") state = BreakerState::collared;
    else return no_such_thing;
    return {};
}

Act Hands::plug(std::string_view label, bool connected)
{
    const auto place = place_of(label);
    if (!place || !is_plug(*place)) return no_such_thing;
    if (!reachable(p_.controls, *place)) return no_access;
    if (p_.controls.connected[*place] == connected) return {};
    if (live()) note("hot_plug " + std::string(place_labels[*place]));
    p_.controls.connected[*place] = connected;
    if (connected) p_.harness.reseat(*place);
    return {};
}

Act Hands::cable(std::string_view to)
{
    if (same_name(to, "J5A")) p_.controls.cable = 1;
    else if (same_name(to, "J5B")) p_.controls.cable = 2;
    else if (same_name(to, "none")) p_.controls.cable = 0;
    else return no_such_thing;
    return {};
}

Act Hands::fit(std::string_view what, bool on)
{
    if (contains_name(what, "covers")) {
        p_.controls.covers = on;
        return {};
    }
    if (contains_name(what, "static tester")) {
        p_.controls.tester = on;
        return {};
    }
    if (!contains_name(what, "breakout")) return no_such_thing;
    if (!reachable(p_.controls, j1)) return no_access;
    if (p_.controls.breakout == on) return {};
    if (live()) note("hot_plug J1");
    p_.controls.breakout = on;
    p_.controls.connected[j1] = true;
    p_.harness.reseat(j1);
    return {};
}

Act Hands::panel(std::string_view label, bool open)
{
    const std::string id = panel_of(label);
    if (id.empty()) return no_such_thing;
    if (open) p_.controls.open_panels.insert(id);
    else p_.controls.open_panels.erase(id);
    return {};
}

Act Hands::flex(std::string_view label, double gain, double seconds)
{
    const auto place = place_of(label);
    if (!place) return no_such_thing;
    if (!reachable(p_.controls, *place)) return no_access;
    p_.harness.flex(*place, gain, seconds);
    return {};
}

Act Hands::still()
{
    p_.motion.stop();
    p_.harness.leave_still();
    return {};
}

Act Hands::turn(double to_deg)
{
    if (!std::isfinite(to_deg)) return no_such_thing;
    p_.motion.turn_to(to_deg);
    return {};
}

Act Hands::move(double metres)
{
    if (!std::isfinite(metres) || std::abs(metres) > 500) return not_possible;
    p_.motion.move(metres);
    return {};
}

Act Hands::load(std::string_view what, bool on)
{
    if (same_name(what, "PITOT HT")) p_.controls.heater = on;
    else if (same_name(what, "CART LOAD")) p_.controls.cart_load = on ? CartLoad::on : p_.defects.find("cart_ohm") ? CartLoad::by_itself : CartLoad::off;
    else return no_such_thing;
    return {};
}

Act Hands::select(std::string_view what, bool slaved)
{
    const int channel = number_in(what);
    if (channel == 0 || !contains_name(what, "slaved")) return no_such_thing;
    p_.controls.slaved[static_cast<std::size_t>(channel - 1)] = slaved;
    return {};
}

Act Hands::transfer(std::string_view display, int source)
{
    const int which = number_in(display);
    if (which == 0 || (source != 1 && source != 2)) return no_such_thing;
    p_.controls.source[static_cast<std::size_t>(which - 1)] = source;
    return {};
}

Act Hands::transponder(bool on)
{
    p_.controls.transponder_on = on;
    return {};
}

Act Hands::other_cart()
{
    p_.controls.other_cart = true;
    p_.repairs.emplace_back("other cart");
    return {};
}

Act Hands::mist(std::string_view label)
{
    const auto place = place_of(label);
    if (!place) return no_such_thing;
    if (!reachable(p_.controls, *place)) return no_access;
    p_.harness.mist(*place, p_.defects);
    return {};
}

// A repair of the wrong thing costs time and changes nothing, but a changed part brings its own.
Act Hands::repair(std::string_view what)
{
    if (same_name(what, "other cart")) return other_cart();
    p_.repairs.emplace_back(what);
    const bool part = contains_name(what, "replace");
    if (part && live()) note("part_changed_live");
    if (same_name(what, "replace " + p_.world.unit_name)) what = replace_unit;
    p_.defects.repair(what);
    if (same_name(what, "dry P9")) p_.harness.dry(p9);
    if (same_name(what, "select slaved")) p_.controls.slaved = {true, true};
    if (same_name(what, "set baro")) p_.controls.baro_hpa = standard_hpa;
    if (same_name(what, "load calibration")) p_.unit.load(p_.world.calibrations.at(p_.world.tail));
    if (same_name(what, replace_unit)) p_.unit.exchange(p_.world.spare_unit);
    if (same_name(what, "replace RMS-1")) p_.magnetics.turn_sensor(p_.look_noise.uniform(-1.2, 1.2));
    for (auto& [name, serial] : p_.world.serials)
        if (name != p_.world.unit_name && same_name(what, "replace " + name)) serial = p_.world.spare_sensor;
    return {};
}

} // namespace chockside::practice
