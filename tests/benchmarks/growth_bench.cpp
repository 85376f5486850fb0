// links: core_journal core_job platform_system PkgConfig::SQLITE
// How start and fold grow with the journal: 10^3 to 10^5 entries, 10^6 with CHOCKSIDE_LONG. Open and close over the floor of opening the same file
// with SQLite alone and reading its newest row; fold over the floor of one pass that hashes each envelope. The exponent is that of the
// growth from the smallest to the largest: 0 stands still, 1 grows in step. Reported, without a bound.
#include "bench.h"

#include <core/job/state.h>
#include <core/journal/seal.h>
#include <core/journal/store.h>
#include <core/trust/trust.h>
#include <platform/system/system.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <sqlite3.h>
#include <string>
#include <unistd.h>

using namespace chockside;

namespace {

constexpr int at_once = 100, a_job = 1000;

[[noreturn]] void stop(const char* why)
{
    std::fprintf(stderr, "growth_bench: %s\n", why);
    std::exit(3);
}

struct Bench {
    system::SystemDisk disk;
    system::SystemClock clock;
    trust::SystemRandom random;
    std::string folder;
    std::unique_ptr<journal::Store> open()
    {
        auto store = journal::Store::open(disk, clock, random, {folder, false, 0});
        if (!store) stop("no store");
        return std::move(*store);
    }
};

journal::Draft draft(long n)
{
    constexpr const char* kinds[] = {"still", "motion", "presence", "answer"};
    journal::Draft d;
    d.kind = n % a_job == 0 ? "opened" : kinds[n % 4];
    d.person = "p-1";
    d.body = json::Object{{"is", "intermittent"}, {"check", "check-" + std::to_string(n % 20)}, {"outcome", "yes"}, {"value", "271.35"}, {"note", std::string(150, 'n')}};
    return d;
}

void grow(journal::Store& store, long from, long to)
{
    for (long n = from; n < to; n += at_once) {
        std::vector<journal::Draft> drafts;
        for (long i = n; i < n + at_once; ++i) drafts.push_back(draft(i));
        const std::string job = "job-" + std::to_string(n / a_job);
        if (!store.append(job, std::to_string(n), drafts, journal::JobRow{job, "heading wanders", "Q4-RMP", "isolate", 1, n, a_job, true})) stop("append");
    }
}

void open_bare(const std::string& file)
{
    sqlite3* db = nullptr;
    sqlite3_stmt* s = nullptr;
    if (sqlite3_open_v2(file.c_str(), &db, SQLITE_OPEN_READWRITE, nullptr) != SQLITE_OK || sqlite3_prepare_v2(db, "SELECT hash FROM entry ORDER BY id DESC LIMIT 1", -1, &s, nullptr) != SQLITE_OK || sqlite3_step(s) != SQLITE_ROW) stop("floor");
    sqlite3_finalize(s);
    sqlite3_close(db);
}

struct Times {
    double open = 0, open_floor = 0, fold = 0, fold_floor = 0;
};

Times measure(Bench& b, long n)
{
    Times t;
    auto open = [&] { bench::keep(b.open()->author().size()); };
    auto bare = [&] { open_bare(b.folder + "/journal.db"); };
    open();
    std::vector<double> opens, bares;
    for (int i = 0; i < 15; ++i) opens.push_back(bench::seconds(open, 1)), bares.push_back(bench::seconds(bare, 1));
    std::nth_element(opens.begin(), opens.begin() + 7, opens.end());
    std::nth_element(bares.begin(), bares.begin() + 7, bares.end());
    t.open = opens[7], t.open_floor = bares[7];
    const auto entries = b.open()->all_entries();
    if (!entries || static_cast<long>(entries->size()) != n) stop("entries");
    const profile::Profile profile;
    const int reps = static_cast<int>(std::max(1L, 20'000 / n));
    auto fold = [&] { bench::keep(job::fold(profile, *entries).entries); };
    auto pass = [&] {
        for (const auto& e : *entries) bench::keep(journal::entry_hash(e.envelope_bytes).size());
    };
    t.fold = bench::seconds(fold, reps) / reps;
    t.fold_floor = bench::seconds(pass, reps) / reps;
    return t;
}

void tell(const char* what, long n, double time, double floor)
{
    std::printf("{\"target\":null,\"name\":\"%s, %ld entries\",\"ratio\":%.3g,\"bound\":null,\"method\":\"%.3f ms over %.3f ms\"}\n", what, n, time / floor, time * 1e3, floor * 1e3);
    std::fflush(stdout);
}

void tell_growth(const char* what, long first, long last, double a, double b)
{
    std::printf("{\"target\":null,\"name\":\"growth exponent of %s\",\"ratio\":%.3f,\"bound\":null,\"method\":\"%ld to %ld entries: %.3f to %.3f ms\"}\n", what, std::log(b / a) / std::log(static_cast<double>(last) / static_cast<double>(first)), first, last, a * 1e3, b * 1e3);
}

} // namespace

int main()
{
    Bench b;
    b.folder = std::string(CHOCKSIDE_BIN_DIR) + "/growth-bench-" + std::to_string(::getpid());
    std::vector<std::pair<long, Times>> all;
    const long most = std::getenv("CHOCKSIDE_LONG") ? 1'000'000 : 100'000;
    long have = 0;
    for (long n = 1000; n <= most; n *= 10) {
        grow(*b.open(), have, n);
        have = n;
        all.emplace_back(n, measure(b, n));
        tell("open and close over SQLite alone", n, all.back().second.open, all.back().second.open_floor);
        tell("fold over hashing each entry", n, all.back().second.fold, all.back().second.fold_floor);
    }
    std::filesystem::remove_all(b.folder);
    const auto &[first, small] = all.front();
    const auto &[last, large] = all.back();
    tell_growth("open and close", first, last, small.open, large.open);
    tell_growth("fold", first, last, small.fold, large.fold);
}
