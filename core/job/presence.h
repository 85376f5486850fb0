#pragma once
// Whether the fault shows, and how long what was said of it holds.

#include <core/job/context.h>

namespace chockside::job {

/// Only a look at the fault itself needs it to show. What was stored or told is history, a lever brings the condition on, and the row of a
/// long watch already says how often one catches it.
bool needs_showing(const profile::Check&);
/// Power went or came since somebody looked: what shows after it nobody said yet. False while there is nothing to look at.
bool presence_is_old(const JobState&, const Context&);
/// The presence that an answer is given under: a complaint that is seen again shows, whatever was said before.
std::string presence_for(const JobState&, const profile::Check&, const Answer&);

} // namespace chockside::job
