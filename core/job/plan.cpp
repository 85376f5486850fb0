#include <core/job/detail/describe.h>
#include <core/job/detail/prompts.h>
#include <core/job/number.h>
#include <core/job/open_items.h>
#include <core/job/plan.h>
#include <core/job/standing.h>

#include <algorithm>
#include <cmath>

namespace chockside::job {

namespace {

using detail::Moment;
using profile::Condition;

const Prompt nothing{};
constexpr const char* all_in = "all_in";

json::Value object(std::initializer_list<std::pair<const char*, json::Value>> members)
{
    json::Value v(json::Object{});
    for (const auto& [key, value] : members) v.at(key) = value;
    return v;
}

Prompt simple(const Moment& m, Prompt::Kind kind, const std::string& id, const std::string& say, const std::string& key, const std::string& command, json::Value args = json::Value(json::Object{}))
{
    Prompt q;
    q.id = id;
    q.kind = kind;
    q.say = say;
    q.key_large = key;
    q.command = command;
    q.args = std::move(args);
    detail::label_key(m, q);
    return q;
}

Prompt presence_prompt(const Moment& m)
{
    Prompt q = simple(m, Prompt::Kind::choose, "presence", "Is the fault showing now? Look yourself.", "Showing now?", "presence");
    q.choices = {{"showing", "Showing"}, {"absent", "Not showing"}, {"unknown", "Can\u2019t tell yet"}};
    q.verb = "look";
    q.label = "showing";
    return q;
}

Prompt cautions_prompt(const Moment& m)
{
    Prompt q = simple(m, Prompt::Kind::act, "cautions", "Read the warnings before you touch the aircraft.", "Cautions read", "cautions_read");
    for (const auto& h : m.p.installation.cautions) q.before.push_back({h.word, h.says.in()});
    q.verb = "read";
    return q;
}

Prompt asked_in(const Moment& m, const std::string& stage)
{
    for (const auto& step : m.p.installation.steps)
        if (step.stage == stage && !m.s.done.contains(step.id)) return detail::step_prompt(m, step);
    for (const auto& check : m.p.installation.checks)
        if (check.stage == stage && !m.s.answer(check.id)) return check_prompt(m.p, m.s, m.c, check);
    return nothing;
}

Prompt write_up(const Moment& m)
{
    const Prompt q = asked_in(m, "write_up");
    if (q.kind != Prompt::Kind::none) return q;
    return m.s.presence.empty() ? presence_prompt(m) : cautions_prompt(m);
}

Prompt finding_prompt(const Moment& m, const Reasoning& r)
{
    const auto& advice = r.advice;
    std::string kind = "not_proven";
    if (advice.kind == isolate::AdviceKind::isolated) kind = "isolated";
    if (advice.kind == isolate::AdviceKind::none_found) kind = "none_found";
    const std::string words = kind == "not_proven" ? "not proven" : detail::cause_words(m.p, advice.cause);
    json::Value missing(json::Array{});
    for (const auto& gate : advice.missing_gates) missing.push(gate);
    Prompt q = simple(m, Prompt::Kind::act, "finding", "Finding: " + words + ".", "Record finding: " + words, "finding",
        object({{"advice", kind}, {"class", kind == "not_proven" ? "unlisted" : advice.cause_class}, {"cause", kind == "not_proven" ? "" : advice.cause},
            {"p", fixed_text(advice.p, 4)}, {"missing", missing}, {"algorithm", "isolate/1"}}));
    if (kind == "not_proven") q.args.at("leads") = advice.cause_class; // what `p` is of
    q.verb = "finding";
    q.hold = true;
    q.key_small.clear();
    detail::label_key(m, q);
    return q;
}

bool ended(const Reasoning& r)
{
    return r.advice.kind == isolate::AdviceKind::isolated || r.advice.kind == isolate::AdviceKind::none_found;
}

bool waits_for_unit(const Condition& c)
{
    using Kind = Condition::Kind;
    return c.kind == Kind::aligned || c.kind == Kind::warm_up || c.kind == Kind::settled || std::any_of(c.parts.begin(), c.parts.end(), waits_for_unit);
}

/// While power does not hold, a check that waits for the unit would wait for ever.
bool possible(const Moment& m, const profile::Check& check)
{
    return !standing(m.p, m.s, check.id) && !(m.s.supply_unsteady() && waits_for_unit(check.needs));
}

/// A check that an open gate names: not asked yet, or last asked of the part that went. What the line answers nobody is asked.
bool opens_gate(const Moment& m, const profile::Check& check, std::size_t gates_from)
{
    using How = profile::Check::How;
    const Answer* a = m.s.answer(check.id);
    const bool by_unit = check.how == How::self_test || check.how == How::stored_fault || check.how == How::page;
    const bool of_before = a && static_cast<std::size_t>(a - m.s.answers.data()) < gates_from;
    return !by_unit && (of_before ? !(m.s.supply_unsteady() && waits_for_unit(check.needs)) : possible(m, check));
}

/// Of Isolate, or asked before it of what was repaired in vain since.
bool may_come(const Moment& m, const profile::Check& check)
{
    return check.stage == "isolate" || m.s.answer(check.id);
}

bool touches(const profile::Check& check, const std::string& place)
{
    return std::find(check.disturbs_at.begin(), check.disturbs_at.end(), place) != check.disturbs_at.end();
}

/// A plug that is taken off may be cured by it: where it is a suspect, it is moved before, as long as that is worth its minutes.
const profile::Check* moved_first(const Moment& m, const Reasoning& r, const profile::Check& check)
{
    constexpr double suspect = 0.1;
    if (check.disturbs < 2) return nullptr;
    for (const auto& next : r.next) {
        const auto* flex = profile::find(m.p.installation.checks, next.check);
        if (!flex || flex->how != profile::Check::How::flex || !possible(m, *flex)) continue;
        const auto spoiled = [&](const isolate::PlaceLikelihood& at) { return at.p >= suspect && touches(*flex, at.place) && touches(check, at.place); };
        if (std::any_of(r.posterior.places.begin(), r.posterior.places.end(), spoiled)) return flex;
    }
    return nullptr;
}

/// A gate's open check is the next one as soon as the likelihood is there; else the check worth most per minute.
const profile::Check* next_check(const Moment& m, const Reasoning& r)
{
    if (const auto* begun = profile::find(m.p.installation.checks, m.c.toward); begun && possible(m, *begun)) return begun;
    if (r.advice.p >= m.p.installation.decision.threshold)
        for (const auto& gate : r.advice.gates)
            for (const auto& id : gate.missing)
                if (const auto* check = profile::find(m.p.installation.checks, id); check && opens_gate(m, *check, r.gates_from)) return check;
    for (const auto& next : r.next)
        if (const auto* check = profile::find(m.p.installation.checks, next.check); check && may_come(m, *check) && possible(m, *check)) {
            const auto* first = moved_first(m, r, *check);
            return first ? first : check;
        }
    return nullptr;
}

Prompt isolate_prompt(const Moment& m, const Reasoning& r)
{
    if (!r.known) return nothing;
    if (ended(r)) return finding_prompt(m, r);
    if (const auto* check = next_check(m, r)) {
        Prompt q = check_prompt(m.p, m.s, m.c, *check);
        q.toward = check->id;
        return q;
    }
    return finding_prompt(m, r);
}

Prompt part_prompt(const Moment& m, const profile::Repair& repair)
{
    Prompt q = simple(m, Prompt::Kind::part, "part:" + repair.id, "Write the part off and the part on.", "Part off, part on", "part");
    q.verb = "part";
    q.label = repair.part;
    q.detail = repair.part;
    return q;
}

/// True where the act of the step stands already: a panel that the isolation left open is not opened again.
bool stands(const Moment& m, const profile::Step& step)
{
    using Kind = Condition::Kind;
    const std::string of = step.of.substr(step.of.find(':') == std::string::npos ? 0 : step.of.find(':') + 1);
    switch (step.kind) {
    case profile::StepKind::open_panel: return holds(m.p, m.s, m.c, {Kind::opened, of, "open", {}});
    case profile::StepKind::disconnect: return holds(m.p, m.s, m.c, {Kind::plug, of, "disconnected", {}});
    case profile::StepKind::power_off: return holds(m.p, m.s, m.c, {Kind::power, "", "off", {}});
    default: return false;
    }
}

/// The first step after the last one done that does not stand already.
const profile::Step* next_step(const Moment& m, const profile::Repair& repair)
{
    const auto last = std::find_if(repair.steps.rbegin(), repair.steps.rend(), [&](const auto& step) { return m.s.done.contains(step.id); });
    const auto next = std::find_if(last.base(), repair.steps.end(), [&](const auto& step) { return !stands(m, step); });
    return next == repair.steps.end() ? nullptr : &*next;
}

Prompt put_right(const Moment& m)
{
    const auto* cause = profile::find(m.p.installation.causes, m.s.finding_cause);
    const auto* repair = cause ? profile::find(m.p.installation.repairs, cause->repair) : nullptr;
    if (!repair) return nothing;
    if (const auto* step = next_step(m, *repair)) return detail::step_prompt(m, *step);
    if (repair->part_change && !m.s.off) return part_prompt(m, *repair);
    Prompt q = simple(m, Prompt::Kind::act, "repair:" + repair->id, repair->say.in(), repair->say.in(), "repair",
        object({{"repair", repair->id}, {"act", repair->act}, {"cause", cause->id}, {"words", repair->say.in()}}));
    q.verb = "repair";
    q.label = repair->id;
    q.hold = true;
    for (const auto& h : repair->before) q.before.push_back({h.word, h.says.in()});
    q.key_small.clear();
    detail::label_key(m, q);
    return q;
}

/// Turned to the heading, settled, sighted.
Prompt sight_prompt(const Moment& m, double heading, int wanted)
{
    using Kind = Condition::Kind;
    for (const Condition& need : {Condition{Kind::power, "", "on", {}}, Condition{Kind::link, "", "", {}}, Condition{Kind::warm_up, "", "", {}}})
        if (!holds(m.p, m.s, m.c, need)) return detail::meet(m, need);
    const int have = static_cast<int>(m.s.swing.size()), to = static_cast<int>(std::lround(heading)) % 360;
    const std::string figures = std::to_string(1000 + to).substr(1), say = "Turn to " + figures + "\u00B0, chock, let it settle. Sight it.";
    const std::string count = have < wanted ? " of " + std::to_string(wanted) : ", added";
    Prompt q = simple(m, Prompt::Kind::swing_point, "swing:" + std::to_string(have + 1), say, "Point " + std::to_string(have + 1) + count, "swing_point");
    q.verb = "turn";
    q.label = "aircraft";
    q.to = std::to_string(to);
    q.unit = "deg";
    q.meter = "degrees";
    return q;
}

Prompt swing_again_prompt(const Moment& m, const std::string& result)
{
    const std::string why = result == "fail" ? "Outside tolerance." : "Not proven.";
    Prompt q = simple(m, Prompt::Kind::act, "swing:again", why + " Correct by the manual, swing again.", "Corrected: swing again", "did",
        object({{"verb", "swing_again"}, {"of", "swing"}, {"words", "corrected by the manual, swing again"}}));
    q.verb = "correct";
    q.label = "swing";
    q.hold = true;
    q.key_small.clear();
    detail::label_key(m, q);
    return q;
}

Prompt swing_prompt(const Moment& m, const std::string& owed)
{
    const auto& swing = m.p.installation.swing;
    const int wanted = swing ? swing->headings : 8;
    const int have = static_cast<int>(m.s.swing.size());
    if (have >= wanted) {
        Prompt q = simple(m, Prompt::Kind::act, "swing:result", "Work out the swing.", "Work out the swing", "swing_result");
        q.verb = "compute";
        if (m.s.swing_result.empty()) return q;
        const std::string result = m.s.swing_result.at("result");
        const auto next = m.s.swing_result.find("next_deg");
        if (result == "not_proven" && next != m.s.swing_result.end() && have < 2 * wanted) return sight_prompt(m, number_of(next->second).value_or(0), wanted);
        if (result == "fail" || result == "not_proven") return swing_again_prompt(m, result);
        Prompt accept = simple(m, Prompt::Kind::act, "owed:" + owed, "Swing: " + result + ". Fit the card.", "Accept swing, write card", "owed",
            object({{"owed", owed}, {"result", "swing " + result}, {"words", "swing, " + result}}));
        accept.verb = "accept";
        accept.ready = result == "pass";
        if (!accept.ready) accept.missing = "a swing that passes";
        detail::label_key(m, accept);
        return accept;
    }
    return sight_prompt(m, 360.0 * have / wanted, wanted);
}

std::string result_words(const Moment& m, const profile::Check& check, const Answer& a)
{
    return a.outcome.empty() ? a.number + " " + check.unit : detail::outcome_words(m.p, check.id, a.outcome);
}

/// What was repaired was not it: no display is released, the isolation goes on.
Prompt reopen_prompt(const Moment& m, const profile::Check& check)
{
    Prompt q = simple(m, Prompt::Kind::act, "reopen", "It still fails: " + check.title.in() + ". Isolate again.", "Isolate again", "reopen", object({{"check", check.id}}));
    q.verb = "reopen";
    q.detail = "What was done stays in the record and stays owed.";
    return q;
}

/// A test that ends well after the power was off and on again takes this back by itself.
Prompt own_test_prompt(const Moment& m)
{
    std::string bits;
    for (const auto& bit : m.s.self_test_failed) {
        const auto said = m.p.unit.self_test.find(bit);
        bits += (bits.empty() ? "" : ", ") + (said == m.p.unit.self_test.end() ? bit : said->second.says.in());
    }
    const std::string of = bits.empty() ? "" : ": " + bits;
    Prompt q = simple(m, Prompt::Kind::act, "reopen", "The power-up test fails" + of + ". Isolate again.", "Isolate again", "reopen", object({{"check", "self_test"}}));
    q.verb = "reopen";
    q.detail = "What was done stays in the record and stays owed.";
    return q;
}

Prompt defer_prompt(const Moment& m)
{
    Prompt q = simple(m, Prompt::Kind::act, "defer", "Not proved here. Defer it by name, or hand it over.", "Record the deferral", "defer",
        object({{"item", m.s.complaint}, {"category", "C"}, {"authority", ""}, {"placard", ""}}));
    q.verb = "defer";
    q.hold = true;
    q.key_small.clear();
    detail::label_key(m, q);
    return q;
}

bool failed_before(const JobState& s, const OwedState& o, const profile::Check& check)
{
    const auto repaired = s.answers.begin() + std::min(o.answers_before, static_cast<std::int64_t>(s.answers.size()));
    return std::any_of(s.answers.begin(), repaired, [&](const Answer& a) { return a.check == check.id && a.outcome != not_done && !is_good(check, a); });
}

/// What may follow an owed test that was not passed, the likeliest first: a slip or a loose fitting is put right and tested again. What
/// fails twice was not cured where it failed before the repair too; else it is a defect of its own, which goes by name.
std::vector<Prompt> unproved_ways(const Moment& m, const OwedState& o, const profile::Check& check)
{
    constexpr int enough = 2;
    const Answer* a = owed_answer(m.s, o, check);
    Prompt again = check_prompt(m.p, m.s, m.c, check);
    if (again.id == "check:" + check.id) again.detail = "Not good: " + result_words(m, check, *a) + ". Put right and repeat.";
    std::vector<Prompt> ways{again, defer_prompt(m)};
    if (m.s.repaired) ways.insert(failed_before(m.s, o, check) ? ways.begin() + 1 : ways.end(), reopen_prompt(m, check));
    if (owed_in_vain(m.s, o, check) >= enough) std::rotate(ways.begin(), ways.begin() + 1, ways.end());
    return ways;
}

Prompt owed_prompt(const Moment& m, const OwedState& o)
{
    const auto* row = profile::find(m.p.installation.owed, o.id);
    if (!row) return nothing;
    if (row->prove == "swing") return swing_prompt(m, o.id);
    std::string result = "seen";
    if (const auto* check = owed_check(m.p, o)) {
        const Answer* a = owed_answer(m.s, o, *check);
        if (!a) return check_prompt(m.p, m.s, m.c, *check);
        if (!is_good(*check, *a)) return unproved_ways(m, o, *check).front();
        result = result_words(m, *check, *a);
    }
    Prompt q = simple(m, Prompt::Kind::act, "owed:" + o.id, row->says.in(), row->says.in(), "owed", object({{"owed", o.id}, {"result", result}, {"words", row->says.in()}}));
    q.verb = "look";
    q.label = row->id;
    q.detail = row->rule + (row->who.empty() ? "" : " \u00B7 " + row->who);
    return q;
}

Prompt prove(const Moment& m)
{
    if (const auto* check = fix_check(m.p, m.s); check && !m.s.answer_after_repair(check->id)) {
        // A unit that tests itself or aligns proves nothing: in its working condition first.
        using Kind = Condition::Kind;
        for (const Condition& need : {Condition{Kind::power, "", "on", {}}, Condition{Kind::link, "", "good", {}}, Condition{Kind::self_test, "", "ended", {}}, Condition{Kind::aligned, "", "over", {}}})
            if (!holds(m.p, m.s, m.c, need)) return detail::meet(m, need);
        Prompt q = check_prompt(m.p, m.s, m.c, *check);
        if (q.id == "check:" + check->id) q.detail = "Repeat of the check that failed.";
        return q;
    }
    if (!fix_proved(m.p, m.s)) return reopen_prompt(m, *fix_check(m.p, m.s));
    if (own_test_failed(m.s)) return own_test_prompt(m);
    for (const auto& o : m.s.owed)
        if (!o.closed) return owed_prompt(m, o);
    return defer_prompt(m);
}

/// Where an owed test, or the unit's own, was not passed: the ways that the large key does not name.
std::vector<Prompt> prove_others(const Moment& m)
{
    if (own_test_failed(m.s) && fix_proved(m.p, m.s)) {
        Prompt q = defer_prompt(m);
        q.stage = Stage::prove;
        q.detail = q.key_large;
        return {q};
    }
    const auto open = std::find_if(m.s.owed.begin(), m.s.owed.end(), [](const OwedState& o) { return !o.closed; });
    const auto* check = open == m.s.owed.end() || !fix_proved(m.p, m.s) ? nullptr : owed_check(m.p, *open);
    const Answer* a = check ? owed_answer(m.s, *open, *check) : nullptr;
    if (!a || is_good(*check, *a)) return {};
    auto ways = unproved_ways(m, *open, *check);
    ways.erase(ways.begin());
    for (Prompt& q : ways) {
        q.stage = Stage::prove;
        if (q.verb != "reopen" && q.verb != "defer") q.detail = check->title.in();
        else q.detail = q.key_large;
    }
    return ways;
}

Condition closing(const OpenItem& item)
{
    const auto colon = item.id.find(':');
    const std::string kind = item.id.substr(0, colon), id = item.id.substr(colon + 1);
    using Kind = Condition::Kind;
    if (kind == "breaker") return {Kind::breaker, id, "in", {}};
    if (kind == "plug") return {Kind::plug, id, "connected", {}};
    if (kind == "panel") return {Kind::opened, id, "closed", {}};
    if (kind == "session") return {Kind::not_, "", "", {{Kind::session, id, "", {}}}};
    return {Kind::fitted, id, "no", {}};
}

Prompt sign_prompt(const Moment& m, const std::string& meaning)
{
    const bool worked = meaning == "worked", released = meaning == "released";
    const std::string words = worked ? "Work done as written" : released ? "Approved for return to service, for the work performed" : "Looked at and found right";
    Prompt q = simple(m, Prompt::Kind::sign, "sign:" + meaning, words + ". With your own PIN.", worked ? "Sign the work" : released ? "Sign the release" : "Sign as inspector", "sign",
        object({{"meaning", meaning}, {"words", words}}));
    q.verb = "sign";
    q.label = meaning;
    q.hold = true;
    q.key_small.clear();
    detail::label_key(m, q);
    return q;
}

Prompt seen_prompt(const Moment& m, const char* id, const char* say, const char* key)
{
    Prompt q = simple(m, Prompt::Kind::act, std::string("close:") + id, say, key, "did", object({{"verb", "seen"}, {"of", id}, {"step", std::string("close.") + id}, {"words", key}}));
    q.verb = "look";
    q.label = id;
    return q;
}

/// The last look along the panel: all in, or the one that is out after all, which opens it again.
Prompt breakers_prompt(const Moment& m)
{
    Prompt q = seen_prompt(m, "breakers", "Look along the panel: is every breaker in?", "Every breaker seen in");
    q.kind = Prompt::Kind::choose;
    q.choices.emplace_back(all_in, "Every one is in");
    for (const auto& b : m.p.installation.breakers) q.choices.emplace_back(b.id, b.label + " is out");
    return q;
}

Prompt close(const Moment& m)
{
    if (m.s.closed) return nothing;
    for (const OpenItem& item : open_items(m.p, m.s)) return detail::meet(m, closing(item));
    if (!m.s.power.certainly("on") && !m.s.done.contains("close.displays")) return detail::act(m, "power", "ground_power", "on");
    if (!m.s.done.contains("close.breakers")) return breakers_prompt(m);
    if (!m.s.done.contains("close.displays")) return seen_prompt(m, "displays", "Look at both displays: normal, no messages.", "Displays normal, no messages");
    if (!m.s.done.contains("close.tools")) return seen_prompt(m, "tools", "Count the tools, adapters and tags.", "Tools counted, all here");
    for (const std::string& meaning : signs_needed(m.p, m.s))
        if (!m.s.signs.contains(meaning)) return sign_prompt(m, meaning);
    Prompt q = simple(m, Prompt::Kind::act, "close", "Close the job.", "Close the job", "close");
    q.verb = "close";
    q.hold = true;
    q.key_small.clear();
    detail::label_key(m, q);
    return q;
}

} // namespace

Prompt check_prompt(const profile::Profile& p, const JobState& s, const Context& c, const profile::Check& check)
{
    const Moment m{p, s, c};
    if (!check.panel.empty() && !holds(p, s, c, {Condition::Kind::opened, check.panel, "open", {}})) return detail::meet(m, {Condition::Kind::opened, check.panel, "open", {}});
    if (const Condition* unmet = first_unmet(p, s, c, check.needs)) return detail::meet(m, *unmet);
    return detail::ask_check(m, check);
}

Prompt next_prompt(const profile::Profile& p, const JobState& s, const Context& c, const Reasoning& r)
{
    const Moment m{p, s, c};
    const Stage stage = stage_of_state(p, s);
    Prompt q;
    switch (stage) {
    case Stage::write_up: q = write_up(m); break;
    case Stage::as_found: q = asked_in(m, "as_found"); break;
    case Stage::make_ready: q = asked_in(m, "make_ready"); break;
    case Stage::isolate: q = isolate_prompt(m, r); break;
    case Stage::put_right: q = put_right(m); break;
    case Stage::prove: q = prove(m); break;
    case Stage::close: q = close(m); break;
    }
    q.stage = stage;
    return q;
}

std::vector<Prompt> other_prompts(const profile::Profile& p, const JobState& s, const Context& c, const Reasoning& r)
{
    std::vector<Prompt> others;
    const Stage stage = stage_of_state(p, s);
    if (stage == Stage::prove) return prove_others({p, s, c});
    if (stage != Stage::isolate) return others;
    for (const auto& next : r.next) {
        const auto* check = profile::find(p.installation.checks, next.check);
        if (!check || !may_come({p, s, c}, *check) || standing(p, s, next.check) || others.size() >= 5) continue;
        Prompt q = check_prompt(p, s, c, *check);
        q.stage = Stage::isolate;
        q.detail = check->title.in();
        others.push_back(q);
    }
    if (!others.empty()) others.erase(others.begin());
    return others;
}

Command command_of(const Prompt& q, const std::string& answer, const json::Value& extra)
{
    Command command;
    command.kind = q.command;
    command.prompt = q.id;
    command.args = q.args.is_object() ? q.args : json::Value(json::Object{});
    for (const auto& [key, value] : extra.as_object()) command.args.at(key) = value;
    if (answer.empty()) return command;
    if (q.id == "close:breakers") {
        if (answer != all_in) command.args = object({{"verb", "breaker"}, {"of", answer}, {"to", "pulled"}, {"words", "found out at the last look"}});
    }
    else if (q.command == "presence") command.args.at("is") = answer;
    else if (q.kind == Prompt::Kind::swing_point) command.args.at("reference") = answer;
    else if (q.kind == Prompt::Kind::number) command.args.at("number") = answer;
    else if (q.command == "answer") command.args.at("outcome") = answer;
    return command;
}

} // namespace chockside::job
