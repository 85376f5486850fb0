// Fills the disk under a writing store: a small tmpfs where the system lets us mount one, and a limit on the size of files (which
// strikes the database's log alone). Nothing that was refused may be there after reopening, nothing that was saved may be missing, and
// writing goes on once there is room.
// Prints one JSON line a case. Exit 0 good, 1 not, 3 the rig itself failed.
#include <core/journal/store.h>
#include <platform/system/system.h>

#include <csignal>
#include <cstdio>
#include <filesystem>
#include <sched.h>
#include <set>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace chockside;
namespace fs = std::filesystem;

namespace {

constexpr int entries_most = 2000;

struct Bench {
    system::SystemDisk disk;
    system::SystemClock clock;
    trust::SystemRandom random;
    std::string folder;
    std::uint64_t reserve = 0;
    Result<std::unique_ptr<journal::Store>> open() { return journal::Store::open(disk, clock, random, {folder, false, reserve}); }
};

Result<std::vector<journal::Entry>> write_one(journal::Store& store, int n)
{
    journal::Draft d;
    d.kind = "read";
    d.body = json::Object{{"n", n}, {"text", std::string(2000, 'x')}};
    return store.append("job", "c" + std::to_string(n), std::span(&d, 1));
}

struct Outcome {
    std::set<std::int64_t> saved, refused;
    std::string code;
    bool ok = true;
    std::string why;
    void fault(const char* what)
    {
        if (ok) why = what;
        ok = false;
    }
};

void fill(Bench& bench, Outcome& o)
{
    auto store = bench.open();
    if (!store) return o.fault("open");
    for (int n = 1; n <= entries_most && o.refused.size() < 3; ++n) {
        const auto written = write_one(**store, n);
        (written ? o.saved : o.refused).insert(n);
        if (!written) o.code = written.error().code;
    }
    if (o.refused.empty()) o.fault("never full");
    if (o.code != "disk_full" && o.code != "io_error") o.fault("code");
}

void judge(Bench& bench, Outcome& o)
{
    auto store = bench.open();
    if (!store) return o.fault("reopen");
    const auto entries = (*store)->entries("job");
    if (!entries) return o.fault("read");
    std::set<std::int64_t> there;
    for (const auto& e : *entries)
        if (!there.insert(e.body["n"].as_int()).second) o.fault("twice");
    for (const auto n : o.saved)
        if (!there.contains(n)) o.fault("saved and lost");
    for (const auto n : o.refused)
        if (there.contains(n)) o.fault("refused and there");
    const auto report = (*store)->verify();
    if (!report || !report->ok) o.fault("verify");
    if (!write_one(**store, entries_most + 1)) o.fault("no writing after room was made");
}

int tell(const char* name, const Outcome& o)
{
    std::printf("{\"rig\":\"full_disk\",\"case\":\"%s\",\"saved\":%zu,\"refused\":%zu,\"code\":\"%s\",\"why\":\"%s\",\"ok\":%s}\n", name, o.saved.size(), o.refused.size(), o.code.c_str(), o.why.c_str(), o.ok ? "true" : "false");
    std::fflush(stdout);
    return o.ok ? 0 : 1;
}

/// Runs a case in a process of its own, as limits and mounts can't be taken back.
int apart(int (*body)(const fs::path&), const fs::path& root)
{
    std::fflush(stdout);
    const pid_t child = ::fork();
    if (child == 0) {
        const int code = body(root);
        std::fflush(stdout);
        ::_exit(code);
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : 3;
}

int size_limit(const fs::path& root)
{
    std::signal(SIGXFSZ, SIG_IGN);
    Bench bench;
    bench.folder = (root / "limit").string();
    Outcome o;
    { (void)bench.open(); }
    rlimit before{};
    ::getrlimit(RLIMIT_FSIZE, &before);
    rlimit small = before;
    small.rlim_cur = 600 * 1024;
    ::setrlimit(RLIMIT_FSIZE, &small);
    fill(bench, o);
    ::setrlimit(RLIMIT_FSIZE, &before);
    judge(bench, o);
    return tell("size limit", o);
}

int small_disk(const fs::path& root)
{
    const fs::path at = root / "mount";
    fs::create_directories(at);
    const bool apart = ::unshare(CLONE_NEWNS) == 0 || ::unshare(CLONE_NEWUSER | CLONE_NEWNS) == 0;
    if (!apart || ::mount("none", "/", nullptr, MS_REC | MS_PRIVATE, nullptr) != 0 || ::mount("tmpfs", at.c_str(), "tmpfs", 0, "size=2m") != 0) {
        std::printf("{\"rig\":\"full_disk\",\"case\":\"small disk\",\"skipped\":\"this system lets us mount nothing\"}\n");
        return 0;
    }
    Bench bench;
    bench.folder = (at / "store").string();
    bench.reserve = 256 * 1024;
    Outcome o;
    fill(bench, o);
    if (o.code != "disk_full") o.fault("code");
    if (bench.disk.read(bench.folder + "/reserve", 1 << 20)) o.fault("the reserve was not given back");
    if (::mount("tmpfs", at.c_str(), "tmpfs", MS_REMOUNT, "size=16m") != 0) return 3;
    judge(bench, o);
    ::umount(at.c_str());
    return tell("small disk", o);
}

} // namespace

int main()
{
    const fs::path root = fs::temp_directory_path() / ("chockside-full-" + std::to_string(::getpid()));
    const int limit = apart(size_limit, root), disk = apart(small_disk, root);
    fs::remove_all(root);
    return std::max(limit, disk);
}
