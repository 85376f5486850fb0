#include <core/isolate/detail/remedy.h>

#include <algorithm>

namespace chockside::isolate {

namespace {

using detail::Remedy;

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

Conditions conditions(const Gate& gate, std::span<const Evidence> evidence)
{
    Conditions c;
    for (const auto& [check, outcomes] : gate.is) {
        const Evidence* e = latest(evidence, check);
        count(c, check, e, e && std::find(outcomes.begin(), outcomes.end(), e->outcome) != outcomes.end());
    }
    for (const auto& [check, limits] : gate.within) {
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
    const Conditions c = conditions(gate, evidence);
    const bool none = c.met + c.open + c.failed == 0;
    const bool rows_met = none || (gate.any ? c.met > 0 : c.open + c.failed == 0);
    j.shut = !rows_met && (gate.any ? c.open == 0 : c.failed > 0);
    if (!rows_met && !j.shut) j.state.missing.insert(j.state.missing.end(), c.unanswered.begin(), c.unanswered.end());
    j.state.met = needs_met && rows_met;
    return j;
}

double p_of(const Model& model, const Posterior& posterior, std::size_t cause)
{
    for (const auto& l : posterior.likelihood)
        if (l.causes.size() == 1 && l.causes.front() == model.causes[cause].id) return l.p;
    return 0;
}

/// The likeliest remedy, and the likeliest cause within it.
void lead(const Model& model, const Posterior& posterior, Advice& advice)
{
    advice.p = -1;
    for (const Remedy& remedy : detail::remedies(model)) {
        double sum = 0, best = -1;
        std::size_t cause = remedy.causes.front();
        for (std::size_t k : remedy.causes) {
            const double p = p_of(model, posterior, k);
            sum += p;
            if (p > best) best = p, cause = k;
        }
        if (sum <= advice.p) continue;
        advice.p = sum;
        advice.cause_class = remedy.cause_class;
        advice.cause = model.causes[cause].id;
    }
}

bool every_check_answered(const Model& model, std::span<const Evidence> evidence)
{
    return std::all_of(model.checks.begin(), model.checks.end(), [&](const Check& c) { return latest(evidence, c.id) != nullptr; });
}

} // namespace

Advice advise(const Model& model, const Posterior& posterior, std::span<const Evidence> evidence, std::span<const Gate> gates, double threshold)
{
    Advice advice;
    if (model.causes.empty()) return advice;
    lead(model, posterior, advice);
    bool shut = false;
    for (const Gate& gate : gates) {
        if (std::find(gate.before.begin(), gate.before.end(), advice.cause_class) == gate.before.end()) continue;
        Judged j = judge(gate, evidence);
        if (!j.state.met) advice.missing_gates.push_back(gate.id);
        shut = shut || j.shut;
        advice.gates.push_back(std::move(j.state));
    }
    const bool reached = advice.p >= threshold && advice.cause_class != "unlisted";
    const bool open_gates = !advice.missing_gates.empty();
    if (posterior.fits_nothing) advice.kind = AdviceKind::fits_nothing;
    else if (reached && !open_gates) advice.kind = advice.cause_class == "none" ? AdviceKind::none_found : AdviceKind::isolated;
    else if (reached ? shut : every_check_answered(model, evidence)) advice.kind = AdviceKind::not_proven;
    const bool part = advice.cause_class == "unit" || advice.cause_class == "sensor";
    advice.removal_offered = part && advice.kind == AdviceKind::isolated;
    return advice;
}

} // namespace chockside::isolate
