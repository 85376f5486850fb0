#include "make_backend.h"
#include "desk_backend.h"

namespace chockside::app {

std::unique_ptr<AppBackend> make_backend(const BackendOptions& options) { return std::make_unique<DeskBackend>(options); }

} // namespace chockside::app
