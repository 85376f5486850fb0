// links: core_journal platform_system PkgConfig::SQLITE
// Target 16: the durable commit of one entry (400-byte body, its command in the same transaction) over the bare price of durability on
// this disk: 4 KiB overwritten in a preallocated file, then fdatasync. Both in one folder, in turns. The store signs what it writes, which
// is no part of a commit: from the moment it asks for the time, the first thing a seal does, until it draws the nonce under which the
// signed entry goes to rest, the clock is stopped. A second row says what the whole costs, a third what it is over plain sqlite3 that
// commits a row of the same bytes with the same settings, in the same turns. What is over the floor is work that does not grow with the
// flush, so the ratio hangs on the disk: it is told once more for files in memory and a flush that sleeps 118 us, the p50 of the disk on
// which the target was set.
#include <core/journal/store.h>
#include <platform/system/system.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fcntl.h>
#include <filesystem>
#include <sqlite3.h>
#include <sys/prctl.h>
#include <sys/syscall.h>
#include <sys/uio.h>
#include <unistd.h>

using namespace chockside;

namespace {

long flush_sleeps_ns = 0;

void flush_asleep()
{
    const timespec t{0, flush_sleeps_ns};
    ::nanosleep(&t, nullptr);
}

} // namespace

/// The flushes of the floor, of SQLite and of the store come here, as the linker finds the program's own first.
extern "C" int fdatasync(int fd)
{
    if (flush_sleeps_ns == 0) return static_cast<int>(::syscall(SYS_fdatasync, fd));
    flush_asleep();
    return 0;
}

extern "C" ssize_t pwritev2(int fd, const iovec* parts, int n, off_t at, int flags)
{
    const ssize_t written = ::syscall(SYS_pwritev2, fd, parts, n, at, 0, flags);
    if (flush_sleeps_ns != 0 && (flags & RWF_DSYNC)) flush_asleep();
    return written;
}

namespace {

using Clock_ = std::chrono::steady_clock;

double microseconds(const auto& work)
{
    const auto from = Clock_::now();
    work();
    return std::chrono::duration<double, std::micro>(Clock_::now() - from).count();
}

double quantile(std::vector<double> v, double q)
{
    std::sort(v.begin(), v.end());
    return v[static_cast<std::size_t>(q * static_cast<double>(v.size() - 1))];
}

[[noreturn]] void stop(const char* why)
{
    std::fprintf(stderr, "journal_bench: %s\n", why);
    std::exit(3);
}

class Floor {
public:
    explicit Floor(const std::string& path) : fd_(::open(path.c_str(), O_CREAT | O_TRUNC | O_RDWR, 0600))
    {
        for (int i = 0; i < pages; ++i)
            if (::write(fd_, page_, sizeof page_) != sizeof page_) stop("no floor file");
        ::fsync(fd_);
    }
    ~Floor() { ::close(fd_); }
    void once()
    {
        if (::pwrite(fd_, page_, sizeof page_, (at_++ % pages) * 4096) != sizeof page_ || ::fdatasync(fd_) != 0) stop("floor");
    }

private:
    static constexpr int pages = 256;
    int fd_;
    long at_ = 0;
    char page_[4096] = {1};
};

/// One row of as many bytes as an entry has, in a transaction of its own; the settings are the store's.
class Plain {
public:
    explicit Plain(const std::string& path)
    {
        if (sqlite3_open(path.c_str(), &db_) != SQLITE_OK) stop("no plain file");
        run("PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA wal_autocheckpoint=1000; CREATE TABLE entry(id INTEGER PRIMARY KEY, bytes BLOB)");
        for (auto [sql, to] : {std::pair{"BEGIN IMMEDIATE", &begin_}, {"INSERT INTO entry(bytes) VALUES(?)", &insert_}, {"COMMIT", &commit_}})
            if (sqlite3_prepare_v2(db_, sql, -1, to, nullptr) != SQLITE_OK) stop("plain");
    }
    ~Plain()
    {
        for (sqlite3_stmt* s : {begin_, insert_, commit_}) sqlite3_finalize(s);
        sqlite3_close(db_);
    }
    void once(std::size_t bytes)
    {
        step(begin_);
        sqlite3_bind_zeroblob(insert_, 1, static_cast<int>(bytes));
        step(insert_);
        step(commit_);
    }

private:
    void run(const char* sql)
    {
        if (sqlite3_exec(db_, sql, nullptr, nullptr, nullptr) != SQLITE_OK) stop("plain");
    }
    static void step(sqlite3_stmt* s)
    {
        if (sqlite3_step(s) != SQLITE_DONE) stop("plain");
        sqlite3_reset(s);
    }
    sqlite3* db_ = nullptr;
    sqlite3_stmt *begin_ = nullptr, *insert_ = nullptr, *commit_ = nullptr;
};

journal::Draft reading(int n)
{
    journal::Draft d;
    d.kind = "read";
    d.person = "p-1";
    d.body = json::Object{{"step", "read-" + std::to_string(n)}, {"signal", "heading_deg"}, {"value", "271.35"}, {"sigma", "0.04"}, {"samples", 400}, {"settled", true}, {"note", std::string(270, 'n')}};
    return d;
}

/// Sealing asks the time first, and a salt; the nonce is what the store draws next, when all is signed.
struct Sealing final : Clock, Random {
    system::SystemClock clock;
    trust::SystemRandom random;
    mutable Clock_::time_point began{};
    Clock_::time_point ended{};

    Now now() const override
    {
        began = Clock_::now();
        return clock.now();
    }
    void fill(std::span<std::byte> out) override
    {
        ended = Clock_::now();
        random.fill(out);
    }
    double took_us() const { return std::chrono::duration<double, std::micro>(ended - began).count(); }
};

/// Of the last entry: what its row holds. Beside the two texts: salt, nonce and tag of the seal, its key's number, hash, signature, about
/// twenty bytes of number and command.
std::size_t stored_bytes(journal::Store& store)
{
    const auto all = store.entries("job-1");
    if (!all || all->empty()) stop("no entries");
    const journal::Entry& e = all->back();
    return e.envelope_bytes.size() + e.body_bytes.size() + 32 + 40 + 4 + 32 + 64 + 20;
}

struct Times {
    std::vector<double> floor_us, append_us, commit_us, plain_us;
};

Times measured(const std::filesystem::path& folder)
{
    std::filesystem::create_directories(folder);
    Times t;
    {
        system::SystemDisk disk;
        Sealing sealing;
        auto store = journal::Store::open(disk, sealing, sealing, {(folder / "store").string()});
        if (!store) stop("no store");
        Floor floor((folder / "floor").string());
        Plain plain((folder / "plain").string());
        int n = 0;
        const auto append = [&] {
            const journal::Draft d = reading(n);
            if (!(*store)->append("job-1", "job-1/" + std::to_string(n++), std::span(&d, 1))) stop("append");
        };
        // Warm: past the first checkpoint, from when on the log is overwritten in place.
        for (int i = 0; i < 1200; ++i) append();
        const std::size_t bytes = stored_bytes(**store);
        for (int i = 0; i < 1200; ++i) plain.once(bytes);
        for (int i = 0; i < 1500; ++i) {
            t.floor_us.push_back(microseconds([&] { floor.once(); }));
            t.plain_us.push_back(microseconds([&] { plain.once(bytes); }));
            t.append_us.push_back(microseconds(append));
            t.commit_us.push_back(t.append_us.back() - sealing.took_us());
        }
    }
    std::filesystem::remove_all(folder);
    return t;
}

} // namespace

int main()
{
    const std::string name = "journal-bench-" + std::to_string(::getpid());
    const Times real = measured(std::filesystem::path(CHOCKSIDE_BIN_DIR) / name);
    const double floor = quantile(real.floor_us, 0.5), commit = quantile(real.commit_us, 0.5), append = quantile(real.append_us, 0.5), plain = quantile(real.plain_us, 0.5);
    std::printf("{\"target\":16,\"name\":\"durable commit of an entry over overwrite and fdatasync\",\"ratio\":%.3f,\"bound\":1.2,\"method\":\"medians of 1500 in turns: commit %.0f us (append less its sealing), floor %.0f us\"}\n",
        commit / floor, commit, floor);
    std::printf("{\"target\":16,\"name\":\"the same with the seal: JSON, SHA-256, Ed25519\",\"ratio\":%.3f,\"bound\":null,\"method\":\"entry %.0f us; p99 %.0f us, floor p99 %.0f us\"}\n",
        append / floor, append, quantile(real.append_us, 0.99), quantile(real.floor_us, 0.99));
    std::printf("{\"target\":16,\"name\":\"durable commit of an entry over plain sqlite3 of the same bytes\",\"ratio\":%.3f,\"bound\":null,\"method\":\"plain %.0f us, which is %.2f of the floor; the store signs (taken off), encrypts and knows the command\"}\n",
        commit / plain, plain, plain / floor);

    ::prctl(PR_SET_TIMERSLACK, 1);
    flush_sleeps_ns = 118'000;
    const Times still = measured(std::filesystem::path("/dev/shm") / name);
    const double still_floor = quantile(still.floor_us, 0.5), still_commit = quantile(still.commit_us, 0.5);
    std::printf("{\"target\":16,\"name\":\"durable commit of an entry over the floor, where a flush takes 118 us\",\"ratio\":%.3f,\"bound\":1.2,\"method\":\"files in memory, a flush sleeps: commit %.0f us, floor %.0f us\"}\n",
        still_commit / still_floor, still_commit, still_floor);
}
