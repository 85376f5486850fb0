#pragma once

#include <core/profile/model.h>

#include <string>

namespace chockside::profile {

/// The profile as plain tables to proofread against the manuals: frames byte by byte, words bit by bit, requests, codes, then the
/// installation's breakers, plugs, steps, causes and checks.
std::string explain(const Profile&);

} // namespace chockside::profile
