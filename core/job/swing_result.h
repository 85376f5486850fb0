#pragma once

#include <core/base/result.h>
#include <core/heading/swing.h>
#include <core/job/command.h>
#include <core/job/state.h>

namespace chockside::job {

/// Fits the recorded points and states the result as decimal text with the algorithm's version. Codes: those of heading::fit_swing.
Result<Command> swing_result_command(const profile::Profile&, const JobState&);

} // namespace chockside::job
