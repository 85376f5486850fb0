#pragma once
// Put before every source of the rigs' own build of the journal and the platform's files: the named points become switches.

#include <string_view>

namespace chockside::planted {

enum class Bug { none, synchronous_normal, synchronous_off, told_before_commit, folder_not_synced, checkpoint_not_looked_at, repeat_not_known, row_apart };

inline Bug bug = Bug::none;

/// False where the name is none of them.
inline bool choose(std::string_view name)
{
    constexpr std::string_view names[] = {"none", "synchronous_normal", "synchronous_off", "told_before_commit", "folder_not_synced", "checkpoint_not_looked_at", "repeat_not_known", "row_apart"};
    for (int i = 0; i < 8; ++i)
        if (names[i] == name) return bug = static_cast<Bug>(i), true;
    return false;
}

} // namespace chockside::planted

#define PLANTED(name) (::chockside::planted::bug == ::chockside::planted::Bug::name)
