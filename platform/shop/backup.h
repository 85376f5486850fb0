#pragma once
// The house: everything that one folder and one database hold, put together in the right order; and copies of it.

#include <platform/shop/app.h>
#include <platform/shop/certificate.h>
#include <platform/system/system.h>

namespace chockside::shop {

struct House {
    /// Makes folder and key where they lack. Codes: locked (SQLite: another receiver has it), bad_key, unfinished (a backup or a restore into it
    /// broke off, and it is not opened in order to be filled), and those of files and database.
    static Result<std::unique_ptr<House>> open(const std::string& folder, const std::string& database, bool filling = false);
    /// Tables, epoch, threads.
    Status start();
    /// Threads end; what waits is told.
    void stop();
    std::unique_ptr<Reader> reader() { return std::make_unique<Reader>(*database, clock, random, key); }

    std::string folder;
    system::SystemClock clock = {};
    system::SystemDisk disk = {};
    trust::SystemRandom random = {};
    std::unique_ptr<Disk::Lock> lock = {};
    trust::KeyPair key;
    std::unique_ptr<Database> database;
    Blobs blobs;
    Uploads uploads;
    Accounts accounts{clock, random};
    Signatures signatures{100'000};
    Book book{blobs, clock, signatures};
    SqlLedger ledger{*database, false};
    sync::Receive receive{ledger, clock, random, key};
    std::unique_ptr<Writer> writer = {};
    std::unique_ptr<Workers> readers = {}, files = {}, takers = {};
    std::vector<std::string> pins = {};

    House(std::string f, trust::KeyPair k, std::unique_ptr<Database> d, Blobs b, Folder u)
        : folder(std::move(f)), key(std::move(k)), database(std::move(d)), blobs(std::move(b)), uploads(std::move(u), blobs, clock, random, {})
    {
    }
};

struct Whole {
    std::int64_t entries = 0, blobs = 0;
    std::string bad; ///< the first thing that is not as it should be, with its place; empty: none
};

/// Chains, signatures, the log's tree, every blob's digest; trusts nothing.
Result<Whole> verify_all(House&);
/// Copies entries, keys, devices, nodes, accounts and blobs into FOLDER (a SQLite house of its own), verifies the copy, and only then marks what it
/// holds as archived.
Result<Whole> back_up(House&, const std::string& folder);
/// Gives the new epoch. One that broke off is begun again in the same DATA, which serves nobody before it is whole. Codes: exists (DATA or the
/// database holds something), not_verified, and those of House.
Result<std::string> restore_copy(const std::string& from, const std::string& folder, const std::string& database);

} // namespace chockside::shop
