#pragma once
// What the desk says, as the screens want it.

#include "backend.h"

#include <core/sync/tablet.h>
#include <core/watch/snapshot.h>

namespace chockside::app {

models::LiveFrame frame_of(const watch::LiveSnapshot& snapshot);
models::FlexSeen flex_of(const watch::FlexView& flex);
/// The last three steps of a person, oldest first: what the line wrote by itself is none.
std::vector<job::EntryLine> last_steps(const job::JobView& view);
/// How long nobody was here, and what became of the waits meanwhile.
AwayNote away_note(const job::JobView& view);

models::QueueSeen queue_seen(const sync::QueueView& queue, const QString& shop);

} // namespace chockside::app
