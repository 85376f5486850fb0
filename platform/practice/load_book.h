#pragma once

#include <core/base/disk.h>
#include <core/practice/profile_wire.h>
#include <core/practice/scenario.h>

#include <optional>
#include <string>

namespace chockside::practice {

/// The practice file that names the profile's id, from the folder "practice" beside the profile's folder.
/// Codes: those of Disk and Book, no_practice_for (place = profile id).
Result<Book> load_book(Disk& disk, const std::string& profile_path);

struct SpokenUnit {
    ProfileWire wire;
    double line_rate = 0; ///< bit/s
};

/// How the profile's unit speaks; nothing for PRU-2, which the aircraft speaks by hand.
/// Codes: those of Disk, the JSON reader, Plan::compile; practice_unit (the unit half is unfit).
Result<std::optional<SpokenUnit>> load_wire(Disk& disk, const std::string& profile_path);

} // namespace chockside::practice
