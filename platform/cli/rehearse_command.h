#pragma once

#include <cstdint>
#include <string>

namespace chockside::cli {

struct RehearseOptions {
    std::string program;        ///< this program, started again as the practice aircraft
    std::string out;            ///< folder that takes journal, captures, PDF
    std::string profile = "sandgrouse_12_ramp"; ///< a bundled one by its name
    std::string fault;          ///< empty: drawn by seed
    std::string forget;         ///< breaker that the technician records as in without touching it
    std::uint64_t seed = 1;
    double scale = 30;
    double slip = 0.02;
    double dwell_min = 0;       ///< unit minutes with the line running before the isolation goes on
    bool rss = false;           ///< a line "RSS <kB>" every unit minute
    bool json = false;
    bool talk = false;
};

/// Works a whole practice job without a screen, by the app's own prompts: real desk, real serial line over a pseudo-terminal, the
/// practice aircraft in its own process. Exit: 0 closed and right, 1 not, 3 could not be run.
int rehearse(const RehearseOptions&);

} // namespace chockside::cli
