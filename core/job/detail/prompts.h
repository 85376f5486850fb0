#pragma once
// Makers of prompts: one for each way a need is met or a thing is asked.

#include <core/job/condition.h>
#include <core/job/plan.h>

namespace chockside::job::detail {

struct Moment {
    const profile::Profile& p;
    const JobState& s;
    const Context& c;
};

/// An act in the world: verb, id, state; words from labels where `say` is empty.
Prompt act(const Moment&, const std::string& verb, const std::string& of, const std::string& to, const std::string& say = {});
/// The prompt that brings a condition about, prerequisites first. Never answers a condition that holds.
Prompt meet(const Moment&, const profile::Condition&);
/// A prompt whose key writes `command` with `args`; verb, hold and the like are the caller's, who labels the key anew after them.
Prompt simple(const Moment&, Prompt::Kind, const std::string& id, const std::string& say, const std::string& key, const std::string& command, json::Value args = json::Value(json::Object{}));
Prompt step_prompt(const Moment&, const profile::Step&);
Prompt ask_check(const Moment&, const profile::Check&);
Prompt wait_for(const Moment&, const std::string& which);
/// The next act of a swing that is owed, and what may be done instead once its headings are sighted.
Prompt swing_prompt(const Moment&, const std::string& owed);
std::vector<Prompt> swing_others(const Moment&);
/// Small and large lines of the key, from kind, hold and readiness.
void label_key(const Moment&, Prompt&);

} // namespace chockside::job::detail
