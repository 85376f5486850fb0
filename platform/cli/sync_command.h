#pragma once

#include <string>

namespace CLI {
class App;
}

namespace chockside::cli {

struct Run;

struct SyncOptions {
    std::string folder = {}; ///< of the store; empty: the device's data folder
    std::string to = {};     ///< the shop's address; empty: the one of the enrolment
    std::string enrol = {};  ///< the text of the shop's code
    std::string person = {}; ///< whose PIN opens a locked store; a locked one sends envelopes only
    std::string name = "tablet";
    std::string carry = {};    ///< no contact: a file for what the shop has no receipt of
    std::string receipts = {}; ///< no contact: a file that came back from the shop
    int seconds = 300;       ///< gives up after so many without an end
    bool json = false;
};

/// `sync`: one contact with the shop, or by file without one. `entries`, `at_shop`, `archived`, `files`, `went_back`, `reason`, `stopped`. Exit: 0 everything is at
/// the shop, 1 not everything, 2 usage, 3 the store could not be opened.
int sync_now(const SyncOptions&, const Run&);
void add_sync_command(CLI::App& app, Run& run);

} // namespace chockside::cli
