#pragma once

#include <string>
#include <utility>
#include <vector>

namespace chockside {

/// What went wrong, for a program: a stable lower_snake code, where, and arguments. The words for people are one table in
/// platform/words; core never speaks to people.
struct Problem {
    using Args = std::vector<std::pair<std::string, std::string>>;
    std::string code;
    std::string place;
    Args args;

    bool operator==(const Problem&) const = default;
};

} // namespace chockside
