#pragma once
// Who carries out what the practice technician decided: straight through the desk, or fingers on the glass.

#include <core/base/json.h>
#include <core/job/view.h>

#include <functional>
#include <string>

namespace chockside::desk {

class Presser {
public:
    virtual ~Presser() = default;
    /// Answers `prompt`, which stands on the screen now: an outcome id, a number, or empty for an act; `extra` is what a form holds.
    virtual void press(const job::Prompt& prompt, const std::string& answer, const json::Value& extra) = 0;
    /// The place that hands move from now on; empty: hands off.
    virtual void flex_mark(const std::string& place) = 0;

    /// Called where it cannot be carried out at all, with the reason.
    std::function<void(const std::string&)> stuck;
};

} // namespace chockside::desk
