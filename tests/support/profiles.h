#pragma once
// Bundled profiles as the tests' own disk has them.

#include <core/profile/load.h>

#include <cstdlib>
#include <fstream>
#include <sstream>

namespace chockside::tests {

inline std::string text_of_asset(const std::string& name)
{
    std::ifstream file(std::string(CHOCKSIDE_SOURCE_DIR "/assets/") + name);
    std::stringstream text;
    text << file.rdbuf();
    return text.str();
}

/// By its file's name without ".json"; ends the program where it has a complaint that is an error.
inline profile::Profile bundled(const std::string& name)
{
    const profile::FindHalf half = [](const std::string& id, profile::Half h) -> Result<std::string> {
        return text_of_asset("profiles/" + id + (h == profile::Half::unit ? ".unit.json" : ".installation.json"));
    };
    auto out = profile::load(text_of_asset("profiles/" + name + ".json"), half);
    if (!out.usable()) std::abort();
    return std::move(out.profile);
}

} // namespace chockside::tests
