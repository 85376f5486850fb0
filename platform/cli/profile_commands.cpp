#include <platform/cli/profile_commands.h>

#include <core/base/json.h>
#include <core/codec/plan.h>
#include <core/profile/explain.h>
#include <core/profile/schema.h>
#include <platform/cli/command.h>
#include <platform/words/words.h>

#include <CLI/CLI.hpp>

#include <iostream>

namespace chockside::cli {

namespace {

struct Files {
    std::vector<std::string> paths;
    std::string which = "profile";
};

words::Words words_of(const profile::Objection& c)
{
    words::Words w = words::of({c.code, c.pointer, c.args});
    if (!c.mend.empty()) w.mend = "Did you mean \"" + c.mend + "\"?";
    return w;
}

json::Value row(const std::string& path, const profile::Objection& c)
{
    const words::Words w = words_of(c);
    return json::Object{{"file", c.file.empty() ? path : c.file}, {"pointer", c.pointer}, {"line", c.line}, {"column", c.column},
        {"severity", c.severity == profile::Severity::error ? "error" : "warning"}, {"code", c.code}, {"message", w.message}, {"mend", w.mend}};
}

void print(const std::string& path, const profile::Objection& c)
{
    const words::Words w = words_of(c);
    std::cout << (c.file.empty() ? path : c.file) << ":" << c.line << ":" << c.column << ": "
              << (c.severity == profile::Severity::error ? "error" : "warning") << ": " << w.message << (w.mend.empty() ? "" : " ") << w.mend << " ["
              << c.code << " " << (c.pointer.empty() ? "/" : c.pointer) << "]\n";
}

// What only compiling finds: two fields of one name, places that do not fit.
void add_plan_problem(profile::LoadOutcome& out, const std::string& path)
{
    if (!out.usable() || path.ends_with(".installation.json")) return;
    const auto plan = codec::Plan::compile(out.profile.unit);
    if (plan) return;
    Problem::Args args = plan.error().args;
    args.emplace_back("place", plan.error().place); // of the compiler, nearer than the pointer
    out.complaints.push_back({{}, "/unit", 0, 0, profile::Severity::error, plan.error().code, std::move(args), {}});
}

int check(const Files& files, const Run& run)
{
    json::Value problems(json::Array{});
    bool usable = true;
    for (const std::string& path : files.paths) {
        auto out = load_profile(path);
        if (!out) return say(out.error(), run);
        add_plan_problem(*out, path);
        usable = usable && out->usable();
        for (const profile::Objection& c : out->complaints) {
            if (run.json)
                problems.push(row(path, c));
            else
                print(path, c);
        }
    }
    if (run.json) std::cout << json::write(json::Object{{"problems", problems}}) << "\n";
    return usable ? 0 : 1;
}

int explain(const Files& files, const Run& run)
{
    for (const std::string& path : files.paths) {
        const auto out = load_profile(path);
        if (!out) return say(out.error(), run);
        const std::string table = profile::explain(out->profile);
        std::cout << (run.json ? json::write(json::Object{{"file", path}, {"text", table}}) + "\n" : table);
    }
    return 0;
}

int schema(const Files& files)
{
    using profile::Shape;
    const Shape& shape = files.which == "unit" ? profile::unit_shape() : files.which == "installation" ? profile::installation_shape() : profile::profile_shape();
    std::cout << json::write_pretty(profile::schema_of(shape)) << "\n";
    return 0;
}

} // namespace

void add_profile_commands(CLI::App& app, Run& run)
{
    CLI::App* profile = app.add_subcommand("profile", "Check, explain or describe profiles");
    profile->require_subcommand(1);
    const auto files = std::make_shared<Files>();
    const auto command = [&](const char* name, const char* says) {
        CLI::App* c = profile->add_subcommand(name, says);
        add_json(*c, run);
        return c;
    };
    CLI::App* c = command("check", "Say what is wrong, with line, place and mend");
    c->add_option("FILE", files->paths, "Profiles, or halves (NAME.unit.json, NAME.installation.json)")->required();
    c->callback([files, &run] { run.code = check(*files, run); });
    c = command("explain", "A table to proofread against the manual");
    c->add_option("FILE", files->paths, "Profiles or halves")->required();
    c->callback([files, &run] { run.code = explain(*files, run); });
    c = command("schema", "The JSON Schema (draft-07) of profiles");
    c->add_option("--of", files->which, "profile, unit or installation")->check(CLI::IsMember({"profile", "unit", "installation"}));
    c->callback([files, &run] { run.code = schema(*files); });
}

} // namespace chockside::cli
