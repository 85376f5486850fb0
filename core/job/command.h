#pragma once

#include <core/base/json.h>

#include <string>

namespace chockside::job {

/// What somebody (or the recorder) wants written. `id` is made by the asker; a repeat is answered as the first was.
struct Command {
    std::string id;
    std::string kind;   ///< answer, did, live, presence, cautions_read, finding, repair, reopen, part, owed, swing_point, swing_result, photo, note, sign, defer, close, amend, void
    json::Value args;
    std::string person; ///< initials; empty: the person at the device
    std::string pin = {}; ///< of who signs; goes to their key and nowhere else
    std::string prompt = {}; ///< id of the prompt that it answers; empty: none
};

} // namespace chockside::job
