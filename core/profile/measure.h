#pragma once
// What a field takes on the line. Rules, tables for people and the compiled plan all measure with this.

#include <core/profile/model.h>

namespace chockside::profile {

bool is_whole(FieldType);    ///< u8 to i64
bool is_unsigned(FieldType); ///< u8 to u64: may count and decide
bool is_signed(const Field&);
bool repeats(const Field&);
bool is_free_text(const Field&); ///< a text whose length stands in the frame
/// Bytes that one field takes (a repeated one: one repetition); 0 for a group and where the frame tells.
std::size_t width_of(const Field&);
/// Bits of a whole number, from at_bit up.
int bits_of(const Field&);

struct Scaling {
    double factor = 1, offset = 0;
};
Scaling scaling_of(const Field&);

/// Where the selector lies and what stands before the fields.
std::size_t select_at(const Framing&);
std::size_t lead_bytes(const Framing&);

} // namespace chockside::profile
