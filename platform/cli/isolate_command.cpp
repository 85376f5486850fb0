#include <platform/cli/isolate_command.h>

#include <core/base/json.h>
#include <core/isolate/explain.h>
#include <core/job/isolate_model.h>
#include <platform/cli/command.h>

#include <CLI/CLI.hpp>

#include <cstdio>
#include <iostream>

namespace chockside::cli {

namespace {

using json::Value;

struct Options {
    std::string profile, evidence, complaint;
};

/// {"complaint": "heading_flag", "presence": "showing", "evidence": [{"check", "outcome" or "number", "id"?, "presence"?, "disturbed"?}],
/// "situation": {"power": "on", "warm": true, "open": ["rack"], "people": 2, "minutes_left": 90}}
struct Case {
    std::string complaint;
    isolate::Presence presence = isolate::Presence::unknown;
    std::vector<isolate::Evidence> evidence;
    isolate::Situation situation;
};

isolate::Presence presence_of(const std::string& word, isolate::Presence other)
{
    if (word == "showing") return isolate::Presence::showing;
    if (word == "absent") return isolate::Presence::absent;
    return word == "unknown" ? isolate::Presence::unknown : other;
}

isolate::Evidence evidence_of(const Value& v, std::size_t at, isolate::Presence presence)
{
    isolate::Evidence e;
    e.check = v["check"].as_text();
    e.id = v.has("id") ? v["id"].as_text() : std::to_string(at + 1) + ":" + e.check;
    e.outcome = v["outcome"].as_text();
    if (v["number"].is_number()) e.number = v["number"].as_double();
    e.certainty = v["certainty"].as_double(1);
    e.presence = presence_of(v["presence"].as_text(), presence);
    for (const Value& place : v["disturbed"].as_array()) e.disturbed_before.push_back(place.as_text());
    return e;
}

isolate::Situation situation_of(const Value& v, const std::vector<isolate::Evidence>& evidence)
{
    isolate::Situation s;
    s.power_on = v["power"].as_text() != "off";
    s.warm = v["warm"].as_bool();
    s.people = static_cast<int>(v["people"].as_int(2));
    s.minutes_left = v["minutes_left"].as_double(1e9);
    if (v["tools"].is_array()) {
        s.tools.emplace();
        for (const Value& tool : v["tools"].as_array()) s.tools->insert(tool.as_text());
    }
    for (const Value& panel : v["open"].as_array()) s.open_panels.insert(panel.as_text());
    for (const auto& e : evidence) s.answered.insert(e.check);
    return s;
}

Result<Case> read_case(const Options& o)
{
    const auto text = text_of(o.evidence);
    if (!text) return Unexpected{text.error()};
    auto value = json::read(*text);
    if (!value) return Unexpected{value.error()};
    if (!(*value)["evidence"].is_array()) return fail("missing_key", o.evidence, {{"key", "evidence"}, {"of", "evidence file"}});
    Case c;
    c.complaint = o.complaint.empty() ? (*value)["complaint"].as_text() : o.complaint;
    c.presence = presence_of((*value)["presence"].as_text(), isolate::Presence::unknown);
    for (const Value& v : (*value)["evidence"].as_array()) c.evidence.push_back(evidence_of(v, c.evidence.size(), c.presence));
    c.situation = situation_of((*value)["situation"], c.evidence);
    return c;
}

isolate::Costs costs_of(const profile::Profile& p, const std::string& complaint)
{
    const auto& d = p.installation.decision;
    const auto* kind = profile::find(p.installation.complaints, complaint);
    return {d.wrong_removal_min, d.missed_min, kind && kind->misleading ? d.misleading_min : 0, d.deferral_min};
}

const char* word_of(isolate::AdviceKind kind)
{
    static const char* const words[] = {"gather", "isolated", "none_found", "fits_nothing", "not_proven"};
    return words[static_cast<int>(kind)];
}

Value texts(const std::vector<std::string>& all)
{
    json::Array a;
    for (const auto& t : all) a.emplace_back(t);
    return a;
}

Value advice_json(const isolate::Advice& a)
{
    return json::Object{{"kind", word_of(a.kind)}, {"class", a.cause_class}, {"cause", a.cause}, {"p", a.p}, {"missing_gates", texts(a.missing_gates)},
        {"also", a.also}, {"removal_offered", a.removal_offered}};
}

Value factors_json(const std::vector<isolate::Factor>& all)
{
    json::Array a;
    for (const auto& f : all) {
        json::Object one{{"evidence", f.evidence}, {"check", f.check}, {"outcome", f.outcome}, {"times", f.times}};
        if (f.number) one.emplace("number", *f.number);
        a.emplace_back(std::move(one));
    }
    return a;
}

Value explanation_json(const isolate::Explanation& e)
{
    json::Array along, turns;
    for (const auto& l : e.along) along.emplace_back(json::Object{{"place", l.place}, {"p", l.p}});
    for (const auto& t : e.turns) turns.emplace_back(json::Object{{"check", t.check}, {"outcome", t.outcome}, {"chance", t.chance}, {"cause", t.cause}, {"p", t.p}});
    json::Object all{{"cause", e.cause}, {"p", e.p}, {"for", factors_json(e.in_favour)}, {"against", factors_json(e.against)}, {"along", along}, {"would_change", turns}};
    if (e.rivals)
        all.emplace("hardest_to_tell_apart", json::Object{{"first", e.rivals->first}, {"second", e.rivals->second}, {"p_first", e.rivals->p_first}, {"p_second", e.rivals->p_second},
            {"check", e.rivals->check}, {"bits", e.rivals->bits}});
    return all;
}

Value result_json(const isolate::Posterior& p, const isolate::Plan& plan, const isolate::Advice& advice, const isolate::Explanation& why)
{
    json::Array likelihood, classes, contributions, checks;
    for (const auto& l : p.likelihood) likelihood.emplace_back(json::Object{{"causes", texts(l.causes)}, {"p", l.p}});
    for (const auto& c : p.classes) classes.emplace_back(json::Object{{"class", c.cause_class}, {"p", c.p}});
    for (const auto& c : p.contributions)
        contributions.emplace_back(json::Object{{"evidence", c.evidence}, {"check", c.check}, {"cause", c.cause}, {"log_odds", c.log_odds}});
    for (const auto& n : plan.checks)
        checks.emplace_back(json::Object{{"check", n.check}, {"minutes", n.minutes}, {"own_minutes", n.own_minutes}, {"access_minutes", n.access_minutes},
            {"power_minutes", n.power_minutes}, {"warm_minutes", n.warm_minutes}, {"worth", n.worth}, {"why", n.why}, {"with", texts(n.with)}, {"then", n.then}});
    return json::Object{{"likelihood", likelihood}, {"classes", classes}, {"contributions", contributions}, {"misfit", p.misfit}, {"fits_nothing", p.fits_nothing},
        {"rest", p.rest}, {"next", checks}, {"next_left_out", plan.rest}, {"advice", advice_json(advice)}, {"explanation", explanation_json(why)}};
}

void print(const isolate::Posterior& p, const std::vector<isolate::NextCheck>& next, const isolate::Advice& advice, const isolate::Explanation& why)
{
    for (std::size_t i = 0; i < std::min<std::size_t>(6, p.likelihood.size()); ++i)
        std::printf("%5.1f %%  %s\n", 100 * p.likelihood[i].p, p.likelihood[i].causes.front().c_str());
    for (const auto& f : why.in_favour) std::printf("for %s: %s %s, x %.1f\n", why.cause.c_str(), f.check.c_str(), f.outcome.c_str(), f.times);
    for (const auto& f : why.against) std::printf("against %s: %s %s, x %.2f\n", why.cause.c_str(), f.check.c_str(), f.outcome.c_str(), f.times);
    if (why.rivals && !why.rivals->check.empty())
        std::printf("hardest to tell apart: %s and %s, parted by %s\n", why.rivals->first.c_str(), why.rivals->second.c_str(), why.rivals->check.c_str());
    std::printf("misfit %.2f%s\n", p.misfit, p.fits_nothing ? ", fits nothing well" : "");
    for (const auto& n : next) std::printf("next: %s, %.0f min, worth %.1f\n", n.check.c_str(), n.minutes, n.worth);
    std::printf("advice: %s (%s)\n", word_of(advice.kind), advice.cause_class.c_str());
    for (const auto& gate : advice.missing_gates) std::printf("gate not met: %s\n", gate.c_str());
}

int isolate_now(const Options& o, const Run& run)
{
    const auto profile = usable_profile(o.profile);
    if (!profile) return say(profile.error(), run);
    const auto given = read_case(o);
    if (!given) return say(given.error(), run);
    if (!profile::find((*profile)->installation.complaints, given->complaint)) return say({"unknown_complaint", o.evidence, {{"complaint", given->complaint}}}, run);
    auto reasoner = isolate::Reasoner::make(job::isolate_model(**profile, given->complaint));
    if (!reasoner) return say(reasoner.error(), run);
    for (const auto& e : given->evidence)
        if (auto added = reasoner->add(e); !added) return say(added.error(), run);
    const auto posterior = reasoner->posterior();
    const auto advice = isolate::advise(reasoner->model(), posterior, given->evidence, job::isolate_gates(**profile, given->complaint), (*profile)->installation.decision.threshold);
    const auto plan = isolate::plan(*reasoner, given->situation, costs_of(**profile, given->complaint), given->presence, 8);
    std::vector<std::string> places;
    for (const auto& place : (*profile)->installation.places) places.push_back(place.id);
    const auto why = isolate::explain(*reasoner, posterior, places, given->presence);
    if (run.json) std::cout << json::write(result_json(posterior, plan, advice, why)) << "\n";
    else print(posterior, plan.checks, advice, why);
    const bool said = advice.kind == isolate::AdviceKind::isolated || advice.kind == isolate::AdviceKind::none_found;
    return said ? 0 : 1;
}

} // namespace

void add_isolate_command(CLI::App& app, Run& run)
{
    const auto options = std::make_shared<Options>();
    CLI::App* c = app.add_subcommand("isolate", "What the evidence of a file says: the unit, the wiring, or what else");
    add_json(*c, run);
    c->add_option("--profile", options->profile, "The profile")->required();
    c->add_option("--evidence", options->evidence, "Answered checks, as JSON")->required();
    c->add_option("--complaint", options->complaint, "Kind of write-up, where the file does not say it");
    c->callback([options, &run] { run.code = isolate_now(*options, run); });
}

} // namespace chockside::cli
