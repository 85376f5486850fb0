#pragma once

#include <core/base/problem.h>

#include <string>
#include <vector>

namespace chockside::profile {

enum class Severity { error, warning };

/// What is wrong with a profile, and where. A profile with errors is not used. Codes and arguments become words in platform/words.
struct Objection {
    std::string file;    ///< empty: the main file; else what its "use" names
    std::string pointer; ///< RFC 6901
    int line = 0, column = 0; ///< of the key or value, from 1
    Severity severity = Severity::error;
    std::string code;
    Problem::Args args;
    std::string mend;    ///< a replacement where one is near ("scale" for "scael"), else empty
    bool operator==(const Objection&) const = default;
};

using Complaints = std::vector<Objection>;

} // namespace chockside::profile
