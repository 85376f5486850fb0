#pragma once

namespace CLI {
class App;
}

namespace chockside::cli {

struct Run;
/// What the evidence of a file says: likelihood, contributions, misfit, next, advice. Exit 0 where something is isolated or nothing is
/// found, 1 where the advice is another.
void add_isolate_command(CLI::App& app, Run& run);

} // namespace chockside::cli
