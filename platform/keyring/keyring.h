#pragma once

#include <core/trust/keeper.h>

#include <memory>

namespace chockside::keyring {

/// The desktop's keyring by the Secret Service interface of freedesktop.org (libsecret); null where no session bus is named. Each call
/// answers within two seconds, or thirty where somebody may have to open the keyring first, or counts as silent.
std::unique_ptr<trust::KeyKeeper> open();

} // namespace chockside::keyring
