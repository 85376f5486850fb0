#include <platform/cli/campaign_command.h>
#include <platform/cli/command.h>
#include <platform/cli/decode_commands.h>
#include <platform/cli/isolate_command.h>
#include <platform/cli/link_commands.h>
#include <platform/cli/more_commands.h>
#include <platform/cli/profile_commands.h>
#include <platform/cli/swing_command.h>
#include <platform/cli/trend_command.h>
#include <CLI/CLI.hpp>

#include <algorithm>

int main(int argc, char** argv)
{
    using namespace chockside::cli;
    CLI::App app{"Attitude, heading and air-data fault work beside the aircraft", "chockside-cli"};
    app.require_subcommand(1);
    Run run;
    add_profile_commands(app, run);
    add_decode_command(app, run);
    add_trend_command(app, run);
    add_swing_command(app, run);
    add_isolate_command(app, run);
    add_campaign_command(app, run);
    add_link_commands(app, run);
    add_more_commands(app, run);
    run.json = std::any_of(argv + 1, argv + argc, [](const char* a) { return std::string_view(a) == "--json"; });
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& e) {
        if (e.get_exit_code() == 0) return app.exit(e);
        return say({"usage", {}, {{"what", e.what()}}}, run, 2);
    }
    return run.code;
}
