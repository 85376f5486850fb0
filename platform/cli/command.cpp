#include <platform/cli/command.h>

#include <core/base/json.h>
#include <platform/system/system.h>
#include <platform/words/words.h>

#include <CLI/CLI.hpp>

#include <filesystem>
#include <iostream>

namespace chockside::cli {

void add_json(CLI::App& command, Run& run)
{
    command.add_flag("--json", run.json, "One JSON object on standard output");
}

int say(const Problem& p, const Run& run, int code)
{
    const words::Words w = words::of(p);
    if (run.json)
        std::cerr << json::write(json::Object{{"code", p.code}, {"place", p.place}, {"message", w.message}, {"mend", w.mend}}) << "\n";
    else
        std::cerr << (p.place.empty() ? "" : p.place + ": ") << w.message << (w.mend.empty() ? "" : " " + w.mend) << "\n";
    return code;
}

Result<std::string> text_of(const std::string& path)
{
    system::SystemDisk disk;
    auto bytes = disk.read(path, 64u << 20);
    if (!bytes) {
        Problem p = bytes.error();
        if (p.place.empty()) p.place = path;
        return Unexpected{p};
    }
    return to_text(*bytes);
}

Result<profile::LoadOutcome> load_profile(const std::string& path)
{
    const auto text = text_of(path);
    if (!text) return Unexpected{text.error()};
    const std::string beside = std::filesystem::path(path).parent_path().string();
    const profile::FindHalf find = [&](const std::string& id, profile::Half half) -> Result<std::string> {
        if (id.find('/') != std::string::npos) return fail("not_found", id);
        const std::string name = id + (half == profile::Half::unit ? ".unit.json" : ".installation.json");
        auto near = text_of((beside.empty() ? std::string(".") : beside) + "/" + name);
        return near ? near : text_of(system::assets_folder() + "/profiles/" + name);
    };
    profile::LoadOutcome out;
    if (path.ends_with(".unit.json"))
        out = profile::load_half(*text, profile::Half::unit);
    else if (path.ends_with(".installation.json"))
        out = profile::load_half(*text, profile::Half::installation);
    else
        out = profile::load(*text, find);
    return out;
}

Result<std::shared_ptr<const profile::Profile>> usable_profile(const std::string& path)
{
    auto out = load_profile(path);
    if (!out) return Unexpected{out.error()};
    for (const profile::Objection& c : out->complaints)
        if (c.severity == profile::Severity::error)
            return fail("bad_profile", c.file.empty() ? path : c.file, {{"line", std::to_string(c.line)}, {"code", c.code}, {"pointer", c.pointer}});
    return std::shared_ptr<const profile::Profile>(std::make_shared<profile::Profile>(std::move(out->profile)));
}

} // namespace chockside::cli
