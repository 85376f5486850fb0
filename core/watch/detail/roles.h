#pragma once
// Which signals of a unit mean what to the watch: found once, by role and by name.

#include <core/codec/plan.h>

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace chockside::watch::detail {

/// Everything the watch needs to know of one signal, by its id.
struct SignalRole {
    std::int64_t period_ns = 0; ///< 0: on request only
    bool word = false;          ///< a whole word of the data stream, not one of its bits
    bool edge = false;          ///< a yes-or-no whose changes are of interest
    std::int16_t frame = -1;    ///< index in Unit::frames, -1 for words
};

struct Roles {
    std::vector<SignalRole> signals;
    std::optional<codec::SignalId> uptime, phase, aligned, moving, settle;
    std::string phase_frame;
    std::uint64_t phase_running = 0; ///< code of the phase that means "under way"
    std::vector<std::pair<codec::SignalId, std::string>> failed_bits;
    std::vector<std::string> page_frames; ///< read on request: identity, configuration
    std::optional<codec::SignalId> fault_code;
};

Roles roles_of(const codec::Plan& plan);

} // namespace chockside::watch::detail
