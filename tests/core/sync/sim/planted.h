#pragma once
// Put before every source of the simulation's own build of core/sync: the named points become switches.

#include <string_view>

namespace chockside::planted {

enum class Bug { none, answer_before_commit, duplicates_appended, cursor_before_data, receipt_not_verified, revoked_served };

inline Bug bug = Bug::none;

/// False where the name is none of them.
inline bool choose(std::string_view name)
{
    constexpr std::string_view names[] = {"none", "answer_before_commit", "duplicates_appended", "cursor_before_data", "receipt_not_verified", "revoked_served"};
    for (int i = 0; i < 6; ++i)
        if (names[i] == name) return bug = static_cast<Bug>(i), true;
    return false;
}

} // namespace chockside::planted

#define PLANTED(name) (::chockside::planted::bug == ::chockside::planted::Bug::name)
