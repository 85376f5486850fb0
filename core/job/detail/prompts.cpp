#include <core/job/detail/describe.h>
#include <core/job/detail/prompts.h>
#include <core/job/open_items.h>

#include <algorithm>

namespace chockside::job::detail {

namespace {

using Kind = profile::Condition::Kind;
using profile::Condition;

json::Value object(std::initializer_list<std::pair<const char*, std::string>> members)
{
    json::Value v(json::Object{});
    for (const auto& [key, value] : members) v.at(key) = value;
    return v;
}

std::string verb_words(const profile::Profile& p, const std::string& verb, const std::string& of, const std::string& to)
{
    const std::string label = label_of(p, verb, of);
    if (verb == "breaker") {
        const auto* b = profile::find(p.installation.breakers, of);
        const std::string at = b ? ", " + b->panel : "";
        return to == "in" ? "Push " + label + " in" + at + "." : to == "collared" ? "Pull " + label + at + ". Fit collar and tag." : "Pull " + label + at + ".";
    }
    if (verb == "plug") return to == "disconnected" ? "Take plug " + label + " off." : "Connect plug " + label + " and lock it.";
    if (verb == "panel") return to == "open" ? "Open " + label + "." : "Close " + label + ", all fasteners.";
    if (verb == "power") return to == "on" ? "Switch ground power on." : "Switch ground power off.";
    if (verb == "fit") return to == "yes" ? "Fit " + label + "." : "Take " + label + " off.";
    if (verb == "session") return to == "open" ? "Open the ground-test session." : "Close the ground-test session.";
    if (verb == "link") return "Open the link.";
    return label;
}

Prompt prove_dead(const Moment& m, const profile::Plug& plug)
{
    Prompt q;
    q.id = "dead:" + plug.id;
    q.kind = Prompt::Kind::number;
    q.say = "Prove " + plug.label + " dead: " + plug.dead_points + ".";
    q.detail = "Meter on a live source, on the pins, on the live source again.";
    q.unit = "V";
    q.meter = "volts";
    q.points = plug.dead_points;
    q.limits = std::pair{-1.0, 1.0};
    q.verb = "meter";
    q.label = plug.dead_points;
    q.command = "did";
    q.args = object({{"verb", "dead"}, {"of", plug.id}, {"to", "yes"}});
    q.before.push_back({"WARNING", "A breaker out is not yet a dead pin."});
    label_key(m, q);
    return q;
}

/// Feeds out, pins dead: what must hold before a plug or a breakout is touched; nothing when it holds.
std::optional<Prompt> make_dead(const Moment& m, const std::string& plug_id)
{
    const auto* plug = profile::find(m.p.installation.plugs, plug_id);
    if (!plug) return std::nullopt;
    if (!plug->panel.empty() && !holds(m.p, m.s, m.c, {Kind::opened, plug->panel, "open", {}})) return act(m, "panel", plug->panel, "open");
    for (const auto& feed : plug->fed_by)
        if (!holds(m.p, m.s, m.c, {Kind::breaker, feed, "out", {}})) return act(m, "breaker", feed, "collared");
    if (!plug->dead_points.empty() && !holds(m.p, m.s, m.c, {Kind::dead, plug_id, "yes", {}})) return prove_dead(m, *plug);
    return std::nullopt;
}

Prompt meet_breaker(const Moment& m, const Condition& k)
{
    if (k.is != "in") return act(m, "breaker", k.of, k.is == "out" ? "collared" : k.is);
    for (const auto& plug : m.p.installation.plugs) {
        const bool fed = std::find(plug.fed_by.begin(), plug.fed_by.end(), k.of) != plug.fed_by.end();
        if (fed && !holds(m.p, m.s, m.c, {Kind::plug, plug.id, "connected", {}})) return act(m, "plug", plug.id, "connected");
    }
    for (const auto& t : m.p.installation.temporaries)
        if (t.kind == "cover" && t.at == "breaker:" + k.of && !holds(m.p, m.s, m.c, {Kind::fitted, t.id, "no", {}})) return act(m, "fit", t.id, "no");
    return act(m, "breaker", k.of, "in");
}

Prompt meet_plug(const Moment& m, const Condition& k)
{
    if (k.is == "disconnected")
        if (auto first = make_dead(m, k.of)) return *first;
    return act(m, "plug", k.of, k.is);
}

Prompt meet_fitted(const Moment& m, const Condition& k)
{
    const auto* item = profile::find(m.p.installation.temporaries, k.of);
    if (item && item->kind == "breakout")
        if (auto first = make_dead(m, item->at)) return *first;
    return act(m, "fit", k.of, k.is == "no" ? "no" : "yes");
}

/// Everything between a dark aircraft and a talking unit.
std::optional<Prompt> make_live(const Moment& m)
{
    if (!holds(m.p, m.s, m.c, {Kind::power, "", "on", {}})) return act(m, "power", "ground_power", "on");
    for (const auto& [channel, plug] : m.p.installation.test_plugs)
        for (const auto& feed : plug.second)
            if (!holds(m.p, m.s, m.c, {Kind::breaker, feed, "in", {}})) return meet_breaker(m, {Kind::breaker, feed, "in", {}});
    return std::nullopt;
}

Prompt meet_link(const Moment& m)
{
    if (auto first = make_live(m)) return *first;
    for (const auto& t : m.p.installation.temporaries)
        if (t.kind == "cable" && !holds(m.p, m.s, m.c, {Kind::fitted, t.id, "yes", {}})) return act(m, "fit", t.id, "yes");
    return act(m, "link", "serial", "open");
}

Prompt meet_session(const Moment& m, const Condition& k)
{
    if (!m.c.live.good) return meet_link(m);
    if (!m.s.self_test_ended && m.c.live.self_test_running) return wait_for(m, "self_test");
    return act(m, "session", k.of.empty() || k.of == "any" ? m.p.unit.channels.front() : k.of, "open");
}

} // namespace

void label_key(const Moment& m, Prompt& q)
{
    const std::string n = std::to_string(m.s.entries + 1);
    if (q.key_large.empty()) q.key_large = q.say;
    if (!q.key_small.empty()) return;
    if (!q.ready) q.key_small = q.missing.empty() ? "Waits" : "Waits: " + q.missing;
    else if (q.hold) q.key_small = "Hold 1\u00A0s, writes " + n;
    else q.key_small = "Writes entry " + n;
}

Prompt act(const Moment& m, const std::string& verb, const std::string& of, const std::string& to, const std::string& say)
{
    Prompt q;
    q.id = "act:" + verb + ":" + of + ":" + to;
    q.kind = verb == "link" || verb == "session" ? Prompt::Kind::read : Prompt::Kind::act;
    q.say = say.empty() ? verb_words(m.p, verb, of, to) : say;
    q.key_large = say.empty() ? q.say : say;
    q.verb = verb;
    q.label = label_of(m.p, verb, of);
    q.to = to;
    q.hold = verb == "breaker" || verb == "plug" || (verb == "fit" && to == "yes") || verb == "power";
    q.command = "did";
    q.args = object({{"verb", verb}, {"of", of}, {"to", to}});
    if (verb == "breaker") {
        const auto* b = profile::find(m.p.installation.breakers, of);
        if (b && to != "in" && !b->also_feeds.empty()) q.detail = "Also feeds: " + b->also_feeds.in();
    }
    if (verb == "fit")
        if (const auto* t = profile::find(m.p.installation.temporaries, of)) q.detail = at_words(m.p, t->at);
    if (verb == "power" && to == "off") q.before.push_back({"NOTE", "Power off begins test, alignment and warm-up again."});
    label_key(m, q);
    return q;
}

Prompt wait_for(const Moment& m, const std::string& which)
{
    const Waits w = waits(m.p, m.s, m.c);
    const WaitView& wait = which == "self_test" ? w.self_test : which == "warm_up" ? w.warm_up : w.alignment;
    Prompt q;
    q.id = "wait:" + wait.id;
    q.kind = Prompt::Kind::wait;
    q.ready = false;
    q.verb = "wait";
    q.label = wait.id;
    q.say = wait.title + " runs. Leave power on" + (wait.id == "alignment" ? ", keep still." : ".");
    q.key_large = wait.title + " runs";
    q.missing = words_of(m.p, {which == "self_test" ? Kind::self_test : which == "warm_up" ? Kind::warm_up : Kind::aligned, "", "", {}});
    q.detail = wait.says;
    if (wait.state == WaitView::State::unknown) {
        q.say = wait.title + ": the unit must say its uptime.";
        q.key_small = "Waits: open the link to ask the unit";
    }
    else if (wait.ends_utc_ms > 0) q.key_small = "Until " + to_hms(wait.ends_utc_ms) + "\u00A0Z";
    label_key(m, q);
    return q;
}

Prompt simple(const Moment& m, Prompt::Kind kind, const std::string& id, const std::string& say, const std::string& key, const std::string& command, json::Value args)
{
    Prompt q;
    q.id = id;
    q.kind = kind;
    q.say = say;
    q.key_large = key;
    q.command = command;
    q.args = std::move(args);
    label_key(m, q);
    return q;
}

Prompt meet(const Moment& m, const Condition& k)
{
    switch (k.kind) {
    case Kind::breaker: return meet_breaker(m, k);
    case Kind::plug: return meet_plug(m, k);
    case Kind::fitted: return meet_fitted(m, k);
    case Kind::dead: {
        if (auto first = make_dead(m, k.of)) return *first;
        break;
    }
    case Kind::power: return act(m, "power", "ground_power", k.is);
    case Kind::self_test:
    case Kind::aligned:
    case Kind::warm_up: {
        if (auto first = make_live(m)) return *first;
        if (!m.c.live.good) return meet_link(m);
        return wait_for(m, holds(m.p, m.s, m.c, {Kind::self_test, "", "", {}}) ? (k.kind == Kind::aligned ? "alignment" : "warm_up") : "self_test");
    }
    case Kind::settled: return wait_for(m, "warm_up");
    case Kind::session: return meet_session(m, k);
    case Kind::link: return meet_link(m);
    case Kind::opened: return act(m, "panel", k.of, k.is.empty() ? "open" : k.is);
    case Kind::answered:
        if (const auto* check = profile::find(m.p.installation.checks, k.of)) return check_prompt(m.p, m.s, m.c, *check);
        break;
    case Kind::done:
        if (const auto* step = profile::find(m.p.installation.steps, k.of)) return step_prompt(m, *step);
        break;
    case Kind::all:
    case Kind::any:
        if (const Condition* unmet = first_unmet(m.p, m.s, m.c, k); unmet && unmet != &k) return meet(m, *unmet);
        break;
    case Kind::not_:
        if (!k.parts.empty() && k.parts.front().kind == Kind::session) return act(m, "session", "any", "closed");
        if (!k.parts.empty() && k.parts.front().kind == Kind::fitted) return meet_fitted(m, {Kind::fitted, k.parts.front().of, "no", {}});
        break;
    default: break;
    }
    Prompt q;
    q.id = "stuck";
    q.ready = false;
    q.say = "A need cannot be met from here.";
    q.missing = words_of(m.p, k);
    label_key(m, q);
    return q;
}

} // namespace chockside::job::detail
