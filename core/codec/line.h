#pragma once
// The straight line from a signal's raw bits to its value, where it has one: for those who keep raw bits and want the value back.

#include <core/codec/plan.h>

#include <cstdint>
#include <optional>

namespace chockside::codec {

/// value = whole * factor + offset, and one turn more where whole < 0. whole: the field that the two shifts leave of the 64 bits.
struct Line {
    std::uint8_t left = 0, right = 0; ///< 0-63
    bool is_signed = false;
    double factor = 1, offset = 0, turn = 0;
    bool operator==(const Line&) const = default;
};

/// The decoder's own arithmetic. A caller that must have the decoder's very bits compares once; -0 and special codes may differ.
double value_on(const Line& line, std::uint64_t raw);

/// Of a BNR word, a bit or an integer field; nothing for text, BCD, IEEE 754 and sign-and-magnitude fields.
std::optional<Line> line_of(const Plan& plan, SignalId signal);

} // namespace chockside::codec
