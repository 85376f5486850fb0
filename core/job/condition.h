#pragma once

#include <core/job/context.h>

namespace chockside::job {

/// Whether a condition of the profile holds; the unsafe value of a contested fact counts.
bool holds(const profile::Profile&, const JobState&, const Context&, const profile::Condition&);
/// The first part that does not hold, or nothing.
const profile::Condition* first_unmet(const profile::Profile&, const JobState&, const Context&, const profile::Condition&);
/// "REF 1 out", "P9 proved dead": for the screen that names a missing need.
std::string words_of(const profile::Profile&, const profile::Condition&);

} // namespace chockside::job
