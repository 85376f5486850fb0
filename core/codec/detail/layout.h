#pragma once
// Where the fields of a frame lie. Reading and writing share this, and nothing else.

#include <core/base/result.h>
#include <core/profile/measure.h>

#include <vector>

namespace chockside::codec::detail {

using profile::bits_of;
using profile::is_free_text;
using profile::is_signed;
using profile::is_unsigned;
using profile::is_whole;
using profile::lead_bytes;
using profile::repeats;
using profile::scaling_of;
using profile::select_at;
using profile::Scaling;
using profile::width_of;

struct Slot {
    const profile::Field* field = nullptr;
    std::size_t offset = 0; ///< from the start of its part
    std::size_t bytes = 0;
};

/// A frame is a row of parts: fields in fixed places, or something whose length only the frame tells; what follows that counts from there.
struct Part {
    enum class Kind { fixed, repeat, optional, text };
    Kind kind = Kind::fixed;
    std::vector<Slot> slots; ///< fixed
    std::size_t bytes = 0;   ///< fixed
    const profile::Field* field = nullptr;
    const profile::Field* source = nullptr; ///< repeat, text: the field that counts; optional: the one that decides
    std::vector<Part> body;
    std::size_t most = 0;    ///< repetitions; bytes of a text
};

/// `lead`: bytes before the first field (sync pattern, selector). `at` counts from the frame's first byte in the first part, else from the
/// part's or the group's first byte. Codes: unknown_count, bad_field, frame_too_long.
Result<std::vector<Part>> layout(const std::vector<profile::Field>& fields, std::size_t lead, std::size_t max_bytes);
/// The fewest bytes that the parts take.
std::size_t least_bytes(const std::vector<Part>&);

} // namespace chockside::codec::detail
