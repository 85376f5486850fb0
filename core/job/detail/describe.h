#pragma once

#include <core/journal/entry.h>
#include <core/profile/model.h>

#include <string>

namespace chockside::job::detail {

/// One line for the journal thread: what was found, done or said. Facts only.
std::string describe(const profile::Profile&, const journal::Entry&);
/// "PRU-2 channel 1" for a cause id, the id itself where the profile does not know it.
std::string cause_words(const profile::Profile&, const std::string& cause);
/// Words of an outcome of a check.
std::string outcome_words(const profile::Profile&, const std::string& check, const std::string& outcome);
/// What a person calls the thing a verb acts on: label of breaker, plug, panel, temporary.
std::string label_of(const profile::Profile&, const std::string& verb, const std::string& id);

} // namespace chockside::job::detail
