#pragma once
// What the commands share. Each command is a file with `void add_NAME(CLI::App& app, Run& run)`, which adds a subcommand whose callback
// sets run.code: 0 done, 1 the answer is no, 2 usage, 3 input or device error.

#include <core/base/result.h>
#include <core/profile/load.h>

#include <memory>
#include <string>

namespace CLI {
class App;
}

namespace chockside::cli {

struct Run {
    int code = 0;
    bool json = false;
};

/// Adds --json to a command.
void add_json(CLI::App& command, Run& run);
/// Says what went wrong on standard error (one JSON object {code, place, message, mend} with --json) and gives 3.
int say(const Problem&, const Run&, int code = 3);

Result<std::string> text_of(const std::string& path);
/// A profile file with its halves beside it, or in the bundled folder.
Result<profile::LoadOutcome> load_profile(const std::string& path);
/// The same, refused where it has errors (bad_profile).
Result<std::shared_ptr<const profile::Profile>> usable_profile(const std::string& path);

} // namespace chockside::cli
