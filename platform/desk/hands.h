#pragma once

#include <core/base/json.h>
#include <core/job/view.h>

#include <optional>

namespace chockside::desk {

/// The move in the practice world that a prompt asks for, in the world's own hands protocol; nothing where it asks for eyes or a reading.
std::optional<json::Value> hand_for(const job::Prompt&);

} // namespace chockside::desk
