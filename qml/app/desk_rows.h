#pragma once
// What the desk says, as the screens want it.

#include "backend.h"

#include <core/journal/store.h>
#include <core/watch/snapshot.h>

namespace chockside::app {

models::LiveFrame frame_of(const watch::LiveSnapshot& snapshot);
models::FlexSeen flex_of(const watch::FlexView& flex);
std::vector<models::HomeRow> home_rows(const std::vector<journal::JobRow>& rows);
/// How long nobody was here, and what became of the waits meanwhile.
AwayNote away_note(const job::JobView& view);

} // namespace chockside::app
