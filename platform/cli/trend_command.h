#pragma once

namespace CLI {
class App;
}

namespace chockside::cli {

struct Run;
void add_trend_command(CLI::App& app, Run& run);

} // namespace chockside::cli
