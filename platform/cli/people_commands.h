#pragma once

#include <core/journal/store.h>
#include <core/people/people.h>

#include <iosfwd>
#include <string>
#include <string_view>

namespace chockside::cli {

struct PeopleOptions {
    std::string folder = {}; ///< of the store; empty: the device's data folder
    std::string person = {}; ///< initials
    bool json = false;
};

// Who signs on this device. PINs are asked for at the terminal, or taken as lines of standard input.

/// `people` [{id, name, certificate_kind, certificate_number, public_key, opens}]; names only with --person, whose PIN unlocks.
int people_list(const PeopleOptions&, std::ostream& out, std::ostream& error);
/// A new PIN for `person`: the old one, then the new one.
int people_pin(const PeopleOptions&, std::ostream& out, std::ostream& error);
/// A new key for `person`, of whose people `store` is, and which is unlocked: at every moment the PIN opens a key that opens the store.
/// Codes: those of People::rotate(), Store::add_successor() and Store::replace_holder().
Result<people::People::Rotated> rotate_key(people::People&, journal::Store& store, const std::string& person, std::string_view pin);
/// A new key for `person` under the same PIN: `old_key`, `new_key`, `by_old`, `by_new`. The app must not be running.
int people_rotate(const PeopleOptions&, std::ostream& out, std::ostream& error);

} // namespace chockside::cli
