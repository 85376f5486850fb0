#pragma once
// Work on the small profile: what is asked goes through the guard, is written and folded.

#include "small_profile.h"

#include <core/job/guard.h>

namespace chockside::tests {

/// A job that is written entry by entry on any profile.
class Work {
protected:
    profile::Profile p_;
    job::JobState s_;
    Pen pen_;

    job::Context now() const
    {
        job::Context c;
        c.now = {pen_.wall, pen_.mono, pen_.boot};
        c.person = "LK";
        return c;
    }
    /// With a unit on the line that speaks and stands still.
    job::Context heard() const
    {
        job::Context c = now();
        c.live.known = c.live.good = c.live.aligned = true;
        return c;
    }
    void write(const std::string& kind, json::Value b = json::Value(json::Object{})) { job::apply(p_, s_, pen_.write(kind, std::move(b))); }
};

class SmallWork : protected Work {
protected:
    SmallWork() { p_ = small_profile(); }
    /// "ok" where it was written, else the guard's code.
    std::string ask(const std::string& kind, json::Value args, const std::string& person = "LK")
    {
        const auto drafts = job::guard(p_, s_, now(), {"", kind, std::move(args), person});
        if (!drafts) return drafts.error().code;
        for (const auto& draft : *drafts) write(draft.kind, draft.body);
        return "ok";
    }
    std::string did(const char* verb, const char* of, const char* to) { return ask("did", did_body(verb, of, to)); }
};

} // namespace chockside::tests
