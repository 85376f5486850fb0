#pragma once

#include <core/base/json.h>
#include <core/profile/shape.h>

namespace chockside::profile {

/// JSON Schema, draft-07, of a shape and all that it holds. Rules that no schema can state (references, sums) are in lint.h.
json::Value schema_of(const Shape&);

} // namespace chockside::profile
