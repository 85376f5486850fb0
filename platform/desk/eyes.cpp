#include <platform/desk/eyes.h>

namespace chockside::desk {

namespace {

/// "look_p9", "contact_j1": where, in capitals.
std::string place_in(const std::string& check)
{
    std::string place = check.substr(check.rfind('_') + 1);
    for (char& c : place)
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    return place;
}

} // namespace

std::optional<json::Value> eye_for(const job::Prompt& q)
{
    using Kind = job::Prompt::Kind;
    const std::string check = q.args["check"].as_text();
    if (q.command == "presence") return json::Object{{"eye", "showing"}};
    if (q.verb == "crew") return json::Object{{"eye", "crew"}, {"ask", check}};
    if (q.kind == Kind::number) return json::Object{{"eye", q.meter.empty() ? std::string("volts") : q.meter}, {"points", q.points}};
    if (q.kind == Kind::swing_point) return json::Object{{"eye", "reference_heading"}};
    if (q.kind == Kind::photo) return json::Object{{"eye", "photo"}, {"of", q.label}};
    if (q.kind == Kind::part) return json::Object{{"eye", "serials"}};
    if (check.rfind("look_", 0) == 0) return json::Object{{"eye", "look"}, {"at", place_in(check)}};
    if (check.rfind("contact_", 0) == 0) return json::Object{{"eye", "contact"}, {"at", place_in(check)}};
    if (check == "altimeters") return json::Object{{"eye", "altimeters"}};
    if (check == "baro_look") return json::Object{{"eye", "baro"}};
    if (check == "selector_look") return json::Object{{"eye", "selector"}, {"what", "1"}};
    if (check == "windings") return json::Object{{"eye", "ohms"}, {"points", "P9-3 to P9-4"}};
    return std::nullopt;
}

} // namespace chockside::desk
