#include <core/practice/eyes.h>

#include <core/practice/detail/names.h>
#include <core/practice/hands.h>

#include <cmath>

namespace chockside::practice {

using detail::contains_name;
using json::Object;
using json::Value;

namespace {

constexpr double recent_s = 10;

const char* word_of(BreakerState state)
{
    switch (state) {
    case BreakerState::in: return "in";
    case BreakerState::pulled: return "pulled";
    default: return "collared";
    }
}

Value no_such_thing()
{
    return Object{{"is", "no_such_thing"}};
}

Value no_access()
{
    return Object{{"is", "no_access"}};
}

int number_in(std::string_view text)
{
    for (char c : text)
        if (c == '1' || c == '2') return c - '0';
    return 0;
}

Value face_json(const DisplayFace& f)
{
    Object o{{"is", f.lit ? "lit" : "dark"}, {"source", std::to_string(f.source)}, {"flag", f.flag}, {"attitude_flag", f.attitude_flag}, {"cross", f.cross}};
    o["heading"] = f.lit && !f.flag ? Value(f.heading_deg) : Value();
    return o;
}

} // namespace

Value to_json(const Reading& reading)
{
    Object o{{"is", reading.is}};
    if (reading.is == "reads" || reading.is == "open") {
        o["value"] = reading.value;
        o["steps"] = reading.steps;
    }
    return o;
}

Value Eyes::breaker(std::string_view label)
{
    const auto which = breaker_of(label);
    return which ? Value(Object{{"is", word_of(p_.controls.breakers[*which])}}) : no_such_thing();
}

Value Eyes::display(std::string_view which)
{
    const int number = number_in(which);
    return number == 0 ? no_such_thing() : face_json(face(number, p_.controls, p_.supply, p_.unit, p_.defects));
}

Value Eyes::standby()
{
    const double swing = p_.motion.moving() ? 4.0 : 0.3;
    const double deg = p_.magnetics.standby_deg(p_.stance, p_.defects) + p_.look_noise.normal(0, swing);
    return Object{{"heading", wrap_360(std::round(deg))}, {"pitch", std::round(p_.stance.pitch_deg)}, {"roll", std::round(p_.stance.roll_deg)}};
}

Value Eyes::altimeters()
{
    const auto face = [](const AltimeterFace& f) { return Object{{"is", f.lit ? "lit" : "dark"}, {"flag", f.flag}, {"altitude", f.lit && !f.flag ? Value(f.altitude_ft) : Value()}}; };
    return Object{{"ALT 1", face(altimeter(p_.controls, p_.supply, p_.unit, p_.air))}, {"standby", face(standby_altimeter(p_.air))}, {"elevation", std::round(p_.air.elevation_ft())}};
}

Value Eyes::baro()
{
    const bool right = std::abs(p_.controls.baro_hpa - standard_hpa) < 0.5;
    return Object{{"is", right ? "right" : "wrong"}, {"set_hpa", std::round(p_.controls.baro_hpa)}, {"given_hpa", std::round(standard_hpa)}};
}

Value Eyes::look(std::string_view at)
{
    if (const auto which = breaker_of(at)) {
        if (!p_.controls.open_panels.contains("cb_rear")) return no_access();
        const bool burnt = *which == ref_1 && p_.defects.find("series_ohm", "at", "ref_1");
        return Object{{"wet", false}, {"seated", true}, {"marks", burnt ? "brown at the line stud" : "none"}};
    }
    const bool drain = contains_name(at, "drain");
    if (drain && !p_.controls.open_panels.contains("rack")) return no_access();
    if (drain) return Object{{"wet", p_.defects.find("static_water") != nullptr}, {"seated", true}, {"marks", "none"}};
    const auto place = place_of(at);
    if (!place) return no_such_thing();
    if (!reachable(p_.controls, *place)) return no_access();
    return Object{{"wet", p_.harness.wetness(*place) > 0.12}, {"seated", p_.controls.connected[*place]}, {"marks", "none"}};
}

Value Eyes::contact(std::string_view at)
{
    const auto place = place_of(at);
    if (!place || !is_plug(*place)) return no_such_thing();
    if (!reachable(p_.controls, *place) || (p_.controls.connected[*place] && !p_.controls.breakout)) return no_access();
    for (const Effect& effect : p_.defects.all())
        if (effect.flag("low_contact") && place_of(effect.text("place")) == place) return Object{{"height", "low"}, {"pin", effect.text("pin")}};
    return Object{{"height", "good"}, {"pin", ""}};
}

Value Eyes::lamp(std::string_view which)
{
    if (!contains_name(which, "ground")) return no_such_thing();
    return Object{{"is", p_.controls.power && p_.on_ground ? "lit" : "dark"}};
}

Value Eyes::selector(std::string_view what)
{
    const int channel = number_in(what);
    if (channel == 0) return no_such_thing();
    return Object{{"is", p_.controls.slaved[static_cast<std::size_t>(channel - 1)] ? "slaved" : "free"}};
}

Value Eyes::crew(std::string_view question)
{
    const auto answer = p_.fault.crew.find(std::string(question));
    return answer == p_.fault.crew.end() ? no_such_thing() : Value(Object{{"answer", answer->second}});
}

Value Eyes::reference_heading()
{
    return Object{{"heading", wrap_360(p_.stance.heading_deg + p_.look_noise.normal(0, 0.2))}};
}

Value Eyes::photo(std::string_view of)
{
    if (contains_name(of, "disp")) {
        const Value seen = display(of);
        return Object{{"text", std::string(of) + (seen["cross"].as_bool() ? " crossed" : seen["flag"].as_bool() ? " flag in view" : " normal")}};
    }
    std::string text;
    for (std::size_t i = 0; i < breaker_count; ++i)
        text += (i ? ", " : "") + std::string(breaker_labels[i]) + " " + word_of(p_.controls.breakers[i]);
    return Object{{"text", text}};
}

Value Eyes::showing()
{
    return Object{{"is", p_.clock_s - p_.trouble_seen_s < recent_s ? "showing" : "not_showing"}};
}

Value Eyes::writeup()
{
    return Object{{"complaint", p_.fault.writeup}, {"kind", p_.fault.complaint}, {"tail", p_.world.tail}};
}

Value Eyes::serials()
{
    Object o;
    for (const auto& [what, serial] : p_.world.serials) o[what] = serial;
    o[p_.world.unit_name] = p_.unit.serial();
    return o;
}

Value Eyes::all()
{
    Object breakers;
    for (std::size_t i = 0; i < breaker_count; ++i) breakers[std::string(breaker_labels[i])] = word_of(p_.controls.breakers[i]);
    Object plugs;
    for (Place place : {p9, d3, j1}) plugs[std::string(place_labels[place])] = p_.controls.connected[place] ? "connected" : "disconnected";
    json::Array panels;
    for (const std::string& id : p_.controls.open_panels) panels.emplace_back(id);
    const char* cables[] = {"none", "J5A", "J5B"};
    return Object{{"power", p_.controls.power ? "on" : "off"}, {"breakers", breakers}, {"plugs", plugs}, {"open_panels", panels},
        {"cable", cables[p_.controls.cable]}, {"breakout", p_.controls.breakout}, {"covers", p_.controls.covers},
        {"xpdr", p_.controls.transponder_on ? "on" : "standby"}, {"SLAVED 1", selector("1")["is"]}, {"SLAVED 2", selector("2")["is"]},
        {"DISP 1", display("1")}, {"DISP 2", display("2")}, {"standby", standby()}, {"altimeters", altimeters()}, {"moving", p_.motion.moving()}, {"clock", p_.clock_s}};
}

} // namespace chockside::practice
