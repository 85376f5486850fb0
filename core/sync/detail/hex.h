#pragma once

#include <algorithm>
#include <string_view>

namespace chockside::sync {

inline bool lower_hex(std::string_view t, std::size_t size)
{
    return t.size() == size && std::all_of(t.begin(), t.end(), [](char c) { return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f'); });
}

} // namespace chockside::sync
