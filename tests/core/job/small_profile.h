#pragma once
// A profile small enough to read whole: two breakers feed one plug, one breakout, one cover, two waits, three checks, one repair.

#include <core/base/random.h>
#include <core/journal/sign_off.h>
#include <core/trust/trust.h>
#include <core/job/context.h>
#include <core/journal/entry.h>
#include <core/profile/model.h>

namespace chockside::tests {

inline profile::Text en(const std::string& words)
{
    return {{{"en", words}}};
}

inline profile::Profile small_profile()
{
    using namespace profile;
    Profile p;
    p.id = "small";
    p.sources["mm"] = {"Small practice manual (invented)", "1"};
    p.unit.channels = {"ch1", "ch2"};
    p.unit.timings.self_test_max_s = 25;
    p.unit.timings.alignment_s = 60;
    p.unit.timings.warm_up_s = 120;
    auto& in = p.installation;
    in.aircraft_type = "Sandgrouse 12";
    in.breakers = {{"ref_1", "REF 1", "P2 C4", "essential", "in", {}, {}}, {"ref_2", "REF 2", "P2 C5", "main", "in", {}, {}}, {"pitot_ht", "PITOT HT", "P2 C7", "essential", "in", {}, en("angle vane heat")}};
    in.panels = {{"rack", "Nose rack door", "B", 10}};
    in.plugs = {{"j1", "J1", "nose rack", "rack", {"ref_1", "ref_2"}, "J1-A to J1-B"}};
    in.temporaries = {{"breakout_j1", "Breakout J1", "breakout", "j1"}, {"probe_covers", "Probe covers", "cover", "breaker:pitot_ht"}};
    in.test_plugs = {{"ch1", {"J5A", {"ref_1"}}}};
    in.complaints = {{"heading_flag", en("Heading flag"), false}};
    Cause unit{"unit_ch1", CauseClass::unit, "", 1, {}, "hard", en("PRU-2 channel 1"), "replace_unit", {}};
    Cause none{"none", CauseClass::none, "", 1, {}, "hard", en("Nothing at fault"), "", {}};
    in.causes = {unit, none};
    Check flag;
    flag.id = "flag_watch";
    flag.stage = "isolate";
    flag.title = en("Flag watch");
    flag.outcomes = {"flag", "steady"};
    flag.given = {{"unit_ch1", {0.95, 0.05}, {}}, {"*", {0.05, 0.95}, {}}};
    flag.proves_fix = true;
    Check volts;
    volts.id = "volts_j1";
    volts.stage = "isolate";
    volts.title = en("Volts at J1 under load");
    volts.how = Check::How::number;
    volts.unit = "V";
    volts.limits = std::pair{24.0, 30.0};
    volts.panel = "rack";
    volts.needs.kind = Condition::Kind::all;
    volts.needs.parts = {{Condition::Kind::fitted, "breakout_j1", "yes", {}}, {Condition::Kind::power, "", "on", {}}, {Condition::Kind::breaker, "ref_1", "in", {}}};
    volts.given = {{"*", {}, Density{Density::Kind::normal, 27.6, 0.5}}};
    in.checks = {flag, volts};
    Repair repair;
    repair.id = "replace_unit";
    repair.say = en("Replace PRU-2");
    repair.act = "unit_changed";
    repair.part_change = true;
    repair.part = "PRU-2";
    in.repairs = {repair};
    in.owed = {{"seat", "unit_changed", en("Seat and lock seen"), "approved data", "a second person", "ask:seen", false, {}}};
    in.required_inspections = {"seat"};
    return p;
}

/// Writes entries without a store: one author unless told, dense sequence, everything known.
struct Pen {
    std::string author = "a";
    journal::Vector known;
    std::int64_t seq = 0;
    std::int64_t wall = 1'780'000'000'000, mono = 1'000'000;
    std::string boot = "boot-1";
    std::string person = "LK";

    journal::Entry write(const std::string& kind, json::Value body)
    {
        journal::Entry e;
        e.envelope.author = author;
        e.envelope.seq = ++seq;
        e.envelope.job = "job";
        e.envelope.seen = known;
        e.envelope.kind = kind;
        e.envelope.person = person;
        e.envelope.wall = wall;
        e.envelope.mono = mono;
        e.envelope.boot = boot;
        e.hash = author + ":" + std::to_string(seq);
        e.body = std::move(body);
        known[author] = seq;
        return e;
    }
};

inline json::Value body(std::initializer_list<std::pair<const char*, json::Value>> members)
{
    json::Value v(json::Object{});
    for (const auto& [key, value] : members) v.at(key) = value;
    return v;
}

inline json::Value did_body(const std::string& verb, const std::string& of, const std::string& to)
{
    return body({{"verb", verb}, {"of", of}, {"to", to}});
}

/// The body with the signature of a key of this person's own.
inline json::Value signed_by(const std::string& job, const std::string& person, json::Value sign, std::uint64_t seed)
{
    SeededRandom random(seed);
    const auto key = trust::KeyPair::make(random);
    sign.at("key") = to_hex(key.public_key());
    sign.at("signature") = to_hex(key.sign(trust::Domain::sign_off, as_bytes(journal::sign_off_statement(job, person, sign))));
    return sign;
}

} // namespace chockside::tests
