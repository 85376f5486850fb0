#include <platform/cli/more_commands.h>

#include <platform/cli/command.h>
#if __has_include(<platform/cli/rehearse_command.h>)
#include <platform/cli/rehearse_command.h>
#endif

#include <CLI/CLI.hpp>

namespace chockside::cli {

namespace {

#if __has_include(<platform/cli/rehearse_command.h>)
void add_rehearse(CLI::App& app, Run& run)
{
    const auto o = std::make_shared<RehearseOptions>();
    CLI::App* c = app.add_subcommand("rehearse", "A whole practice job without a screen");
    add_json(*c, run);
    c->add_option("--out", o->out, "Folder for journal, captures and report")->required();
    c->add_option("--fault", o->fault, "The fault; without it one is drawn");
    c->add_option("--seed", o->seed, "Seed of the draw");
    c->add_option("--scale", o->scale, "How much faster than life")->check(CLI::PositiveNumber);
    c->add_option("--slip", o->slip, "Share of answers that slip")->check(CLI::Range(0.0, 1.0));
    c->add_flag("--talk", o->talk, "Say each step");
    c->callback([o, &run] {
        o->program = "/proc/self/exe";
        o->json = run.json;
        run.code = rehearse(*o);
    });
}
#endif

} // namespace

void add_more_commands([[maybe_unused]] CLI::App& app, [[maybe_unused]] Run& run)
{
#if __has_include(<platform/cli/rehearse_command.h>)
    add_rehearse(app, run);
#endif
}

} // namespace chockside::cli
