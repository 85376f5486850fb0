#pragma once

#include <core/profile/shape.h>

namespace chockside::profile::detail {

const Shape& condition_shape();
/// The states that may stand in "is" beside this key of a condition; empty: none may.
std::vector<std::string> states_of(const std::string& key);

} // namespace chockside::profile::detail
