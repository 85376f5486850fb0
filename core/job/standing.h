#pragma once
// Which answers still hold after a repair in vain: what spoke of the part that went, or of what was changed, says nothing of what is there now.

#include <core/job/state.h>

namespace chockside::job {

/// From before a repair in vain, and its check told of what was cured what no sound aircraft shows. It stays in the record, to be asked again.
/// What the crew told, and what a unit that is still there had stored, is history of a fault that goes on: it holds.
bool outdated(const profile::Profile&, const JobState&, const Answer&);
/// The latest answer, where it is not outdated; null: to be asked.
const Answer* standing(const profile::Profile&, const JobState&, const std::string& check);
/// How often the repair of this cause was done and cured nothing.
int in_vain(const JobState&, const profile::Cause&);
/// Answers before this one are from before the last repair in vain of this cause; 0: it was not repaired.
std::size_t answers_before_repair(const profile::Profile&, const JobState&, const std::string& cause);
/// Of the complaint, or of the unit's memory: no repair gives it a second time.
bool is_history(const profile::Check&);
/// The row of a check with the fault absent: one that needs it sees what a sound aircraft shows, unless the profile says otherwise.
const profile::CheckRow* absent_row(const profile::Installation&, const profile::Check&, const profile::Cause&);

} // namespace chockside::job
