#include <platform/desk/earlier.h>
#include <platform/desk/from_shop.h>

#include <core/fleet/fleet.h>
#include <core/job/state.h>

#include <algorithm>

namespace chockside::desk {

namespace {

job::EarlierJob told(const profile::Profile& p, const job::JobState& s)
{
    const fleet::JobFacts f = fleet::facts_of(p, s);
    job::EarlierJob e{f.job, s.complaint, f.complaint_kind, f.opened_ms, f.finding_kind, {}, f.closed, {}};
    if (const auto* cause = f.finding_kind == "isolated" ? profile::find(p.installation.causes, f.cause) : nullptr) e.found = cause->says.in();
    for (const auto& removed : f.removed)
        if (!removed.cured) e.not_cured.push_back(removed.serial);
    return e;
}

} // namespace

std::vector<job::EarlierJob> earlier_jobs(journal::Store& store, const std::string& job, const std::string& tail, bool practice, const LoadProfile& load, std::size_t most)
{
    std::vector<job::EarlierJob> all;
    if (tail.empty()) return all;
    constexpr std::size_t looked_at = 50;
    const auto rows = store.jobs(looked_at, tail);
    if (!rows) return all;
    for (const auto& row : *rows) {
        if (all.size() >= most) break;
        if (row.job == job || row.tail != tail || row.practice != practice) continue;
        const auto entries = store.entries(row.job);
        const journal::Entry* opened = entries ? opening_of(*entries) : nullptr;
        if (!opened) continue;
        const auto profile = load(opened->body["profile_sha"].as_text());
        if (profile) all.push_back(told(**profile, job::fold(**profile, *entries)));
    }
    std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.opened_ms > b.opened_ms; });
    return all;
}

} // namespace chockside::desk
