#pragma once
// A picture on this device becomes an attachment: sealed at rest under its digest, which the entry holds in place of its path.

#include <core/base/disk.h>
#include <core/job/command.h>
#include <core/journal/store.h>

namespace chockside::desk {

/// `path` of the command's arguments becomes `sha` and `media`; without one nothing happens. Codes: bad_picture, those of disk and store.
Status attach_picture(Disk&, journal::Store&, job::Command&);

} // namespace chockside::desk
