#include <core/fleet/fleet.h>

#include <algorithm>

namespace chockside::fleet {

JobFacts facts_of(const profile::Profile& p, const job::JobState& s)
{
    JobFacts f;
    f.job = s.job;
    f.tail = s.tail;
    f.aircraft_type = s.aircraft_type;
    f.complaint_kind = s.complaint_kind;
    f.practice = s.practice;
    f.closed = s.closed;
    if (!s.lines.empty()) {
        f.opened_ms = s.lines.front().stamp.wall;
        // What comes after the closing (an answer of the shop, a result of its bench) does not make the job last longer.
        for (const auto& l : s.lines)
            if (!s.closed || (l.kind == "closed" && !l.amended)) f.last_ms = std::max(f.last_ms, l.stamp.wall);
        if (f.last_ms == 0) f.last_ms = f.opened_ms;
    }
    f.finding_kind = s.finding_kind;
    f.finding_class = s.finding_class;
    f.cause = s.finding_cause;
    if (const auto* cause = profile::find(p.installation.causes, s.finding_cause)) f.place = cause->at;
    if (s.found && s.found->wall >= f.opened_ms) f.isolate_ms = s.found->wall - f.opened_ms;
    for (const auto& past : s.past)
        if (past.off) f.removed.push_back({past.off->number, past.off->serial, false});
    if (s.off) f.removed.push_back({s.off->number, s.off->serial, true});
    return f;
}

} // namespace chockside::fleet
