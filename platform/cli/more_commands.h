#pragma once

namespace CLI {
class App;
}

namespace chockside::cli {

struct Run;
/// Commands whose work is a plain function elsewhere in this room.
void add_more_commands(CLI::App& app, Run& run);

} // namespace chockside::cli
