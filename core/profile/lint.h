#pragma once

#include <core/profile/objection.h>
#include <core/profile/model.h>

namespace chockside::profile {

/// Rules that a shape cannot state. Pointers are below the half; lines are filled in by load().
Complaints lint_whole(const Profile&); ///< format and abilities
Complaints lint_unit(const Profile&);
Complaints lint_installation(const Profile&);

// What these are made of, one rule or family of rules each.
Complaints lint_fields(const Unit&, const std::vector<Field>&, const std::string& at);
Complaints lint_word_units(const Unit&);
Complaints lint_check_units(const Profile&);
Complaints lint_steps(const Installation&);
Complaints lint_causes(const Installation&);
Complaints lint_isolation(const Installation&);
Complaints lint_work(const Profile&);

/// Abilities that a profile may name in "needs".
const std::vector<std::string>& abilities();

} // namespace chockside::profile
