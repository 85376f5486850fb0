#pragma once
// A signal is named "frame.field" or deeper. What a person is told of it is its last field's name, in words.

#include <string>

namespace chockside::codec {

/// "heading_flag" of "status.pins.heading_flag"; a name without a dot as it is.
std::string field_of(const std::string& signal);
/// "heading flag" of "status.pins.heading_flag".
std::string words_of(const std::string& signal);

} // namespace chockside::codec
