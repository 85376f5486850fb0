#pragma once

#include <core/base/result.h>
#include <core/profile/model.h>

namespace chockside::link {

/// What the job allows at this moment. Nothing in a profile can raise an effect class.
struct Permission {
    bool cautions_answered = false;
    bool stage_put_right = false;
    bool profile_signed_or_practice = false;
    bool operator==(const Permission&) const = default;
};

/// `read`: always. `session`: cautions answered and a signed or practice profile. `write`: those, and the stage is Put right.
/// Leaving a session is always allowed. Codes: profile_unsigned, cautions_open, not_in_put_right.
Status may_send(const profile::Unit& unit, const profile::Request& request, const Permission& permission);

} // namespace chockside::link
