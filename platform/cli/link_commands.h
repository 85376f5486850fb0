#pragma once

#include <platform/cli/command.h>

namespace chockside::cli {

/// link check --port P --profile FILE: why does nobody talk to me; link identify --port P: rate, framing and checksum of a stream.
void add_link_commands(CLI::App& app, Run& run);

} // namespace chockside::cli
