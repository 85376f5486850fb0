#include <core/job/deferral.h>
#include <core/job/detail/describe.h>
#include <core/job/detail/prompts.h>
#include <core/job/number.h>
#include <core/job/open_items.h>
#include <core/job/plan.h>
#include <core/job/presence.h>
#include <core/job/silent.h>
#include <core/job/standing.h>

#include <algorithm>

namespace chockside::job {

namespace {

using detail::simple;

using detail::Moment;
using profile::Condition;

const Prompt nothing{};
constexpr const char* all_in = "all_in";
constexpr const char* close_tripped = "close:tripped";

json::Value object(std::initializer_list<std::pair<const char*, json::Value>> members)
{
    json::Value v(json::Object{});
    for (const auto& [key, value] : members) v.at(key) = value;
    return v;
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
        if (step.stage == stage && !m.s.done.contains(step.id) && !left_out(m.s, step)) return detail::step_prompt(m, step);
    for (const auto& check : m.p.installation.checks)
        if (check.stage == stage && !m.s.answer(check.id) && !left_out(m.s, check)) return check_prompt(m.p, m.s, m.c, check);
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
    return !standing(m.p, m.s, check.id) && !left_out(m.s, check) && !(m.s.supply_unsteady() && waits_for_unit(check.needs));
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

/// What a person took goes before what is proposed, a finding too.
const profile::Check* taken_check(const Moment& m)
{
    const auto* check = profile::find(m.p.installation.checks, m.c.taken);
    return check && possible(m, *check) ? check : nullptr;
}

Prompt toward(const Moment& m, const profile::Check& check)
{
    Prompt q = check_prompt(m.p, m.s, m.c, check);
    if (q.id == "check:" + check.id && needs_showing(check) && presence_is_old(m.s, m.c)) q = presence_prompt(m);
    q.toward = check.id;
    return q;
}

Prompt isolate_prompt(const Moment& m, const Reasoning& r)
{
    if (!r.known) return nothing;
    if (const auto* taken = taken_check(m)) return toward(m, *taken);
    if (ended(r)) return finding_prompt(m, r);
    const auto* check = next_check(m, r);
    return check ? toward(m, *check) : finding_prompt(m, r);
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

/// What a repair warns of stands before its first act and at the work itself.
void warn(const profile::Repair& repair, Prompt& q)
{
    std::vector<HazardLine> lines;
    for (const auto& h : repair.before) lines.push_back({h.word, h.says.in()});
    q.before.insert(q.before.begin(), lines.begin(), lines.end());
}

bool begun_on(const Moment& m, const profile::Repair& repair)
{
    return std::any_of(repair.steps.begin(), repair.steps.end(), [&](const auto& step) { return m.s.done.contains(step.id); });
}

Prompt repair_step(const Moment& m, const profile::Repair& repair, const profile::Step& step)
{
    Prompt q = detail::step_prompt(m, step);
    if (!begun_on(m, repair) || (step.kind == profile::StepKind::do_ && q.args["step"].as_text() == step.id)) warn(repair, q);
    return q;
}

/// A breakout or jumper that is still in the circuit comes off first.
std::optional<Prompt> unrig(const Moment& m)
{
    const auto* item = in_circuit(m.p, m.s);
    return item ? std::optional(detail::meet(m, {Condition::Kind::fitted, item->id, "no", {}})) : std::nullopt;
}

Prompt put_right(const Moment& m)
{
    const auto* cause = profile::find(m.p.installation.causes, m.s.finding_cause);
    const auto* repair = cause ? profile::find(m.p.installation.repairs, cause->repair) : nullptr;
    if (!repair) return nothing;
    const bool begun = begun_on(m, *repair);
    const auto* step = next_step(m, *repair);
    if (!begun || !step)
        if (auto off = unrig(m)) return *off;
    if (step) return repair_step(m, *repair, *step);
    if (repair->part_change && !m.s.off) return part_prompt(m, *repair);
    Prompt q = simple(m, Prompt::Kind::act, "repair:" + repair->id, repair->say.in(), repair->say.in(), "repair",
        object({{"repair", repair->id}, {"act", repair->act}, {"cause", cause->id}, {"words", repair->say.in()}}));
    q.verb = "repair";
    q.label = repair->id;
    q.hold = true;
    warn(*repair, q);
    q.key_small.clear();
    detail::label_key(m, q);
    return q;
}

/// Nothing in the circuit that does not belong there, and its feeds in: only so a look shows what the crew will see.
std::optional<Prompt> as_flown(const Moment& m)
{
    if (auto off = unrig(m)) return off;
    for (const auto& plug : m.p.installation.plugs)
        for (const auto& feed : plug.fed_by)
            if (const Condition in{Condition::Kind::breaker, feed, "in", {}}; !holds(m.p, m.s, m.c, in)) return detail::meet(m, in);
    return std::nullopt;
}

std::string result_words(const Moment& m, const profile::Check& check, const Answer& a)
{
    return a.outcome.empty() ? a.number + " " + check.unit : detail::outcome_words(m.p, check.id, a.outcome);
}

/// What was repaired was not it: no display is released, the isolation goes on. `check`: what said so.
Prompt reopened(const Moment& m, const std::string& say, const std::string& check)
{
    Prompt q = simple(m, Prompt::Kind::act, "reopen", say, "Isolate again", "reopen", object({{"check", check}}));
    q.verb = "reopen";
    q.detail = "What was done stays in the record and stays owed.";
    return q;
}

Prompt reopen_prompt(const Moment& m, const profile::Check& check)
{
    return reopened(m, "It still fails: " + check.title.in() + ". Isolate again.", check.id);
}

std::string gate_words(const Moment& m, const std::string& id)
{
    const auto* gate = profile::find(m.p.installation.gates, id);
    return gate ? gate->says.in() : id;
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
    return reopened(m, "The power-up test fails" + of + ". Isolate again.", "self_test");
}

/// What may still open a gate before the deferral is asked first; with none left it waits.
Prompt defer_prompt(const Moment& m)
{
    const auto gates = deferral_gates(m.p, m.s);
    for (const auto& gate : gates)
        for (const auto& id : gate.missing)
            if (const auto* check = profile::find(m.p.installation.checks, id)) {
                Prompt q = check_prompt(m.p, m.s, m.c, *check);
                if (q.id == "check:" + id) q.detail = "Before a deferral: " + gate_words(m, gate.id) + ".";
                return q;
            }
    const bool nothing_done = m.s.finding_kind == "isolated" && !m.s.repaired;
    const std::string why = nothing_done ? "Found, and no repair is written for it." : "Not proved here.";
    Prompt q = simple(m, Prompt::Kind::text, "defer", why + " Defer it by name, or hand it over.", "Record the deferral", "defer");
    q.verb = "defer";
    q.fields = deferral_fields();
    q.hold = true;
    q.ready = gates.empty();
    if (!q.ready) q.missing = gate_words(m, gates.front().id);
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

/// Nobody resets what tripped without knowing why: the reason is written first.
Prompt trip_prompt(const Moment& m, const OwedState& o, const profile::Breaker& b)
{
    Prompt q = simple(m, Prompt::Kind::text, "owed:" + o.id, b.label + " tripped. Find out why before it is pushed.", "Record why it tripped", "owed",
        object({{"owed", o.id}, {"words", b.label + " tripped, and why"}}));
    q.fields = {{"result", "Why it tripped, what was done"}};
    q.verb = "look";
    q.label = b.label;
    q.detail = "It stays out, and nothing is released, until then.";
    return q;
}

Prompt owed_prompt(const Moment& m, const OwedState& o)
{
    if (const auto* b = tripped_breaker(m.p, o)) return trip_prompt(m, o, *b);
    const auto* row = profile::find(m.p.installation.owed, o.id);
    if (!row) return nothing;
    const auto* check = owed_check(m.p, o);
    if (!check)
        if (auto first = as_flown(m)) return *first;
    if (const Condition* unmet = first_unmet(m.p, m.s, m.c, row->needs)) return detail::meet(m, *unmet);
    if (row->prove == "swing") return detail::swing_prompt(m, o.id);
    std::string result = "seen";
    if (check) {
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

/// Where a deferral waits: the checks that its gate looks at, to be done again while the fault shows.
std::vector<Prompt> gate_again(const Moment& m)
{
    std::vector<Prompt> again;
    if (const Prompt q = prove(m); q.id != "defer" || q.ready) return again;
    for (const auto& gate : deferral_gates(m.p, m.s))
        for (const auto* check : gate_checks(m.p, gate.id)) {
            Prompt q = check_prompt(m.p, m.s, m.c, *check);
            q.stage = Stage::prove;
            q.detail = check->title.in();
            again.push_back(q);
        }
    return again;
}

/// Headings that may be sighted again, but for the one that is asked now.
std::vector<Prompt> swing_ways(const Moment& m)
{
    auto ways = detail::swing_others(m);
    const std::string now = prove(m).id;
    std::erase_if(ways, [&](const Prompt& q) { return q.id == now; });
    for (Prompt& q : ways) {
        q.stage = Stage::prove;
        q.detail = q.key_large;
    }
    return ways;
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
    const auto* row = open == m.s.owed.end() || !fix_proved(m.p, m.s) ? nullptr : profile::find(m.p.installation.owed, open->id);
    if (row && row->prove == "swing") return swing_ways(m);
    const auto* check = open == m.s.owed.end() || !fix_proved(m.p, m.s) ? nullptr : owed_check(m.p, *open);
    const Answer* a = check ? owed_answer(m.s, *open, *check) : nullptr;
    if (!a || is_good(*check, *a)) return gate_again(m);
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
    q.choices.emplace_back(close_tripped, "One has tripped");
    return q;
}

/// Until the job is closed: the last power-up may trip one, also after the last look.
Prompt tripped_prompt(const Moment& m)
{
    Prompt q = simple(m, Prompt::Kind::choose, close_tripped, "Which breaker tripped by itself?", "Which one tripped?", "did", object({{"verb", "breaker"}, {"to", "tripped"}, {"words", "found tripped at the last look"}}));
    for (const auto& b : m.p.installation.breakers) q.choices.emplace_back(b.id, b.label);
    q.verb = "look";
    q.label = "tripped";
    q.detail = "A breaker has tripped";
    q.stage = Stage::close;
    return q;
}

Prompt close(const Moment& m)
{
    if (m.s.closed) return nothing;
    for (const OwedState& o : m.s.owed)
        if (!o.closed && tripped_breaker(m.p, o)) return owed_prompt(m, o); // a deferral does not cover it
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

namespace {

bool waits_for_line(const Moment& m, const Prompt& next)
{
    return !m.c.live.good && (next.verb == "link" || next.verb == "request" || next.verb == "session" || next.kind == Prompt::Kind::wait);
}

/// Where the next thing waits for the line: a dead unit is worked on all the same.
std::optional<Prompt> silent_prompt(const Moment& m, const Prompt& next)
{
    if (m.s.silent || !waits_for_line(m, next)) return {};
    Prompt q = simple(m, Prompt::Kind::act, "unit:silent", "Port, adapter and cable are good, and nothing comes. Power at the unit?", "Go on: nothing comes", "did",
        object({{"verb", silent_verb}, {"of", "unit"}, {"words", "nothing comes from the unit: what only it can tell is left out until it speaks"}}));
    q.detail = "Nothing comes from the unit";
    q.verb = "look";
    q.label = "unit";
    q.hold = true;
    q.key_small.clear();
    detail::label_key(m, q);
    q.stage = next.stage;
    return q;
}

Prompt staged(Prompt q, const std::string& detail)
{
    q.stage = Stage::prove;
    q.detail = detail;
    return q;
}

/// What stays silent proves nothing, and need not be waited for: what was repaired was not it, or what is owed goes by name.
void add_silent_ways(const Moment& m, std::vector<Prompt>& others)
{
    const auto add = [&](Prompt q, const std::string& detail) {
        if (std::none_of(others.begin(), others.end(), [&](const Prompt& other) { return other.id == q.id; })) others.push_back(staged(std::move(q), detail));
    };
    const std::string silent = "Nothing comes from the unit";
    add(reopened(m, silent + ". Isolate again.", "link"), silent);
    Prompt put_off = defer_prompt(m);
    if (!waits_for_line(m, put_off)) add(std::move(put_off), silent);
}

std::vector<Prompt> isolate_others(const Moment& m, const Reasoning& r)
{
    constexpr std::size_t most = 4;
    std::vector<Prompt> others;
    const std::string now = isolate_prompt(m, r).toward;
    for (const auto& next : r.next) {
        const auto* check = profile::find(m.p.installation.checks, next.check);
        if (!check || check->id == now || !may_come(m, *check) || !possible(m, *check) || others.size() >= most) continue;
        Prompt q = check_prompt(m.p, m.s, m.c, *check);
        q.toward = check->id;
        q.stage = Stage::isolate;
        q.detail = check->title.in();
        others.push_back(q);
    }
    Prompt presence = presence_prompt(m);
    presence.stage = Stage::isolate;
    presence.detail = presence.key_large;
    others.push_back(presence);
    return others;
}

} // namespace

std::vector<Prompt> other_prompts(const profile::Profile& p, const JobState& s, const Context& c, const Reasoning& r)
{
    const Moment m{p, s, c};
    const Stage stage = stage_of_state(p, s);
    std::vector<Prompt> others;
    if (stage == Stage::prove) others = prove_others(m);
    if (stage == Stage::isolate) others = isolate_others(m, r);
    if (stage == Stage::close && !s.closed) others = {tripped_prompt(m)};
    if (stage == Stage::write_up || stage == Stage::close || stage == Stage::put_right) return others;
    const Prompt next = next_prompt(p, s, c, r);
    if (auto silent = silent_prompt(m, next)) others.push_back(std::move(*silent));
    if (stage == Stage::prove && s.silent && waits_for_line(m, next)) add_silent_ways(m, others);
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
    else if (q.id == close_tripped) command.args.at("of") = answer;
    else if (q.command == "presence") command.args.at("is") = answer;
    else if (q.kind == Prompt::Kind::swing_point) command.args.at("reference") = answer;
    else if (q.kind == Prompt::Kind::number) command.args.at("number") = answer;
    else if (q.command == "answer") command.args.at("outcome") = answer;
    return command;
}

} // namespace chockside::job
