#pragma once

#include <core/base/json.h>
#include <core/base/random.h>

#include <string>

namespace chockside::practice::detail {

/// A plain value, or one drawn from {"from","to"} (uniform), {"median","factor"} (lognormal, factor = e^sigma) or {"choose": [...]}.
json::Value spread(const json::Value& rule, SeededRandom& random);

/// One key of {"code": weight, ...}; empty for an empty object.
std::string weighted(const json::Value& weights, SeededRandom& random);

} // namespace chockside::practice::detail
