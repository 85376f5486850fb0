#pragma once

#include <core/job/context.h>
#include <core/watch/snapshot.h>

namespace chockside::desk {

/// What the job needs of the line, out of the live snapshot.
job::LiveFacts facts_of(const profile::Profile&, const watch::LiveSnapshot&);

} // namespace chockside::desk
