#pragma once

#include <cstdint>
#include <string>

namespace chockside::cli {

struct PracticeOptions {
    std::string profile;      ///< main profile file; the practice file is found beside its folder
    std::string fault;        ///< empty: drawn by seed
    std::uint64_t seed = 0;
    bool seed_given = false;  ///< false: a seed from the system's random source
    std::string pty;          ///< link to make; empty: the slave's own name
    std::string socket;       ///< empty: a name in the temporary folder
    double scale = 1;
    double linger_s = 0;      ///< ends by itself after so long with nobody at the socket; 0: never
};

/// Runs the practice aircraft until SIGTERM or SIGINT. Prints one line {"pty", "socket", "seed"} when it is ready; the fault is drawn
/// in here and told only after the finding. Exit: 0 ended, 3 could not be run.
int practice(const PracticeOptions& options);

} // namespace chockside::cli
