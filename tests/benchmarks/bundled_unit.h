#pragma once

#include <core/codec/plan.h>
#include <core/profile/load.h>

#include <cstdlib>
#include <fstream>
#include <memory>
#include <sstream>

namespace chockside::bench {

/// The bundled unit with ARINC 429 words; leaves with 3 where its profile does not compile.
inline std::shared_ptr<const codec::Plan> bundled_plan()
{
    std::ifstream file(CHOCKSIDE_SOURCE_DIR "/assets/profiles/pru_2.unit.json");
    std::stringstream text;
    text << file.rdbuf();
    const auto made = codec::Plan::compile(profile::load_half(text.str(), profile::Half::unit).profile.unit);
    if (!made) std::exit(3);
    return *made;
}

} // namespace chockside::bench
