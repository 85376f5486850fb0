#pragma once
// The index of jobs in words: what stands open, since when nobody was at it, when the aircraft leaves.

#include "home_model.h"

#include <core/journal/store.h>

namespace chockside::app {

/// `now_utc_ms`: how long ago each was left, and in how long its aircraft leaves.
std::vector<models::HomeRow> home_rows(const std::vector<journal::JobRow>& rows, std::int64_t now_utc_ms);

} // namespace chockside::app
