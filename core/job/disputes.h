#pragma once
// What two devices told of one thing without knowing of each other: who says what, and what ends it.

#include <core/job/state.h>

namespace chockside::job {

std::vector<DisputeLine> disputes(const profile::Profile&, const JobState&);

} // namespace chockside::job
