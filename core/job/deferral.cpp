#include <core/job/deferral.h>
#include <core/job/isolate_model.h>

#include <algorithm>

namespace chockside::job {

bool must_defer(const JobState& s)
{
    return s.finding_kind == "not_proven" || (s.finding_kind != "none_found" && !s.repaired);
}

const std::vector<std::pair<std::string, std::string>>& deferral_fields()
{
    static const std::vector<std::pair<std::string, std::string>> fields = {{"item", "What is deferred, list item"}, {"category", "Category"}, {"expires", "Ends, day or hours"},
        {"placard", "Placard, and where"}, {"authority", "On whose authority"}};
    return fields;
}

std::vector<isolate::GateState> deferral_gates(const profile::Profile& p, const JobState& s)
{
    std::vector<isolate::Evidence> said;
    for (std::size_t i = 0; i < s.answers.size(); ++i)
        if (auto e = evidence_of(s.answers[i], i)) said.push_back(std::move(*e));
    const auto gates = isolate_gates(p, s.complaint_kind);
    auto states = isolate::gate_states(said, gates, "deferral");
    std::erase_if(states, [](const auto& gate) { return gate.met; });
    return states;
}

std::vector<const profile::Check*> gate_checks(const profile::Profile& p, const std::string& id)
{
    std::vector<const profile::Check*> checks;
    const auto* gate = profile::find(p.installation.gates, id);
    if (!gate) return checks;
    for (const auto& check : p.installation.checks) {
        const bool needed = std::find(gate->needs.begin(), gate->needs.end(), check.id) != gate->needs.end() || gate->is.contains(check.id) || gate->within.contains(check.id);
        const bool on_a_way = std::any_of(gate->ways.begin(), gate->ways.end(), [&](const auto& way) { return way.contains(check.id); });
        if (needed || on_a_way) checks.push_back(&check);
    }
    return checks;
}

} // namespace chockside::job
