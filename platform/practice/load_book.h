#pragma once

#include <core/base/disk.h>
#include <core/practice/scenario.h>

#include <string>

namespace chockside::practice {

/// The practice file that names the profile's id, from the folder "practice" beside the profile's folder.
/// Codes: those of Disk and Book, no_practice_for (place = profile id).
Result<Book> load_book(Disk& disk, const std::string& profile_path);

} // namespace chockside::practice
