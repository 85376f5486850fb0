#pragma once

#include <iosfwd>
#include <string>

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
/// A new key for `person` under the same PIN: `old_key`, `new_key`, `by_old`, `by_new`. The app must not be running.
int people_rotate(const PeopleOptions&, std::ostream& out, std::ostream& error);

} // namespace chockside::cli
