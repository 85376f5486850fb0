#pragma once
// Rows of checks and the causes they speak for.

#include <core/profile/model.h>

namespace chockside::profile {

/// The row that speaks for a cause: its own, its place's, its kind's, its class's, the one for all others; null: none.
const CheckRow* row_for(const std::vector<CheckRow>& rows, const Cause&);

/// Adds to `causes` one per wiring cause and place, id KIND_PLACE. The weight is shared by metres of wire in a segment, by wire ends at a
/// connector, evenly where the wiring table says nothing of the places. Places that are not on the list are left out (lint names them).
void add_wiring_causes(Installation&);

} // namespace chockside::profile
