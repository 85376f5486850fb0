#include <platform/desk/hands.h>

#include <cstdlib>

namespace chockside::desk {

namespace {

json::Value move(std::initializer_list<std::pair<const char*, json::Value>> members)
{
    json::Value v(json::Object{});
    for (const auto& [key, value] : members) v.at(key) = value;
    return v;
}

bool has(const std::string& text, const char* word)
{
    return text.find(word) != std::string::npos;
}

json::Value fit(const job::Prompt& q)
{
    const bool on = q.to == "yes";
    const std::string of = q.args["of"].as_text();
    if (has(of, "cable")) return move({{"hand", "cable"}, {"to", on ? (has(q.label, "J5B") || has(q.detail, "J5B") ? "J5B" : "J5A") : "none"}});
    if (has(of, "xpdr") || has(q.label, "XPDR")) return move({{"hand", "switch"}, {"what", "XPDR"}, {"to", on ? "standby" : "on"}});
    if (has(of, "cover")) return move({{"hand", "fit"}, {"what", "probe covers"}, {"to", on ? "on" : "off"}});
    return move({{"hand", "fit"}, {"what", has(of, "breakout") ? std::string("breakout J1") : q.label}, {"to", on ? "on" : "off"}});
}

/// A repair is named by its id: verb and object, as the shop would say it.
std::optional<json::Value> repair(const std::string& id)
{
    static const std::pair<const char*, const char*> table[] = {{"dry", "dry P9"}, {"sensor", "replace RMS-1"}, {"contact", "lock contact J1-9"}, {"w7", "repair W7"},
        {"wire", "repair W7"}, {"breaker", "replace breaker REF 1"}, {"calib", "load calibration"}, {"strap", "fit strap"}, {"unit", "replace PRU-2"}, {"slav", "select slaved"},
        {"cart", "other cart"}};
    if (has(id, "move") || has(id, "place")) return move({{"hand", "move"}, {"metres", 50}});
    for (const auto& [part, what] : table)
        if (has(id, part)) return move({{"hand", "repair"}, {"what", what}});
    return std::nullopt;
}

} // namespace

std::optional<json::Value> hand_for(const job::Prompt& q)
{
    if (q.verb == "breaker" || q.verb == "plug" || q.verb == "panel") return move({{"hand", q.verb}, {"label", q.label}, {"to", q.to}});
    if (q.verb == "power") return move({{"hand", "power"}, {"to", q.to}});
    if (q.verb == "fit") return fit(q);
    if (q.verb == "turn") return move({{"hand", "turn"}, {"to_deg", std::strtod(q.to.c_str(), nullptr)}});
    if (q.verb == "move") return move({{"hand", "move"}, {"metres", 50}});
    if (q.verb == "repair") return repair(q.label);
    return std::nullopt;
}

} // namespace chockside::desk
