#pragma once
// Where the real work is put behind the screens; until the desk stands, the samples.

#include "backend.h"

#include <memory>

namespace chockside::app {

struct BackendOptions {
    QString data;   ///< folder of jobs
    QString port;   ///< serial port, empty: none chosen
};

std::unique_ptr<AppBackend> make_backend(const BackendOptions& options);

} // namespace chockside::app
