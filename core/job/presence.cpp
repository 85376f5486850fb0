#include <core/job/plan.h>
#include <core/job/presence.h>

namespace chockside::job {

namespace {

bool later(const Stamp& a, const Stamp& b) { return a.boot == b.boot ? a.mono > b.mono : a.wall > b.wall; }

} // namespace

bool needs_showing(const profile::Check& check)
{
    using How = profile::Check::How;
    const bool history = check.stage == "write_up" || check.how == How::stored_fault || check.how == How::page;
    return !history && check.lever.empty() && check.how != How::discrete_watch;
}

bool presence_is_old(const JobState& s, const Context& c)
{
    const Stamp* said = s.presence.last();
    if (!said || !c.live.good || !s.power.certainly("on") || !s.self_test_ended) return false;
    return (s.power_on && later(*s.power_on, *said)) || (s.power_lost && later(*s.power_lost, *said));
}

std::string presence_for(const JobState& s, const profile::Check& check, const Answer& a)
{
    const bool seen = check.proves_fix && needs_showing(check) && a.outcome != not_done && !is_good(check, a);
    return seen ? "showing" : s.presence.agreed().value_or("unknown");
}

} // namespace chockside::job
