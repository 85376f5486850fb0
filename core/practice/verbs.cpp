#include <core/practice/verbs.h>

#include <core/practice/eyes.h>
#include <core/practice/hands.h>

#include <functional>
#include <map>

namespace chockside::practice {

using json::Object;
using json::Value;

namespace {

bool is_on(const Value& request)
{
    const std::string& to = request["to"].as_text();
    return to == "on" || to == "connected" || to == "open" || to == "slaved";
}

const std::string& word(const Value& request, const char* key)
{
    return request[key].as_text();
}

using HandVerb = std::function<Act(Hands&, const Value&)>;

const std::map<std::string, HandVerb, std::less<>>& hand_verbs()
{
    static const std::map<std::string, HandVerb, std::less<>> verbs{
        {"power", [](Hands& h, const Value& r) { return h.power(is_on(r)); }},
        {"breaker", [](Hands& h, const Value& r) { return h.breaker(word(r, "label"), word(r, "to")); }},
        {"plug", [](Hands& h, const Value& r) { return h.plug(word(r, "label"), is_on(r)); }},
        {"cable", [](Hands& h, const Value& r) { return h.cable(word(r, "to")); }},
        {"fit", [](Hands& h, const Value& r) { return h.fit(word(r, "what"), is_on(r)); }},
        {"panel", [](Hands& h, const Value& r) { return h.panel(word(r, "label"), is_on(r)); }},
        {"flex", [](Hands& h, const Value& r) { return h.flex(word(r, "place"), r["gain"].as_double(1), r["seconds"].as_double(20)); }},
        {"still", [](Hands& h, const Value&) { return h.still(); }},
        {"turn", [](Hands& h, const Value& r) { return h.turn(r["to_deg"].as_double()); }},
        {"move", [](Hands& h, const Value& r) { return h.move(r["metres"].as_double()); }},
        {"load", [](Hands& h, const Value& r) { return h.load(word(r, "what"), is_on(r)); }},
        {"select", [](Hands& h, const Value& r) { return h.select(word(r, "what"), is_on(r)); }},
        {"transfer", [](Hands& h, const Value& r) { return h.transfer(word(r, "display"), word(r, "source") == "2" || r["source"].as_int() == 2 ? 2 : 1); }},
        {"switch", [](Hands& h, const Value& r) { return word(r, "what") == "XPDR" ? h.transponder(is_on(r)) : Act{"no_such_thing"}; }},
        {"cart", [](Hands& h, const Value&) { return h.other_cart(); }},
        {"mist", [](Hands& h, const Value& r) { return h.mist(word(r, "place")); }},
        {"repair", [](Hands& h, const Value& r) { return h.repair(word(r, "what")); }},
    };
    return verbs;
}

using EyeVerb = std::function<Value(Eyes&, const Value&)>;

const std::map<std::string, EyeVerb, std::less<>>& eye_verbs()
{
    static const std::map<std::string, EyeVerb, std::less<>> verbs{
        {"breaker", [](Eyes& e, const Value& r) { return e.breaker(word(r, "label")); }},
        {"volts", [](Eyes& e, const Value& r) { return to_json(e.meter().volts(word(r, "points"))); }},
        {"amps", [](Eyes& e, const Value& r) { return to_json(e.meter().amps(word(r, "points"))); }},
        {"ohms", [](Eyes& e, const Value& r) { return to_json(e.meter().ohms(word(r, "points"))); }},
        {"megohms", [](Eyes& e, const Value& r) { return to_json(e.meter().megohms(word(r, "points"))); }},
        {"leak", [](Eyes& e, const Value& r) { return to_json(e.meter().leak(word(r, "points"))); }},
        {"altimeters", [](Eyes& e, const Value&) { return e.altimeters(); }},
        {"baro", [](Eyes& e, const Value&) { return e.baro(); }},
        {"display", [](Eyes& e, const Value& r) { return e.display(word(r, "which")); }},
        {"standby", [](Eyes& e, const Value&) { return e.standby(); }},
        {"look", [](Eyes& e, const Value& r) { return e.look(word(r, "at")); }},
        {"contact", [](Eyes& e, const Value& r) { return e.contact(word(r, "at")); }},
        {"lamp", [](Eyes& e, const Value& r) { return e.lamp(word(r, "which")); }},
        {"selector", [](Eyes& e, const Value& r) { return e.selector(word(r, "what")); }},
        {"crew", [](Eyes& e, const Value& r) { return e.crew(word(r, "ask")); }},
        {"reference_heading", [](Eyes& e, const Value&) { return e.reference_heading(); }},
        {"photo", [](Eyes& e, const Value& r) { return e.photo(word(r, "of")); }},
        {"showing", [](Eyes& e, const Value&) { return e.showing(); }},
        {"writeup", [](Eyes& e, const Value&) { return e.writeup(); }},
        {"serials", [](Eyes& e, const Value&) { return e.serials(); }},
        {"all", [](Eyes& e, const Value&) { return e.all(); }},
    };
    return verbs;
}

Value reveal(const Parts& p)
{
    if (p.finding.empty()) return Object{{"is", "sealed"}};
    json::Array mishaps, repairs;
    for (const std::string& mishap : p.mishaps) mishaps.emplace_back(mishap);
    for (const std::string& repair : p.repairs) repairs.emplace_back(repair);
    return Object{{"fault", p.fault.id}, {"class", p.fault.fault_class}, {"finding", p.finding}, {"cured", p.defects.all().empty()},
        {"mishaps", mishaps}, {"repairs", repairs}};
}

} // namespace

Value answer(Aircraft& aircraft, const Value& request)
{
    if (const auto verb = hand_verbs().find(request["hand"].as_text()); verb != hand_verbs().end()) {
        Hands hands(aircraft);
        return Object{{"is", verb->second(hands, request).is}};
    }
    if (const auto verb = eye_verbs().find(request["eye"].as_text()); verb != eye_verbs().end()) {
        Eyes eyes(aircraft);
        return verb->second(eyes, request);
    }
    if (request.has("clock")) return Object{{"clock", aircraft.clock_s()}};
    if (request.has("reveal")) return reveal(aircraft.parts());
    if (request.has("finding")) {
        aircraft.parts().finding = request["finding"].is_text() ? request["finding"].as_text() : json::write(request["finding"]);
        return Object{{"is", "told"}};
    }
    return Object{{"error", "unknown_verb"}};
}

} // namespace chockside::practice
