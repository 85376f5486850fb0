#pragma once

#include <core/profile/objection.h>
#include <core/profile/model.h>

namespace chockside::profile {

/// Rules that a shape cannot state. Pointers are below the half; lines are filled in by load().
Complaints lint_whole(const Profile&); ///< format and abilities
Complaints lint_unit(const Profile&);
Complaints lint_installation(const Profile&);

/// Abilities that a profile may name in "needs".
const std::vector<std::string>& abilities();

} // namespace chockside::profile
