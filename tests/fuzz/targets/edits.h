#pragma once
// A sound text, changed as the fuzzer says: bytes written over, cut out, put in, pieces moved.

#include "pieces.h"

#include <algorithm>

namespace chockside::fuzz {

/// Edits of at least 4 bytes each: what to do, where (16 bits), how much, then bytes to put there.
inline Bytes edited(Bytes whole, ByteView how)
{
    const auto at = [&](std::size_t i) { return std::to_integer<std::size_t>(how[i]); };
    while (how.size() >= 4 && !whole.empty()) {
        const auto place = whole.begin() + static_cast<std::ptrdiff_t>((at(1) | at(2) << 8) % whole.size());
        const std::size_t many = std::min<std::size_t>(at(3), static_cast<std::size_t>(whole.end() - place));
        const auto past = place + static_cast<std::ptrdiff_t>(many);
        const std::size_t what = at(0) % 5;
        how = how.subspan(4);
        const ByteView put = how.first(std::min(how.size(), many));
        switch (what) {
        case 0: *place ^= static_cast<std::byte>(many | 1u); continue;
        case 1: whole.erase(place, past); continue;
        case 2: whole.resize(static_cast<std::size_t>(place - whole.begin())); continue;
        case 3: std::rotate(whole.begin(), place, past); continue;
        default: whole.insert(place, put.begin(), put.end());
        }
        how = how.subspan(put.size());
    }
    return whole;
}

} // namespace chockside::fuzz
