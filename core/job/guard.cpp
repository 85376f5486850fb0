#include <core/job/condition.h>
#include <core/job/deferral.h>
#include <core/job/detail/describe.h>
#include <core/job/guard.h>
#include <core/job/number.h>
#include <core/job/open_items.h>
#include <core/job/plan.h>
#include <core/job/presence.h>
#include <core/job/silent.h>
#include <core/job/sighting.h>
#include <core/job/strike.h>
#include <core/journal/sign_off.h>

#include <algorithm>
#include <functional>
#include <map>

namespace chockside::job {

namespace {

using journal::Draft;
using json::Value;
using Drafts = Result<std::vector<Draft>>;

struct Ask {
    const profile::Profile& p;
    const JobState& s;
    const Context& c;
    const Command& command;
    std::string text(const char* key) const { return command.args[key].as_text(); }
};

std::string join(const std::vector<std::string>& words)
{
    std::string all;
    for (const auto& w : words) all += (all.empty() ? "" : ", ") + w;
    return all;
}

Draft draft(const Ask& a, std::string kind, Value body, std::string meaning = {})
{
    Draft d;
    d.kind = std::move(kind);
    d.body = std::move(body);
    d.person = a.command.person.empty() ? a.c.person : a.command.person;
    d.meaning = std::move(meaning);
    return d;
}

std::vector<std::string> feeds_in(const Ask& a, const profile::Plug& plug)
{
    std::vector<std::string> in;
    for (const auto& id : plug.fed_by)
        if (!holds(a.p, a.s, a.c, {profile::Condition::Kind::breaker, id, "out", {}})) in.push_back(detail::label_of(a.p, "breaker", id));
    return in;
}

/// A plug comes off, and a breakout goes on or off, only when every feed is out and the pins are proved dead since.
Status safe_to_unplug(const Ask& a, const std::string& id)
{
    const auto* plug = profile::find(a.p.installation.plugs, id);
    if (!plug) return fail("bad_command", "plug " + id);
    if (const auto in = feeds_in(a, *plug); !in.empty()) return fail("plug_fed", id, {{"of", plug->label}, {"breakers", join(in)}});
    const auto dead = a.s.dead.find(id);
    if (!plug->dead_points.empty() && (dead == a.s.dead.end() || !dead->second.certainly("yes")))
        return fail("not_dead", id, {{"of", plug->label}, {"points", plug->dead_points}});
    return {};
}

Status breaker_may(const Ask& a, const std::string& id, const std::string& to)
{
    if (!profile::find(a.p.installation.breakers, id)) return fail("bad_command", "breaker " + id);
    const auto reg = a.s.breakers.find(id);
    if (to != "in") return {};
    if (reg != a.s.breakers.end() && reg->second.perhaps("tripped") && (!a.s.found || trip_unexplained(a.s, id)))
        return fail("tripped_is_evidence", id, {{"of", detail::label_of(a.p, "breaker", id)}});
    for (const auto& plug : a.p.installation.plugs) {
        const auto off = a.s.plugs.find(plug.id);
        const bool fed = std::find(plug.fed_by.begin(), plug.fed_by.end(), id) != plug.fed_by.end();
        if (fed && off != a.s.plugs.end() && (off->second.perhaps("disconnected") || off->second.unknown()))
            return fail("plug_open", id, {{"of", detail::label_of(a.p, "breaker", id)}, {"plug", plug.label}});
    }
    for (const auto& t : a.p.installation.temporaries) {
        const auto on = a.s.fitted.find(t.id);
        if (t.kind == "cover" && t.at == "breaker:" + id && on != a.s.fitted.end() && (on->second.perhaps("yes") || on->second.unknown()))
            return fail("cover_on", id, {{"of", detail::label_of(a.p, "breaker", id)}, {"cover", t.label}});
    }
    return {};
}

Status fit_may(const Ask& a, const std::string& id)
{
    const auto* item = profile::find(a.p.installation.temporaries, id);
    if (!item) return fail("bad_command", "fit " + id);
    return item->kind == "breakout" ? safe_to_unplug(a, item->at) : Status{};
}

Status dead_may(const Ask& a, const std::string& id)
{
    const auto* plug = profile::find(a.p.installation.plugs, id);
    if (!plug) return fail("bad_command", "plug " + id);
    if (const auto in = feeds_in(a, *plug); !in.empty()) return fail("plug_fed", id, {{"of", plug->label}, {"breakers", join(in)}});
    const auto volts = number_of(a.text("number"));
    if (!volts) return fail("bad_command", "number " + a.text("number"));
    if (*volts > 1.0 || *volts < -1.0) return fail("not_dead", id, {{"of", plug->label}, {"points", plug->dead_points}, {"volts", a.text("number")}});
    return {};
}

Status did_may(const Ask& a)
{
    const std::string verb = a.text("verb"), of = a.text("of"), to = a.text("to");
    if (verb == "plug" && to == "disconnected") return safe_to_unplug(a, of);
    if (verb == "breaker") return breaker_may(a, of, to);
    if (verb == "fit") return fit_may(a, of);
    if (verb == "dead") return dead_may(a, of);
    if (verb == silent_verb && a.c.live.good) return fail("unit_speaks");
    // Another answer to the last look is a breaker that is out, and comes as such (command_of).
    if (verb == "seen" && !a.text("outcome").empty()) return fail("bad_command", "outcome " + a.text("outcome"));
    return {};
}

const profile::Step* step_of(const profile::Profile& p, const std::string& id)
{
    if (const auto* step = profile::find(p.installation.steps, id)) return step;
    for (const auto& repair : p.installation.repairs)
        if (const auto* step = profile::find(repair.steps, id)) return step;
    return nullptr;
}

Status needs_met(const Ask& a, const profile::Condition& needs)
{
    if (const auto* unmet = first_unmet(a.p, a.s, a.c, needs)) return fail("need", "", {{"what", words_of(a.p, *unmet)}});
    return {};
}

Drafts did(const Ask& a)
{
    if (const auto* step = step_of(a.p, a.text("step")))
        if (auto met = needs_met(a, step->needs); !met) return Unexpected{met.error()};
    if (auto may = did_may(a); !may) return Unexpected{may.error()};
    Value body = a.command.args;
    return std::vector{draft(a, "did", std::move(body))};
}

/// A number check takes a number, or says that it was not done; a word that is not listed is no answer to any check.
Status answer_may(const Ask& a, const profile::Check& check)
{
    using How = profile::Check::How;
    const bool asks_number = check.how == How::number || check.how == How::word_number;
    const std::string outcome = a.text("outcome"), number = a.text("number");
    const bool listed = std::find(check.outcomes.begin(), check.outcomes.end(), outcome) != check.outcomes.end();
    const bool outcome_may = asks_number ? listed || outcome == not_done || (outcome.empty() && !number.empty()) : listed;
    if (!outcome_may) return fail("bad_command", "outcome " + outcome);
    if (!number.empty() && !number_of(number)) return fail("bad_command", "number " + number);
    return {};
}

Drafts answer(const Ask& a)
{
    const auto* check = profile::find(a.p.installation.checks, a.text("check"));
    if (!check) return fail("bad_command", "check " + a.text("check"));
    if (auto may = answer_may(a, *check); !may) return Unexpected{may.error()};
    if (auto met = needs_met(a, check->needs); !met) return Unexpected{met.error()};
    Value body = a.command.args;
    if (!body.has("presence")) body.at("presence") = presence_for(a.s, *check, {check->id, a.text("outcome"), a.text("number"), {}, {}, false, 0, {}});
    return std::vector{draft(a, "answer", std::move(body))};
}

Drafts simple(const Ask& a, const std::string& kind)
{
    return std::vector{draft(a, kind, a.command.args.is_object() ? a.command.args : Value(json::Object{}))};
}

/// A picture lies beside the journal under its digest; where it came from is nobody's business.
Drafts photo(const Ask& a)
{
    const std::string sha = a.text("sha");
    const auto digest = from_hex(sha);
    if (a.command.args.has("path") || (!sha.empty() && (!digest || digest->size() != 32))) return fail("bad_command", "photo");
    auto drafts = simple(a, "photo");
    if (!sha.empty()) drafts->front().att.push_back(sha);
    return drafts;
}

Drafts swing_point(const Ask& a)
{
    for (const char* key : {"reference", "indicated"})
        if (!number_of(a.text(key))) return fail("bad_command", std::string(key) + " " + a.text(key));
    for (const char* key : {"reference", "indicated"})
        if (!is_heading(a.text(key))) return fail("need", key, {{"what", "a heading from 0 to 360"}});
    const std::int64_t point = a.command.args["point"].as_int();
    if (point < 0 || point > static_cast<std::int64_t>(a.s.swing.size())) return fail("bad_command", "point " + std::to_string(point));
    if (const std::string waits = sighting_waits(a.p, a.s, a.c); !waits.empty()) return fail("need", "", {{"what", waits}});
    return simple(a, "swing_point");
}

/// What was fitted to measure by is no part of the aircraft that is repaired and proved.
Status unrigged(const Ask& a)
{
    const auto* item = in_circuit(a.p, a.s);
    return item ? Status(fail("need", item->id, {{"what", item->label + " off"}})) : Status{};
}

Drafts repair(const Ask& a)
{
    if (!a.s.found) return fail("no_finding");
    if (auto off = unrigged(a); !off) return Unexpected{off.error()};
    return simple(a, "repair");
}

Status trip_may(const Ask& a, const profile::Breaker& b)
{
    return a.text("result").find_first_not_of(" \t\r\n") == std::string::npos ? Status(fail("need", b.id, {{"what", "why " + b.label + " tripped"}})) : Status{};
}

/// Work that is proved by a test is closed by a test that was passed since the repair.
Status owed_may(const Ask& a, const OwedState& o)
{
    if (const auto* b = tripped_breaker(a.p, o)) return trip_may(a, *b);
    const auto* row = profile::find(a.p.installation.owed, o.id);
    if (row)
        if (auto met = needs_met(a, row->needs); !met) return met;
    if (const auto* check = owed_check(a.p, o)) {
        const Answer* said = owed_answer(a.s, o, *check);
        return said && is_good(*check, *said) ? Status{} : Status(fail("fix_not_proved", check->id, {{"check", check->title.in()}}));
    }
    if (auto off = unrigged(a); !off) return off;
    const auto result = a.s.swing_result.find("result");
    const bool swung = result != a.s.swing_result.end() && result->second == "pass";
    if (row && row->prove == "swing" && !swung) return fail("need", o.id, {{"what", "a swing that passes"}});
    return {};
}

Drafts owed(const Ask& a)
{
    const auto row = std::find_if(a.s.owed.begin(), a.s.owed.end(), [&](const OwedState& o) { return o.id == a.text("owed") && !o.closed; });
    if (row == a.s.owed.end()) return fail("bad_command", "owed " + a.text("owed"));
    if (auto may = owed_may(a, *row); !may) return Unexpected{may.error()};
    return simple(a, "owed");
}

bool inspection_asked(const Ask& a)
{
    return std::any_of(a.p.installation.required_inspections.begin(), a.p.installation.required_inspections.end(), [&](const std::string& id) {
        return a.s.done.contains(id) || a.s.done.contains("inspect:" + id) || (a.s.repair && *a.s.repair == id)
            || std::any_of(a.s.owed.begin(), a.s.owed.end(), [&](const OwedState& o) { return o.id == id; });
    });
}

/// Nothing owed, the check that failed is good again, and the unit's own test did not fail; or it is deferred by name.
Status proved_or_deferred(const Ask& a)
{
    if (a.s.deferral) return {};
    if (const auto owing = owed_open(a.p, a.s); !owing.empty()) return fail("owed_open", owing.front(), {{"list", join(owing)}});
    if (a.s.found && must_defer(a.s)) return fail("need", a.s.finding_cause, {{"what", "the cause put right, or deferred by name"}});
    if (fix_proved(a.p, a.s)) return own_test_failed(a.s) ? Status(fail("fix_not_proved", "self_test", {{"check", "Power-up test"}})) : Status{};
    const auto* check = fix_check(a.p, a.s);
    return fail("fix_not_proved", check->id, {{"check", check->title.in()}});
}

Status may_sign(const Ask& a, const std::string& meaning)
{
    const std::string person = a.command.person.empty() ? a.c.person : a.command.person;
    if (person.empty() || a.text("certificate_number").empty() || a.text("certificate_kind").empty()) return fail("need", "sign", {{"what", "name, certificate kind and number"}});
    const auto worked = a.s.signs.find("worked");
    if (meaning != "worked" && worked == a.s.signs.end()) return fail("unsigned", "worked", {{"meaning", "worked"}});
    if (meaning == "inspected" && (worked->second.person == person || (!a.text("key").empty() && worked->second.key == a.text("key")))) return fail("second_person", person, {{"who", person}});
    if (meaning != "released") return {};
    if (inspection_asked(a) && !a.s.signs.contains("inspected")) return fail("unsigned", "inspected", {{"meaning", "inspected"}});
    const auto open = open_items(a.p, a.s);
    if (!open.empty()) return fail("open_items", open.front().id, {{"list", open.front().title}, {"count", std::to_string(open.size())}});
    if (auto proved = proved_or_deferred(a); !proved) return proved;
    return {};
}

Drafts sign(const Ask& a)
{
    if (auto may = may_sign(a, a.text("meaning")); !may) return Unexpected{may.error()};
    const std::string person = a.command.person.empty() ? a.c.person : a.command.person;
    if (!journal::sign_off_flaw(a.s.job, person, a.command.args).empty()) return fail("person_unsigned", person, {{"who", person}});
    return std::vector{draft(a, "sign", a.command.args, a.text("words"))};
}

/// By name, in full, and never with a gate before it open: the side at fault must be known.
Drafts defer(const Ask& a)
{
    for (const auto& [field, title] : deferral_fields())
        if (a.text(field.c_str()).find_first_not_of(" \t\r\n") == std::string::npos) return fail("need", field, {{"what", title}});
    if (const auto gates = deferral_gates(a.p, a.s); !gates.empty()) {
        const auto* gate = profile::find(a.p.installation.gates, gates.front().id);
        return fail("need", gate->id, {{"what", gate->says.in()}});
    }
    return simple(a, "defer");
}

Drafts close(const Ask& a)
{
    if (const auto open = open_items(a.p, a.s); !open.empty()) {
        std::vector<std::string> titles;
        for (const auto& item : open) titles.push_back(item.title);
        return fail("open_items", open.front().id, {{"list", join(titles)}, {"count", std::to_string(titles.size())}});
    }
    if (auto proved = proved_or_deferred(a); !proved) return Unexpected{proved.error()};
    for (const char* meaning : {"worked", "released"})
        if (!a.s.signs.contains(meaning)) return fail("unsigned", meaning, {{"meaning", meaning}});
    return simple(a, "closed");
}

/// A signature is withdrawn by who made it, with the same key.
Status may_withdraw(const Ask& a, const Sign& sign)
{
    const std::string person = a.command.person.empty() ? a.c.person : a.command.person;
    if (person != sign.person) return fail("not_signer", person, {{"who", sign.person}});
    const bool own = a.text("meaning") == withdrawn && a.text("key") == sign.key && journal::sign_off_flaw(a.s.job, person, a.command.args).empty();
    return own ? Status{} : Status(fail("person_unsigned", person, {{"who", person}}));
}

Status correction_may(const Ask& a, const Line& line)
{
    const std::string said = a.command.args["body"][line.field.c_str()].as_text();
    if (line.field.empty()) return fail("entry_stands", line.stamp.hash);
    if (said.find_first_not_of(" \t\r\n") == std::string::npos) return fail("need", line.field, {{"what", "what it should say"}});
    if (line.field == "number" && !number_of(said)) return fail("bad_command", "number " + said);
    return a.command.args["body"].as_object().size() == 1 ? Status{} : Status(fail("bad_command", "body"));
}

Drafts strike(const Ask& a)
{
    const auto line = std::find_if(a.s.lines.begin(), a.s.lines.end(), [&](const Line& l) { return l.stamp.hash == a.text("of"); });
    if (line == a.s.lines.end()) return fail("bad_command", "of " + a.text("of"));
    if (auto may = may_strike(a.s, static_cast<std::size_t>(line - a.s.lines.begin()), signed_upto(a.s)); !may) return Unexpected{may.error()};
    if (a.text("reason").find_first_not_of(" \t\r\n") == std::string::npos) return fail("need", "reason", {{"what", "the reason"}});
    if (const Sign* sign = sign_of(a.s, *line))
        if (auto may = may_withdraw(a, *sign); !may) return Unexpected{may.error()};
    if (a.command.kind == "amend")
        if (auto may = correction_may(a, *line); !may) return Unexpected{may.error()};
    return simple(a, a.command.kind);
}

Drafts live(const Ask& a)
{
    return std::vector{draft(a, "live." + a.text("kind"), a.command.args["body"])};
}

} // namespace

Drafts guard(const profile::Profile& p, const JobState& s, const Context& c, const Command& command)
{
    const Ask a{p, s, c, command};
    static const std::map<std::string, std::function<Drafts(const Ask&)>> table = {
        {"did", did}, {"answer", answer}, {"repair", repair}, {"owed", owed}, {"sign", sign}, {"close", close}, {"live", live},
        {"presence", [](const Ask& x) { return simple(x, "presence"); }}, {"cautions_read", [](const Ask& x) { return simple(x, "cautions_read"); }},
        {"finding", [](const Ask& x) { return simple(x, "finding"); }}, {"part", [](const Ask& x) { return simple(x, "part"); }},
        {"swing_point", swing_point}, {"swing_result", [](const Ask& x) { return simple(x, "swing_result"); }},
        {"photo", photo}, {"note", [](const Ask& x) { return simple(x, "note"); }},
        {"reopen", [](const Ask& x) { return x.s.found ? simple(x, "reopened") : Drafts(fail("no_finding")); }},
        {"defer", defer}, {"void", strike}, {"amend", strike}};
    if (s.closed && command.kind != "note" && command.kind != "live") return fail("already_closed", s.job);
    const auto handler = table.find(command.kind);
    return handler == table.end() ? Drafts(fail("bad_command", command.kind)) : handler->second(a);
}

journal::Draft open_draft(const profile::Profile& p, const Opening& o, const std::string& person)
{
    Value body(json::Object{});
    body.at("tail") = o.tail;
    body.at("aircraft_type") = p.installation.aircraft_type;
    body.at("complaint") = o.complaint;
    body.at("complaint_kind") = o.complaint_kind;
    body.at("profile") = p.id;
    body.at("profile_revision") = p.revision;
    body.at("profile_sha") = p.sha256;
    body.at("practice") = o.practice;
    body.at("scale_milli") = o.scale_milli;
    body.at("departure_utc_ms") = o.departure_utc_ms;
    body.at("decide_utc_ms") = o.decide_utc_ms;
    body.at("power") = o.power;
    journal::Draft d;
    d.kind = "opened";
    d.body = std::move(body);
    d.person = person;
    return d;
}

} // namespace chockside::job
