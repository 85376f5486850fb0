#pragma once
// Where the fields of a frame lie. Reading and writing share this, and nothing else.

#include <core/base/result.h>
#include <core/profile/model.h>

#include <vector>

namespace chockside::codec::detail {

/// Bytes that one field takes (a repeated one: one repetition); 0 for a group.
std::size_t width_of(const profile::Field&);
bool is_signed(profile::FieldType);

struct Slot {
    const profile::Field* field = nullptr;
    std::size_t offset = 0; ///< from the start of its run
    std::size_t bytes = 0;
};

/// Fields in fixed places, then perhaps one that repeats. A frame is a row of runs: places after a repetition depend on its count.
struct Run {
    std::vector<Slot> slots;
    std::size_t bytes = 0;
    const profile::Field* repeated = nullptr;
    std::size_t body_bytes = 0;
    std::vector<Slot> body; ///< of a repeated group
    std::size_t most = 0;   ///< repetitions
};

/// `lead`: bytes before the first field (sync pattern, selector). `at` counts from the frame's first byte in the first run, else from the
/// run's or the group's first byte. Codes: unknown_count, nested_repeat, bad_field.
Result<std::vector<Run>> layout(const std::vector<profile::Field>& fields, std::size_t lead, std::size_t max_bytes);

/// Where the selector lies and what stands before the fields.
std::size_t select_at(const profile::Framing&);
std::size_t lead_bytes(const profile::Framing&);

} // namespace chockside::codec::detail
