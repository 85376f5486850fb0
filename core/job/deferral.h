#pragma once
// What a deferral takes: what it says, in the words of who defers, and the gates that it waits for.

#include <core/isolate/isolate.h>
#include <core/job/state.h>

namespace chockside::job {

/// A finding that is not proven, or a cause for which nothing was repaired: no stage proves it.
bool must_defer(const JobState&);
/// What each deferral says, as id and as a person is asked for it; none may be empty.
const std::vector<std::pair<std::string, std::string>>& deferral_fields();
/// Gates before a deferral that are not met. Answers after a repair count too: they say which side it is as well as any.
std::vector<isolate::GateState> deferral_gates(const profile::Profile&, const JobState&);
/// The checks that such a gate looks at, in the profile's order.
std::vector<const profile::Check*> gate_checks(const profile::Profile&, const std::string& gate);

} // namespace chockside::job
