#pragma once

namespace CLI {
class App;
}

namespace chockside::cli {

struct Run;
void add_profile_commands(CLI::App& app, Run& run);

} // namespace chockside::cli
