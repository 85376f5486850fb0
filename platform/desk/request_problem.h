#pragma once

#include <core/base/json.h>
#include <core/base/problem.h>

#include <string>

namespace chockside::desk {

/// What is told of a request that did not go well (LinkRun's answer), at the step that asked.
Problem request_problem(const std::string& step, const json::Value& outcome);
/// What is told of a session that was not entered: the unit's reason with the profile's mend, or that nobody answered.
Problem session_problem(const std::string& step, const std::string& reason, const std::string& mend);

} // namespace chockside::desk
