#pragma once

#include <core/journal/store.h>

namespace chockside::desk {

/// How this device opens a store of its own for writing, from the glass and from the command line alike: with the keyring that holds its
/// key, this machine's name and the witness. The keeper outlives the store.
struct OwnStore {
    std::unique_ptr<trust::KeyKeeper> keeper = {}; ///< null where no keyring is named
    journal::Store::Options options = {};
};
OwnStore own_store(Disk&, const std::string& folder);

} // namespace chockside::desk
