#pragma once

#include <core/job/context.h>
#include <core/watch/snapshot.h>

namespace chockside::desk {

/// The signal that a profile's reference means: "word:heading" is "word.heading", "frame:status.supply" is "status.supply".
std::string signal_of(const std::string& reference);

/// What the job needs of the line, out of the live snapshot.
job::LiveFacts facts_of(const profile::Profile&, const watch::LiveSnapshot&);

} // namespace chockside::desk
