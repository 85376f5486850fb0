#pragma once
// What every rig's main needs: a store in a folder, the planted bug, the one line of figures.

#include <tests/rigs/bench.h>

#include <platform/system/system.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <vector>

namespace chockside::rigs {

struct Place {
    explicit Place(std::string in, std::uint64_t reserve_bytes = 0) : folder(std::move(in)), reserve(reserve_bytes) {}
    Result<std::unique_ptr<journal::Store>> open(bool read_only = false) { return journal::Store::open(disk, clock, random, {folder, read_only, reserve}); }
    Open opener()
    {
        return [this] { return open(); };
    }
    void remove() const { std::filesystem::remove_all(folder); }

    std::string folder;
    std::uint64_t reserve;
    system::SystemDisk disk;
    HeldClock clock;
    trust::SystemRandom random;
};

/// Only the rigs' own build has bugs to plant; asking the product's for one is a mistake of the caller.
inline void plant([[maybe_unused]] const std::string& name)
{
    if (name.empty()) return;
#ifdef PLANTED
    if (planted::choose(name)) return;
#endif
    std::fprintf(stderr, "no bug %s in this build\n", name.c_str());
    std::exit(2);
}

struct Figure {
    const char* name;
    long value;
};

/// 0 where the verdict is good; 3 where the run proves nothing, unless a fault was found all the same.
inline int tell_result(const char* rig, const std::vector<Figure>& figures, const Verdict& verdict, bool worth)
{
    std::printf("{\"rig\":\"%s\"", rig);
    for (const Figure& f : figures) std::printf(",\"%s\":%ld", f.name, f.value);
    std::printf(",%s,\"seconds\":%.1f,\"cpu_seconds\":%.1f,\"ok\":%s}\n", json_members(verdict).c_str(), seconds_since_start(), cpu_seconds(), verdict.good() && worth ? "true" : "false");
    std::fflush(stdout);
    return !verdict.good() ? 1 : worth ? 0 : 3;
}

} // namespace chockside::rigs
