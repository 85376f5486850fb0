#pragma once

namespace CLI {
class App;
}

namespace chockside::cli {

struct Run;
/// Seeded practice jobs under simulated time, worked through by the engine and by four fixed policies. Exit 0 where every bound is held.
void add_campaign_command(CLI::App& app, Run& run);

} // namespace chockside::cli
