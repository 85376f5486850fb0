#pragma once
// What comes next: a pure function from state and moment to the one prompt on the large key. Robot and screens follow the same.

#include <core/job/command.h>
#include <core/job/isolate_model.h>

namespace chockside::job {

Prompt next_prompt(const profile::Profile&, const JobState&, const Context&, const Reasoning&);
/// What may be taken instead, best first: other checks, their needs planned when taken (Isolate); the ways after an owed test that was not
/// passed (Prove); going on without the unit's word where nothing comes from it.
std::vector<Prompt> other_prompts(const profile::Profile&, const JobState&, const Context&, const Reasoning&);
/// The prompt for one check, or for the first thing that its needs ask for.
Prompt check_prompt(const profile::Profile&, const JobState&, const Context&, const profile::Check&);

/// The command that answers a prompt. `answer` is the outcome id, the number as decimal text, or empty for an act.
Command command_of(const Prompt&, const std::string& answer, const json::Value& extra = {});

/// The checks whose good result in the failing condition proves the repair: all that were bad before it, in the profile's order.
std::vector<const profile::Check*> fix_checks(const profile::Profile&, const JobState&);
/// The first of them that is not good again; where all are, the first; null where none was bad.
const profile::Check* fix_check(const profile::Profile&, const JobState&);
bool is_good(const profile::Check&, const Answer&);
/// True where every one of them was repeated after the repair and is good.
bool fix_proved(const profile::Profile&, const JobState&);
/// True where something was repaired and the unit's power-up test, as it last ended, failed: nothing is released so.
bool own_test_failed(const JobState&);
/// The check that proves an owed row, null where something else does.
const profile::Check* owed_check(const profile::Profile&, const OwedState&);
/// The latest answer to that check since the last repair, and how many since then are not good.
const Answer* owed_answer(const JobState&, const OwedState&, const profile::Check&);
int owed_in_vain(const JobState&, const OwedState&, const profile::Check&);
/// Answers that the line gives by itself now: automatic checks whose reading has been saved.
std::vector<Command> automatic_answers(const profile::Profile&, const JobState&, const Context&);
/// "worked", "inspected", "released": those that this job needs, in order.
std::vector<std::string> signs_needed(const profile::Profile&, const JobState&);

} // namespace chockside::job
