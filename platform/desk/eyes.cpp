#include <platform/desk/eyes.h>

namespace chockside::desk {

namespace {

json::Value look(std::initializer_list<std::pair<const char*, json::Value>> members)
{
    json::Value v(json::Object{});
    for (const auto& [key, value] : members) v.at(key) = value;
    return v;
}

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
    if (q.command == "presence") return look({{"eye", "showing"}});
    if (q.verb == "crew") return look({{"eye", "crew"}, {"ask", check}});
    if (q.kind == Kind::number) return look({{"eye", q.meter.empty() ? std::string("volts") : q.meter}, {"points", q.points}});
    if (q.kind == Kind::swing_point) return look({{"eye", "reference_heading"}});
    if (q.kind == Kind::photo) return look({{"eye", "photo"}, {"of", q.label}});
    if (q.kind == Kind::part) return look({{"eye", "serials"}});
    if (check.rfind("look_", 0) == 0) return look({{"eye", "look"}, {"at", place_in(check)}});
    if (check.rfind("contact_", 0) == 0) return look({{"eye", "contact"}, {"at", place_in(check)}});
    if (check == "selector_look") return look({{"eye", "selector"}, {"what", "1"}});
    if (check == "windings") return look({{"eye", "ohms"}, {"points", "P9-3 to P9-4"}});
    return std::nullopt;
}

} // namespace chockside::desk
