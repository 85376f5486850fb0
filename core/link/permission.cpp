#include <core/link/permission.h>

namespace chockside::link {

Status may_send(const profile::Unit& unit, const profile::Request& request, const Permission& permission)
{
    if (request.effect == profile::Effect::read || request.name == unit.session.leave) return {};
    if (!permission.profile_signed_or_practice) return fail("profile_unsigned", request.name);
    if (!permission.cautions_answered) return fail("cautions_open", request.name);
    if (request.effect == profile::Effect::write && !permission.stage_put_right) return fail("not_in_put_right", request.name);
    return {};
}

} // namespace chockside::link
