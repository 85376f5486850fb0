#pragma once

#include <core/base/json.h>
#include <core/base/result.h>
#include <core/practice/world.h>

namespace chockside::practice::detail {

/// Every key is needed: a misspelt constant must not quietly become a default. Code: practice_missing, place = key.
Result<World> read_world(const json::Value& root);

} // namespace chockside::practice::detail
