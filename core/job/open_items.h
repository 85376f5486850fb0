#pragma once

#include <core/job/context.h>

namespace chockside::job {

/// Everything that must be closed by what is seen before the job closes, in the order it must be put back: last out, first back,
/// plugs before their breakers, covers before probe heat, the test cable after the session.
std::vector<OpenItem> open_items(const profile::Profile&, const JobState&);
/// Where a temporary is fitted, as a person reads it; a breaker is in its own label already.
std::string at_words(const profile::Profile&, const std::string& at);
/// A breakout or jumper that is on, or may be: what lies in the circuit comes off before a repair is recorded or anything is seen to work.
const profile::Temporary* in_circuit(const profile::Profile&, const JobState&);
/// What no profile need list: a breaker that tripped after the fault was found owes the reason before it may be pushed.
inline constexpr const char* tripped_owes = "tripped:";
/// The breaker of such work; null: other work.
const profile::Breaker* tripped_breaker(const profile::Profile&, const OwedState&);
/// True while the reason is owed.
bool trip_unexplained(const JobState&, const std::string& breaker);
/// Titles of work owed and not yet proved.
std::vector<std::string> owed_open(const profile::Profile&, const JobState&);

} // namespace chockside::job
