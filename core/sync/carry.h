#pragma once
// What a tablet without a network carries to the shop: own entries that no receipt covers, as the file of handover.h.

#include <core/sync/handover.h>
#include <core/sync/tablet_store.h>

namespace chockside::sync {

struct Carried {
    Handover handover;
    std::int64_t first = 0, last = 0; ///< numbers of the own entries in it
    bool all = true;                  ///< false: more are here than it could hold
};

/// From the newest receipt on, as many entries as `most_bytes` of lines hold, at least one. Codes: nothing_new and those of the store.
Result<Carried> to_carry(TabletStore&, std::size_t most_bytes);

/// Reads what a reader of symbols or a file brought: the file itself, or its series with one symbol a line in any order. Codes: those of
/// handover_from; incomplete (missing: numbers, the first twenty), hash_mismatch.
Result<Handover> brought(std::string_view text);

} // namespace chockside::sync
