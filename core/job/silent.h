#pragma once
// A unit from which nothing comes, dead or cut off: a person says so, and the job goes on with what needs no word of it, until it speaks.

#include <core/job/context.h>

namespace chockside::job {

/// The verb under which it is written down.
inline constexpr const char* silent_verb = "silent";

/// True where the condition can be met by the unit's own word alone.
bool told_by_unit(const profile::Condition&);
/// What is left out while nothing comes.
bool left_out(const JobState&, const profile::Step&);
bool left_out(const JobState&, const profile::Check&);

} // namespace chockside::job
