// Prompts that come from the profile's own steps and checks.
#include <core/job/detail/describe.h>
#include <core/job/detail/prompts.h>

#include <map>

namespace chockside::job::detail {

namespace {

using profile::StepKind;
using How = profile::Check::How;

struct Act {
    const char* verb;
    const char* to;
};

const std::map<StepKind, Act>& acts()
{
    static const std::map<StepKind, Act> table = {
        {StepKind::pull_breaker, {"breaker", "collared"}}, {StepKind::push_breaker, {"breaker", "in"}}, {StepKind::connect, {"plug", "connected"}},
        {StepKind::disconnect, {"plug", "disconnected"}}, {StepKind::fit, {"fit", "yes"}}, {StepKind::remove, {"fit", "no"}},
        {StepKind::open_panel, {"panel", "open"}}, {StepKind::close_panel, {"panel", "closed"}}, {StepKind::power_on, {"power", "on"}},
        {StepKind::power_off, {"power", "off"}}, {StepKind::session_open, {"session", "open"}}, {StepKind::session_close, {"session", "closed"}},
        {StepKind::link_open, {"link", "open"}}};
    return table;
}

std::string id_of(const std::string& reference)
{
    const auto colon = reference.find(':');
    return colon == std::string::npos ? reference : reference.substr(colon + 1);
}

void add_hazards(Prompt& q, const std::vector<profile::Hazard>& hazards)
{
    for (const auto& h : hazards) q.before.push_back({h.word, h.says.in()});
}

std::string ref_words(const profile::Profile& p, const profile::SourceRef& ref)
{
    const auto doc = p.sources.find(ref.source);
    if (doc == p.sources.end()) return {};
    return doc->second.document + ", rev " + doc->second.revision + (ref.at.empty() ? "" : ", " + ref.at);
}

Prompt read_step(const Moment& m, const profile::Step& step)
{
    Prompt q;
    q.kind = Prompt::Kind::read;
    q.verb = "request";
    q.label = id_of(step.of);
    q.to = "read";
    q.command = "did";
    q.args = json::Value(json::Object{});
    q.args.at("verb") = "read";
    q.args.at("of") = id_of(step.of);
    q.say = step.say.in();
    if (m.c.live.good) return q;
    return meet(m, {profile::Condition::Kind::link, "", "", {}});
}

Prompt wait_step(const Moment& m, const profile::Step& step)
{
    using Kind = profile::Condition::Kind;
    const Kind kind = step.wait_for == "self_test" ? Kind::self_test : step.wait_for == "warm_up" ? Kind::warm_up : Kind::aligned;
    const profile::Condition over{kind, "", "", {}};
    const bool is_over = holds(m.p, m.s, m.c, over);
    if (!is_over && !m.s.supply_unsteady()) return meet(m, over);
    Prompt q;
    if (!is_over) {
        q.before.push_back({"CAUTION", "Power went " + std::to_string(m.s.losses) + " times by itself. The wait cannot end."});
        q.detail = "Go on to the supply. Every wait starts again when power holds.";
    }
    q.kind = Prompt::Kind::act;
    q.verb = "waited";
    q.label = step.wait_for;
    q.say = step.say.in();
    q.key_large = (step.wait_for == "self_test" ? "Power-up test" : step.wait_for == "warm_up" ? "Warm-up" : "Alignment") + std::string(" over");
    q.command = "did";
    q.args = json::Value(json::Object{});
    q.args.at("verb") = "waited";
    q.args.at("of") = step.wait_for;
    if (!is_over) q.key_large = "Go on: power does not hold";
    q.args.at("words") = q.key_large;
    return q;
}

Prompt plain_step(const profile::Step& step)
{
    Prompt q;
    q.kind = step.kind == StepKind::photo ? Prompt::Kind::photo : Prompt::Kind::act;
    q.verb = step.kind == StepKind::photo ? "photo" : step.kind == StepKind::call ? "call" : "look";
    q.label = step.of.empty() ? step.say.in() : id_of(step.of);
    q.command = step.kind == StepKind::photo ? "photo" : "did";
    q.args = json::Value(json::Object{});
    q.args.at("verb") = q.verb;
    q.args.at("of") = q.label;
    q.args.at("words") = step.say.in();
    return q;
}

Prompt made(const Moment& m, const profile::Step& step)
{
    if (step.kind == StepKind::check)
        if (const auto* check = profile::find(m.p.installation.checks, id_of(step.of))) return check_prompt(m.p, m.s, m.c, *check);
    if (step.kind == StepKind::read) return read_step(m, step);
    if (step.kind == StepKind::wait || step.kind == StepKind::settle) return wait_step(m, step);
    if (step.kind == StepKind::prove_dead) return meet(m, {profile::Condition::Kind::dead, id_of(step.of), "yes", {}});
    const auto found = acts().find(step.kind);
    if (found == acts().end()) return plain_step(step);
    const std::string of = id_of(step.of);
    // What an act needs of the world (feeds out, dead pins) comes first, whatever the profile's list says.
    using Kind = profile::Condition::Kind;
    if (step.kind == StepKind::disconnect && !holds(m.p, m.s, m.c, {Kind::plug, of, "disconnected", {}})) return meet(m, {Kind::plug, of, "disconnected", {}});
    if (step.kind == StepKind::fit && !holds(m.p, m.s, m.c, {Kind::fitted, of, "yes", {}})) return meet(m, {Kind::fitted, of, "yes", {}});
    if (step.kind == StepKind::remove && !holds(m.p, m.s, m.c, {Kind::fitted, of, "no", {}})) return meet(m, {Kind::fitted, of, "no", {}});
    if (step.kind == StepKind::push_breaker && !holds(m.p, m.s, m.c, {Kind::breaker, of, "in", {}})) return meet(m, {Kind::breaker, of, "in", {}});
    if (step.kind == StepKind::session_open) return meet(m, {Kind::session, of, "", {}});
    if (step.kind == StepKind::link_open && !m.c.live.good) return meet(m, {Kind::link, "", "", {}});
    return act(m, found->second.verb, of.empty() ? "ground_power" : of, found->second.to, step.say.in());
}

/// The verb that a prompt writes, or that it goes by where it writes none.
std::string verb_of(const Prompt& q)
{
    const std::string written = q.args["verb"].as_text();
    return written.empty() ? q.verb : written;
}

/// True where the prompt is the step itself. A need of it may name the same thing (a plug is proved dead before it comes off), but does
/// something else with it.
bool belongs(const Prompt& q, const profile::Step& step)
{
    if (step.kind == StepKind::check) return q.args["check"].as_text() == id_of(step.of);
    if (step.kind == StepKind::read) return q.verb == "request";
    if (step.kind == StepKind::wait || step.kind == StepKind::settle) return q.verb == "waited";
    const bool proof = step.kind == StepKind::prove_dead;
    const auto act = acts().find(step.kind);
    if (!proof && act == acts().end()) return true; // plain_step makes nothing else
    if (verb_of(q) != (proof ? "dead" : act->second.verb)) return false;
    const bool one_alone = step.kind == StepKind::session_open || step.kind == StepKind::link_open || (id_of(step.of).empty() && verb_of(q) == "power");
    return one_alone || (q.args["of"].as_text() == id_of(step.of) && (proof || q.args["to"].as_text() == act->second.to));
}

Prompt ask_kind(const Moment& m, const profile::Check& check)
{
    Prompt q;
    if (check.how == How::number || check.how == How::word_number) {
        q.kind = Prompt::Kind::number;
        q.unit = check.unit;
        q.limits = check.limits;
        q.meter = check.meter;
        q.verb = "meter";
    }
    else {
        q.kind = Prompt::Kind::choose;
        q.verb = check.how == How::flex ? "flex" : check.stage == "write_up" ? "crew" : "look";
    }
    if (check.how == How::flex) q.kind = Prompt::Kind::read;
    if (check.how == How::self_test || check.how == How::stored_fault || check.how == How::page || check.how == How::discrete_watch || check.how == How::word_number)
        q.kind = Prompt::Kind::read;
    if (q.kind == Prompt::Kind::read && check.how != How::flex) q.verb = "watch";
    // What the line answers nobody is asked: a key for it would do nothing.
    if (q.kind == Prompt::Kind::choose)
        for (const auto& outcome : check.outcomes) q.choices.emplace_back(outcome, outcome_words(m.p, check.id, outcome));
    return q;
}

} // namespace

Prompt step_prompt(const Moment& m, const profile::Step& step)
{
    if (const auto* unmet = first_unmet(m.p, m.s, m.c, step.needs)) return meet(m, *unmet);
    Prompt q = made(m, step);
    if (!belongs(q, step)) return q; // a prerequisite: it keeps its own name
    q.id = "step:" + step.id;
    q.args.at("step") = step.id;
    if (!step.say.empty()) q.say = step.say.in();
    if (q.key_large.empty() || q.verb == "photo" || q.verb == "look") q.key_large = q.say;
    q.hold = q.hold || step.critical;
    q.ref = ref_words(m.p, step.ref);
    add_hazards(q, step.before);
    q.key_small.clear();
    label_key(m, q);
    return q;
}

Prompt ask_check(const Moment& m, const profile::Check& check)
{
    Prompt q = ask_kind(m, check);
    q.id = "check:" + check.id;
    q.command = "answer";
    q.say = check.ask.empty() ? check.title.in() : check.ask.in();
    q.key_large = check.title.empty() ? q.say : check.title.in();
    for (const auto& point : check.points) q.points += (q.points.empty() ? "" : "; ") + point;
    q.label = q.points.empty() ? check.title.in() : q.points;
    q.args = json::Value(json::Object{});
    q.args.at("check") = check.id;
    q.ref = ref_words(m.p, check.ref);
    add_hazards(q, check.before);
    label_key(m, q);
    return q;
}

} // namespace chockside::job::detail
