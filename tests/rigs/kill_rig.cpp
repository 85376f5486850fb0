// Kills a writing process again and again and compares what it was told with what is on the disk. Reliability figure: entries that were
// acknowledged and are lost, or are there twice, must be 0 whatever the moment.
//
// Usage: rig_kill [--long] [--trials N] [--plant-bug]   (the planted bug acknowledges before it writes: the rig must go red)
// Prints one JSON line. Exit 0 where nothing was lost, 1 where something was, 3 where the rig itself failed.
#include <core/journal/store.h>
#include <platform/system/system.h>

#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <set>
#include <sys/wait.h>
#include <unistd.h>

using namespace chockside;

namespace {

struct Acknowledged {
    std::int64_t number;
    char hash[64];
};

std::string command_of(std::int64_t n)
{
    return "c" + std::to_string(n);
}

struct Bench {
    system::SystemDisk disk;
    system::SystemClock clock;
    trust::SystemRandom random;
    std::string folder;

    Result<std::unique_ptr<journal::Store>> open() { return journal::Store::open(disk, clock, random, {folder, false, 0}); }
};

Result<std::vector<journal::Entry>> write_one(journal::Store& store, std::int64_t n)
{
    journal::Draft d;
    d.kind = "read";
    d.body = json::Object{{"n", n}, {"text", std::string(300, 'x')}};
    return store.append("job", command_of(n), std::span(&d, 1));
}

[[noreturn]] void writer(Bench& bench, int pipe, std::int64_t from, bool bug)
{
    auto store = bench.open();
    if (!store) _exit(3);
    const Acknowledged ready{0, {}};
    if (::write(pipe, &ready, sizeof ready) != sizeof ready) _exit(3);
    for (std::int64_t n = from;; ++n) {
        Acknowledged a{n, {}};
        // The planted bug: told before it is true.
        if (bug && (::write(pipe, &a, sizeof a) != sizeof a || ::usleep(2000) != 0)) _exit(3);
        auto written = write_one(**store, n);
        if (!written) _exit(3);
        std::memcpy(a.hash, written->front().hash.data(), sizeof a.hash);
        if (!bug && ::write(pipe, &a, sizeof a) != sizeof a) _exit(3);
    }
}

struct Counts {
    std::int64_t trials = 0, acknowledged = 0, unannounced = 0, lost = 0, twice = 0, changed = 0, unverified = 0, failed = 0;
};

/// Checks one store after a kill: all that was acknowledged is there once, at most one entry is there that nobody was told of, and the
/// retry of that one answers it instead of writing it again.
void judge(Bench& bench, const std::vector<Acknowledged>& told, std::int64_t& next, Counts& counts, bool whole)
{
    auto store = bench.open();
    if (!store) {
        ++counts.failed;
        return;
    }
    const auto entries = (*store)->entries("job");
    if (!entries) {
        ++counts.failed;
        return;
    }
    std::map<std::int64_t, const journal::Entry*> by_number;
    for (const auto& e : *entries) counts.twice += !by_number.emplace(e.body["n"].as_int(), &e).second;
    for (const Acknowledged& a : told) {
        const auto found = by_number.find(a.number);
        if (found == by_number.end()) ++counts.lost;
        else if (a.hash[0] && found->second->hash != std::string(a.hash, sizeof a.hash)) ++counts.changed;
    }
    counts.acknowledged += static_cast<std::int64_t>(told.size());
    const std::int64_t last_told = told.empty() ? next - 1 : told.back().number;
    const std::int64_t last = by_number.empty() ? 0 : by_number.rbegin()->first;
    if (last > last_told) {
        counts.unannounced += last - last_told;
        const auto again = write_one(**store, last);
        if (!again || again->front().hash != by_number[last]->hash) ++counts.twice;
    }
    next = std::max(last, last_told) + 1;
    if (!whole) return;
    const auto report = (*store)->verify();
    if (!report || !report->ok) ++counts.unverified;
}

/// The longest wait before a kill, us: 20 ms, or four commits of this disk where they are slow.
double window_us(Bench& bench)
{
    auto store = bench.open();
    if (!store) return 20000;
    const auto from = std::chrono::steady_clock::now();
    constexpr int commits = 10;
    for (int n = 1; n <= commits; ++n) (void)write_one(**store, n);
    const double each = std::chrono::duration<double, std::micro>(std::chrono::steady_clock::now() - from).count() / commits;
    return std::max(20000.0, 4 * each);
}

/// Kills after U(1, window) ms: mostly counted from when the store is open and writing, at times (`opening`) from the start of the process.
bool trial(Bench& bench, SeededRandom& random, std::int64_t& next, Counts& counts, double window, bool bug, bool opening, bool whole)
{
    int ends[2];
    if (::pipe(ends) != 0) return false;
    const pid_t child = ::fork();
    if (child < 0) return false;
    if (child == 0) {
        ::close(ends[0]);
        writer(bench, ends[1], next, bug);
    }
    ::close(ends[1]);
    Acknowledged a;
    if (!opening && ::read(ends[0], &a, sizeof a) != sizeof a) ++counts.failed;
    ::usleep(static_cast<useconds_t>(random.uniform(1000, window)));
    ::kill(child, SIGKILL);
    std::vector<Acknowledged> told;
    while (::read(ends[0], &a, sizeof a) == sizeof a)
        if (a.number) told.push_back(a);
    ::close(ends[0]);
    int status = 0;
    ::waitpid(child, &status, 0);
    if (!WIFSIGNALED(status)) ++counts.failed;
    ++counts.trials;
    judge(bench, told, next, counts, whole);
    return true;
}

} // namespace

int main(int argc, char** argv)
{
    long trials = std::getenv("CHOCKSIDE_LONG") ? 10000 : 200;
    bool bug = false;
    for (int i = 1; i < argc; ++i) {
        if (!std::strcmp(argv[i], "--long")) trials = 10000;
        else if (!std::strcmp(argv[i], "--trials") && i + 1 < argc) trials = std::atol(argv[++i]);
        else if (!std::strcmp(argv[i], "--plant-bug")) bug = true;
        else return 2;
    }
    const auto root = std::filesystem::temp_directory_path() / ("chockside-kill-" + std::to_string(::getpid()));
    Bench bench;
    SeededRandom random(20260617);
    Counts counts;
    std::int64_t next = 1;
    bench.folder = (root / "pace").string();
    const double window = window_us(bench);
    for (long t = 0; t < trials; ++t) {
        // A fresh store now and then: the first moments (migration, key) are killed too, and reading back stays quick.
        if (t % 50 == 0) next = 1, bench.folder = (root / std::to_string(t / 50)).string();
        if (!trial(bench, random, next, counts, window, bug, t % 10 == 0, t % 10 == 9)) return 3;
        if (t % 50 == 49) std::filesystem::remove_all(bench.folder);
    }
    std::filesystem::remove_all(root);
    // A machine too slow to write anything within 20 ms proves nothing.
    if (counts.acknowledged < counts.trials / 4) ++counts.failed;
    const bool good = counts.lost == 0 && counts.twice == 0 && counts.changed == 0 && counts.unverified == 0 && counts.failed == 0;
    std::printf("{\"rig\":\"kill\",\"trials\":%lld,\"acknowledged\":%lld,\"unannounced\":%lld,\"lost\":%lld,\"twice\":%lld,\"changed\":%lld,\"unverified\":%lld,\"failed\":%lld,\"ok\":%s}\n",
        static_cast<long long>(counts.trials), static_cast<long long>(counts.acknowledged), static_cast<long long>(counts.unannounced), static_cast<long long>(counts.lost), static_cast<long long>(counts.twice),
        static_cast<long long>(counts.changed), static_cast<long long>(counts.unverified), static_cast<long long>(counts.failed), good ? "true" : "false");
    return good ? 0 : 1;
}
