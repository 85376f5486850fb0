#include <platform/desk/hands.h>

#include <core/job/number.h>

#include <map>

namespace chockside::desk {

namespace {

bool has(const std::string& text, const char* word)
{
    return text.find(word) != std::string::npos;
}

json::Value fit(const job::Prompt& q)
{
    const bool on = q.to == "yes";
    const std::string of = q.args["of"].as_text();
    if (has(of, "cable")) return json::Object{{"hand", "cable"}, {"to", on ? (has(q.label, "J5B") || has(q.detail, "J5B") ? "J5B" : "J5A") : "none"}};
    if (has(of, "xpdr") || has(q.label, "XPDR")) return json::Object{{"hand", "switch"}, {"what", "XPDR"}, {"to", on ? "standby" : "on"}};
    if (has(of, "cover")) return json::Object{{"hand", "fit"}, {"what", "probe covers"}, {"to", on ? "on" : "off"}};
    return json::Object{{"hand", "fit"}, {"what", has(of, "breakout") ? std::string("breakout J1") : q.label}, {"to", on ? "on" : "off"}};
}

/// What the practice hands do for a repair of the bundled profiles.
std::optional<json::Value> repair(const std::string& id)
{
    static const std::map<std::string, const char*> table = {{"dry_p9", "dry P9"}, {"replace_sensor", "replace RMS-1"}, {"lock_contact_j1", "lock contact J1-9"},
        {"lock_contact_d3", "lock contact D3"}, {"repair_w7", "repair W7"}, {"repair_w8", "repair W8"}, {"replace_breaker", "replace breaker REF 1"},
        {"load_calibration", "load calibration"}, {"fit_strap", "fit strap"}, {"replace_unit", "replace unit"}, {"select_slaved", "select slaved"}, {"other_cart", "other cart"},
        {"replace_probe", "replace PSP-4"}, {"drain_static", "drain static line"}, {"tighten_static", "tighten static fitting"}, {"set_baro", "set baro"}};
    if (id == "move_aircraft") return json::Object{{"hand", "move"}, {"metres", 50}};
    const auto found = table.find(id);
    if (found == table.end()) return std::nullopt;
    return json::Object{{"hand", "repair"}, {"what", found->second}};
}

const std::string repair_step = "step:do_";

} // namespace

std::optional<json::Value> hand_for(const job::Prompt& q)
{
    if (q.verb == "breaker" || q.verb == "plug" || q.verb == "panel") return json::Object{{"hand", q.verb}, {"label", q.label}, {"to", q.to}};
    if (q.verb == "power") return json::Object{{"hand", "power"}, {"to", q.to}};
    if (q.verb == "fit") return fit(q);
    if (q.verb == "turn") return json::Object{{"hand", "turn"}, {"to_deg", job::number_of(q.to).value_or(0)}};
    if (q.verb == "move") return json::Object{{"hand", "move"}, {"metres", 50}};
    if (q.id.rfind(repair_step, 0) == 0) return repair(q.id.substr(repair_step.size()));
    return std::nullopt;
}

} // namespace chockside::desk
