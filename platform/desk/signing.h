#pragma once
// Puts a person's signature under a sign-off. The PIN comes with the command, goes to the person's key, and ends here.

#include <core/job/command.h>
#include <core/people/people.h>

namespace chockside::desk {

/// Of a command "sign": its args get the person's name and certificate as enrolled, "shown" (what stood on the screen), key and
/// signature. Somebody new on this device is enrolled first, with the name and certificate of the args. The PIN is wiped in any case.
/// Codes: those of People, need (what).
Result<job::Command> with_signature(people::People&, job::Command&, const std::string& job, const std::string& shown);

} // namespace chockside::desk
