#include "make_backend.h"
#include "sample_backend.h"

namespace chockside::app {

std::unique_ptr<AppBackend> make_backend(const BackendOptions&) { return std::make_unique<SampleBackend>(); }

} // namespace chockside::app
