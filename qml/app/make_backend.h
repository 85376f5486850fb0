#pragma once
// Where the real work is put behind the screens.

#include "backend.h"

#include <memory>

namespace chockside::app {

struct BackendOptions {
    QString data;   ///< folder of jobs
    QString port;   ///< serial port, empty: none chosen
    QString fault;  ///< practice: this fault; empty: drawn by seed
    bool coupled = true; ///< practice: what is recorded as done is done in the practice world
};

std::unique_ptr<AppBackend> make_backend(const BackendOptions& options);

} // namespace chockside::app
