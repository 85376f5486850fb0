#include <platform/desk/own_store.h>

#include <platform/keyring/keyring.h>
#include <platform/system/system.h>

#include <filesystem>

namespace chockside::desk {

namespace {

/// The keyring names a key by its store's folder: however that is spelled, it is the same one.
std::string spelled_once(const std::string& folder)
{
    std::error_code bad;
    const auto whole = std::filesystem::absolute(folder, bad).lexically_normal();
    if (bad) return folder;
    return whole.has_filename() ? whole.string() : whole.parent_path().string();
}

} // namespace

OwnStore own_store(Disk& disk, const std::string& folder)
{
    OwnStore own;
    own.keeper = keyring::open();
    own.options.folder = spelled_once(folder);
    own.options.keeper = own.keeper.get();
    own.options.device = system::device_id();
    if (disk.make_folder(folder)) own.options.witness = system::witness_file(folder);
    return own;
}

} // namespace chockside::desk
