#pragma once

#include <core/base/disk.h>
#include <core/journal/store.h>
#include <core/profile/model.h>

#include <map>
#include <memory>
#include <optional>
#include <string>

namespace chockside::desk {

/// A profile that a job can be opened with, as a person chooses among them.
/// Of a profile's name, the digest of a bundle that the shop published; nothing where it is another's.
std::optional<std::string> published_digest(const std::string& name);

struct ProfileAtHand {
    std::string name;  ///< of its file, without ".json"; "own/NAME" in the shop's own folder, "shop/SHA256" of one that the shop published
    std::string id, title, aircraft_type, unit;
    int revision = 0;
    bool practice = false;
    bool published = false; ///< by the shop
    std::vector<std::pair<std::string, std::string>> complaints; ///< id, what it says
    std::string wrong; ///< why it can't be used: the first mistake as "CODE, line N"; empty: it can
};
/// Those in FOLDER/profiles of the assets and in the shop's own folder, which may use halves of the first, and the bundles that the shop
/// published, by their digests. Published ones first, then own ones, each by title; one that a published revision takes the place of is left
/// out.
std::vector<ProfileAtHand> profiles_at_hand(Disk&, const std::string& assets_folder, const std::string& own_folder, const std::map<std::string, std::string>& published = {});

/// The bytes that a job pins: the main file and the halves it uses, as one canonical JSON object {file name: text}. A name that begins with
/// "own/" is looked for in `own_folder`.
Result<std::string> bundled_bytes(Disk&, const std::string& assets_folder, const std::string& name, const std::string& own_folder = {});
/// Loads such a bundle; sha256 is that of the bundle. Code: bad_profile (file, line, message).
Result<std::shared_ptr<const profile::Profile>> parse_bundle(const std::string& bundle);
/// The pinned bytes of a job: from the store's attachment, else the bundled ones where their digest is the same.
Result<std::shared_ptr<const profile::Profile>> load_bundled(Disk&, const std::string& assets_folder, const std::string& name, journal::Store&, const std::string& sha);

} // namespace chockside::desk
