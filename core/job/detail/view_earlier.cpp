#include <core/job/detail/stage_views.h>

#include <algorithm>

namespace chockside::job::detail {

namespace {

constexpr std::int64_t day_ms = 86'400'000;
constexpr std::int64_t repeat_days = 10; ///< and the third write-up in them goes to a lead: common practice, no source

std::string came_to(const EarlierJob& e)
{
    std::string text = !e.found.empty() ? e.found : e.finding_kind == "not_proven" ? "not proven" : e.finding_kind == "none_found" ? "nothing found" : e.closed ? "closed without a finding" : "still open";
    for (const auto& serial : e.not_cured) text += "; S/N " + serial + " off, fault stayed";
    return text;
}

} // namespace

void fill_earlier(const Scene& x, JobView& v)
{
    if (!x.c.earlier) return;
    int before = 0, lately = 0;
    const std::int64_t opened = x.s.lines.empty() ? x.c.now.utc_ms : x.s.lines.front().stamp.wall;
    for (const EarlierJob& e : *x.c.earlier) {
        const bool same = e.complaint_kind == x.s.complaint_kind;
        v.earlier.push_back({e.opened_ms, e.complaint, came_to(e), same});
        before += same;
        lately += same && opened - e.opened_ms <= repeat_days * day_ms;
    }
    if (before == 0) return;
    v.earlier_to_lead = lately >= 2;
    v.earlier_says = v.earlier_to_lead ? "No. " + std::to_string(lately + 1) + " in " + std::to_string(repeat_days) + " days: tell the lead"
                                       : std::to_string(before) + " of this kind before";
}

} // namespace chockside::job::detail
