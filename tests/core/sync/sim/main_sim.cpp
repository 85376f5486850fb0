// Figure R5: histories of tablets and a shop under seeds, each run twice with equal traces. A failing seed is printed.
//
// Usage: sync_sim [--seeds N] [--first S] [--bug NAME]. One JSON line. Exit 0 good, 1 a violation, 3 the run proves nothing.
#include <tests/core/sync/sim/world.h>

#include <core/base/planted.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <string>

using namespace chockside;

namespace {

struct Arguments {
    long seeds = std::getenv("CHOCKSIDE_LONG") ? 200'000 : 2'000;
    long first = 1;
    std::string bug;
};

bool read(int argc, char** argv, Arguments& a)
{
    for (int i = 1; i + 1 < argc; i += 2) {
        if (!std::strcmp(argv[i], "--seeds")) a.seeds = std::atol(argv[i + 1]);
        else if (!std::strcmp(argv[i], "--first")) a.first = std::atol(argv[i + 1]);
        else if (!std::strcmp(argv[i], "--bug")) a.bug = argv[i + 1];
        else return false;
    }
    return true;
}

} // namespace

int main(int argc, char** argv)
{
    Arguments a;
    if (!read(argc, argv, a)) return 2;
#ifdef CHOCKSIDE_PLANTED
    if (!a.bug.empty() && !planted::choose(a.bug)) return 2;
#else
    if (!a.bug.empty()) return 2;
#endif
    sim::Counts all;
    long violations = 0, different = 0, done = 0;
    for (long seed = a.first; seed < a.first + a.seeds; ++seed, ++done) {
        sim::World one(static_cast<std::uint64_t>(seed)), two(static_cast<std::uint64_t>(seed));
        one.run();
        two.run();
        all.add(one.counts);
        if (one.trace != two.trace) ++different, std::fprintf(stderr, "seed %ld: two runs, two traces\n", seed);
        if (one.verdict.violations) ++violations, std::fprintf(stderr, "seed %ld: %s\n", seed, one.verdict.first.c_str());
        if ((violations || different) && (!a.bug.empty() || violations > 20)) break;
    }
    std::printf("{\"rig\":\"sync\",\"seeds\":%ld,\"violations\":%ld,\"traces_differ\":%ld,\"events\":%ld,\"requests\":%ld,\"crashes\":%ld,\"lost\":%ld,\"doubled\":%ld,\"cut\":%ld,\"commits_failed\":%ld,"
                "\"restores\":%ld,\"forks\":%ld,\"revocations\":%ld,\"forged\":%ld,\"strange\":%ld,\"entries\":%ld,\"taken_in\":%ld,\"blobs\":%ld,\"cpu_seconds\":%.1f}\n",
        done, violations, different, all.events, all.requests, all.crashes, all.lost, all.doubled, all.cut, all.commits_failed, all.restores, all.forks, all.revocations, all.forged, all.strange, all.entries,
        all.taken_in, all.blobs, static_cast<double>(std::clock()) / CLOCKS_PER_SEC);
    if (violations || different) return 1;
    const bool worth = a.seeds < 500 || (all.restores && all.forks && all.revocations && all.forged && all.cut && all.commits_failed && all.blobs && all.taken_in);
    return worth ? 0 : 3;
}
