#pragma once

#include <core/base/problem.h>
#include <core/codec/observation.h>

#include <cstdint>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace chockside::link {

/// A frame kept after its bytes are gone.
struct ReplyFrame {
    std::string name;
    std::int64_t t_ns = 0;
    std::vector<codec::Observation> observations;
    std::vector<std::pair<std::string, std::string>> texts;
};

/// What became of one request.
struct Outcome {
    enum class Kind : std::uint8_t {
        ok,
        refused,     ///< by the unit: reason (by name) and mend (as the profile says) are filled
        timed_out,   ///< no reply to any of its tries
        not_allowed, ///< never sent: reason says what is missing
        failed,      ///< never sent or broken off: reason is a code (port_closed, pages_inconsistent, too_many_items...)
    };
    Kind kind = Kind::failed;
    std::string request, tag;
    std::string reason, mend;
    Problem::Args args; ///< of a reason that is a code
    std::vector<ReplyFrame> replies; ///< one; with paging one a page, in order
    int tries = 0;
    std::int64_t asked_ns = 0, answered_ns = 0;
};
const char* name_of(Outcome::Kind);

} // namespace chockside::link
