#include <core/isolate/isolate.h>

#include <algorithm>

namespace chockside::isolate {

namespace {

const Evidence* latest(std::span<const Evidence> evidence, const std::string& check)
{
    for (auto i = evidence.rbegin(); i != evidence.rend(); ++i)
        if (i->check == check) return &*i;
    return nullptr;
}

struct Conditions {
    int met = 0, open = 0, failed = 0; ///< rows of `is` and `within`
    std::vector<std::string> unanswered;
};

void count(Conditions& c, const std::string& check, const Evidence* e, bool satisfied)
{
    if (!e) {
        ++c.open;
        c.unanswered.push_back(check);
    }
    else ++(satisfied ? c.met : c.failed);
}

using Is = std::map<std::string, std::vector<std::string>>;
using Within = std::map<std::string, std::pair<double, double>>;

Conditions conditions(const Is& is, const Within& within, std::span<const Evidence> evidence)
{
    Conditions c;
    for (const auto& [check, outcomes] : is) {
        const Evidence* e = latest(evidence, check);
        count(c, check, e, e && std::find(outcomes.begin(), outcomes.end(), e->outcome) != outcomes.end());
    }
    for (const auto& [check, limits] : within) {
        const Evidence* e = latest(evidence, check);
        count(c, check, e, e && e->number && *e->number >= limits.first && *e->number <= limits.second);
    }
    return c;
}

struct Judged {
    GateState state;
    bool shut = false; ///< answered, and answered otherwise: no open check can meet it
};

Judged judge(const Gate& gate, std::span<const Evidence> evidence)
{
    Judged j;
    j.state.id = gate.id;
    for (const auto& check : gate.needs)
        if (!latest(evidence, check)) j.state.missing.push_back(check);
    const bool needs_met = j.state.missing.empty();
    const Conditions c = conditions(gate.is, gate.within, evidence);
    bool way_met = gate.ways.empty(), way_open = false;
    std::vector<std::string> of_ways;
    for (const auto& way : gate.ways) {
        const Conditions w = conditions(way, {}, evidence);
        way_met = way_met || w.open + w.failed == 0;
        if (w.failed > 0 || w.open == 0) continue;
        way_open = true;
        of_ways.insert(of_ways.end(), w.unanswered.begin(), w.unanswered.end());
    }
    const bool none = c.met + c.open + c.failed == 0;
    const bool rows_met = none || (gate.any ? c.met > 0 : c.open + c.failed == 0);
    const bool rows_shut = !rows_met && (gate.any ? c.open == 0 : c.failed > 0);
    j.shut = rows_shut || (!way_met && !way_open);
    if (!way_met && !j.shut) j.state.missing.insert(j.state.missing.end(), of_ways.begin(), of_ways.end());
    if (!rows_met && !j.shut) j.state.missing.insert(j.state.missing.end(), c.unanswered.begin(), c.unanswered.end());
    j.state.met = needs_met && rows_met && way_met;
    return j;
}

constexpr double more_likely_than_not = 0.5;

void lead(const Posterior& posterior, Advice& advice)
{
    if (posterior.remedies.empty()) return;
    const RemedyLikelihood& first = posterior.remedies.front();
    advice.p = first.p;
    advice.cause_class = first.cause_class;
    advice.cause = first.cause;
    if (posterior.remedies.size() > 1 && posterior.remedies[1].p > more_likely_than_not) advice.also = posterior.remedies[1].cause;
}

bool every_check_answered(const Model& model, std::span<const Evidence> evidence)
{
    return std::all_of(model.checks.begin(), model.checks.end(), [&](const Check& c) { return latest(evidence, c.id) != nullptr; });
}

} // namespace

std::vector<GateState> gate_states(std::span<const Evidence> evidence, std::span<const Gate> gates, const std::string& guarded)
{
    std::vector<GateState> all;
    for (const Gate& gate : gates)
        if (std::find(gate.before.begin(), gate.before.end(), guarded) != gate.before.end()) all.push_back(judge(gate, evidence).state);
    return all;
}

Advice advise(const Model& model, const Posterior& posterior, std::span<const Evidence> evidence, std::span<const Gate> gates, double threshold, bool ends)
{
    Advice advice;
    if (model.causes.empty()) return advice;
    lead(posterior, advice);
    bool shut = false;
    for (const Gate& gate : gates) {
        if (std::find(gate.before.begin(), gate.before.end(), advice.cause_class) == gate.before.end()) continue;
        Judged j = judge(gate, evidence);
        if (!j.state.met) advice.missing_gates.push_back(gate.id);
        shut = shut || j.shut;
        advice.gates.push_back(std::move(j.state));
    }
    const bool reached = advice.p >= threshold && advice.cause_class != "unlisted";
    const bool ended = ends || every_check_answered(model, evidence), outside = posterior.unlisted > posterior.unlisted_prior;
    const bool open_gates = !advice.missing_gates.empty();
    if (posterior.fits_nothing || (ended && !reached && outside)) advice.kind = AdviceKind::fits_nothing;
    else if (reached && !open_gates) advice.kind = advice.cause_class == "none" ? AdviceKind::none_found : AdviceKind::isolated;
    else if (reached ? shut : ended) advice.kind = AdviceKind::not_proven;
    const bool part = advice.cause_class == "unit" || advice.cause_class == "sensor";
    advice.removal_offered = part && advice.kind == AdviceKind::isolated;
    return advice;
}

} // namespace chockside::isolate
