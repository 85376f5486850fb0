#include <core/campaign/aid.h>

#include <core/job/isolate_model.h>

#include <algorithm>

namespace chockside::campaign {

namespace {

isolate::Costs prices(const profile::Profile& p, bool misleading)
{
    const auto& d = p.installation.decision;
    return {d.wrong_removal_min, d.missed_min, misleading ? d.misleading_min : 0, d.deferral_min};
}

} // namespace

Aid aid_of(const profile::Profile& p)
{
    Aid aid;
    aid.threshold = p.installation.decision.threshold;
    aid.gates = job::isolate_gates(p, {});
    for (const auto& check : p.installation.checks) {
        if (!find_look(check.id)) aid.unknown.insert(check.id);
        else if (check.stage == "write_up" || check.stage == "as_found") aid.first.insert(check.id);
    }
    for (const auto& complaint : p.installation.complaints) {
        isolate::Model model = job::isolate_model(p, complaint.id);
        std::erase_if(model.checks, [&](const isolate::Check& c) { return aid.unknown.contains(c.id); });
        for (auto& check : model.checks) check.automatic = false; // the campaign has no link: a person reads
        aid.models.emplace(complaint.id, std::move(model));
        aid.costs.emplace(complaint.id, prices(p, complaint.misleading));
    }
    return aid;
}

} // namespace chockside::campaign
