#pragma once

#include <core/base/disk.h>
#include <core/journal/store.h>
#include <core/profile/model.h>

#include <memory>
#include <string>

namespace chockside::desk {

/// The bytes that a job pins: the main file and the halves it uses, as one canonical JSON object {file name: text}.
Result<std::string> bundled_bytes(Disk&, const std::string& assets_folder, const std::string& name);
/// Loads such a bundle; sha256 is that of the bundle. Code: bad_profile (file, line, message).
Result<std::shared_ptr<const profile::Profile>> parse_bundle(const std::string& bundle);
/// The pinned bytes of a job: from the store's attachment, else the bundled ones where their digest is the same.
Result<std::shared_ptr<const profile::Profile>> load_bundled(Disk&, const std::string& assets_folder, const std::string& name, journal::Store&, const std::string& sha);

} // namespace chockside::desk
