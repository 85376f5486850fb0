#pragma once

#include <core/base/json.h>
#include <core/job/view.h>

#include <optional>

namespace chockside::desk {

/// Where a person would look to answer a prompt, in the world's own eyes protocol; nothing where the displays and lamps say enough.
std::optional<json::Value> eye_for(const job::Prompt&);

} // namespace chockside::desk
