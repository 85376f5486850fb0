#pragma once

#include <core/job/plan.h>

namespace chockside::job {

/// The whole of what a screen shows of a job, at one moment. `unsent` counts entries not yet at the shop.
JobView build_view(const profile::Profile&, const JobState&, const Context&, const Reasoning&);

/// The aircraft entry: facts that were recorded, nothing else. Lines end with a newline.
/// Content after 14 CFR 43.9(a): description and data reference, date, name, signature with certificate number and kind.
std::string entry_text(const profile::Profile&, const JobState&);

} // namespace chockside::job
