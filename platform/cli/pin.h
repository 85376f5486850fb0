#pragma once

#include <core/journal/store.h>
#include <core/people/people.h>
#include <platform/system/system.h>

#include <iosfwd>
#include <string>

namespace chockside::cli {

/// From the terminal without echo, or a line of standard input where it is none.
std::string ask_pin(const char* prompt);

/// The key of a person of the store in `folder`, by the PIN that is asked for. Codes: those of People::sign().
Result<trust::KeyPair> key_of(Disk&, const Clock&, Random&, const std::string& folder, const std::string& person);

/// Says so where this open had to begin a new author.
void tell_anew(const journal::Store&, std::ostream& error);

} // namespace chockside::cli
