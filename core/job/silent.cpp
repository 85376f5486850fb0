#include <core/job/silent.h>

#include <algorithm>

namespace chockside::job {

bool told_by_unit(const profile::Condition& c)
{
    using Kind = profile::Condition::Kind;
    switch (c.kind) {
    case Kind::link:
    case Kind::session:
    case Kind::self_test:
    case Kind::aligned:
    case Kind::warm_up:
    case Kind::settled: return true;
    case Kind::any: return !c.parts.empty() && std::all_of(c.parts.begin(), c.parts.end(), told_by_unit);
    case Kind::all: return std::any_of(c.parts.begin(), c.parts.end(), told_by_unit);
    default: return false; // that something of the unit's does not hold is so without its word
    }
}

bool left_out(const JobState& s, const profile::Step& step)
{
    using Kind = profile::StepKind;
    const bool asks = step.kind == Kind::link_open || step.kind == Kind::read || step.kind == Kind::session_open || step.kind == Kind::session_close || step.kind == Kind::wait || step.kind == Kind::settle;
    return s.silent && (asks || told_by_unit(step.needs));
}

bool left_out(const JobState& s, const profile::Check& check)
{
    using How = profile::Check::How;
    const bool asks = check.how == How::self_test || check.how == How::stored_fault || check.how == How::page || check.how == How::word_number || check.how == How::discrete_watch || check.how == How::flex;
    return s.silent && (asks || told_by_unit(check.needs));
}

} // namespace chockside::job
