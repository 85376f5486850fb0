#pragma once
// The state of one channel as the fields of a profile's frame: by role, by bit name, by field name, by quantity.

#include <core/codec/encoder.h>
#include <core/practice/air.h>
#include <core/practice/unit.h>

#include <string>

namespace chockside::practice::detail {

struct UnitState {
    int channel = 0; ///< 0: the cable is in no plug
    const Unit* unit = nullptr;
    const Controls* controls = nullptr;
    const Defects* defects = nullptr;
    const Air* air = nullptr;
    bool on_ground = true, moving = false;

    const Channel& speaking() const { return unit->channel(channel); }
};

/// What an answer carries beside the state.
struct Reply {
    std::uint32_t of = 0;
    std::string of_text;
    std::string reason;   ///< by the name that the profile's enumeration gives
    std::int64_t page = 0, first_page = 0;
};

/// Values for Encoder::frame. A field that nothing here knows goes out as zero or as empty text.
codec::FieldValues fill(const profile::Unit& profile, const profile::Frame& frame, const UnitState& state, const Reply& reply);
/// How many pages the stored faults take, at least 1.
std::int64_t fault_pages(const profile::Unit& profile, const UnitState& state);

} // namespace chockside::practice::detail
