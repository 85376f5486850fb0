// Start after a crash with 100,000 entries (figure R12): a writer is killed with work in its log; open, list of jobs and one more entry
// take at most 2 s. The log stays within 16 MiB at all times, while entries are appended and while jobs are taken in from elsewhere.
//
// Usage: rig_recovery [--entries N]. One JSON line. Exit 0 good, 1 not, 3 the rig itself failed.
#include <tests/rigs/bench.h>
#include <tests/rigs/rig.h>

#include <chrono>
#include <csignal>
#include <sys/wait.h>
#include <unistd.h>

using namespace chockside;
using namespace chockside::rigs;

namespace {

constexpr long log_most = 16L << 20;
constexpr int at_once = 100, jobs = 50;
constexpr double usable_within_s = 2;

long log_bytes(const std::string& folder)
{
    std::error_code none;
    const auto size = std::filesystem::file_size(folder + "/journal.db-wal", none);
    return none ? 0 : static_cast<long>(size);
}

Result<std::vector<journal::Entry>> put(journal::Store& store, int n, int entries)
{
    journal::Draft d;
    d.kind = "read";
    d.person = "p-1";
    d.body = json::Object{{"n", n}, {"text", std::string(400, 'x')}};
    const std::vector<journal::Draft> drafts(static_cast<std::size_t>(entries), d);
    const std::string job = "job-" + std::to_string(n % jobs);
    return store.append(job, "c" + std::to_string(n), drafts, journal::JobRow{job, "heading wanders", "Q4-RMP", "isolate", 1, n, 0, false});
}

struct Report {
    long entries, log_bytes;
};

/// Many at a time up to the number, then one by one until it is killed.
[[noreturn]] void writer(const std::string& folder, long entries, int pipe)
{
    Place place(folder);
    auto store = place.open();
    if (!store) ::_exit(3);
    long written = 0, most = 0;
    for (int n = 0;; ++n) {
        const auto done = put(**store, n, written < entries ? at_once : 1);
        if (!done) ::_exit(3);
        written += static_cast<long>(done->size());
        most = std::max(most, log_bytes(folder));
        const Report r{written, most};
        if (::write(pipe, &r, sizeof r) != sizeof r) ::_exit(3);
    }
}

Report kill_after(const std::string& folder, long entries)
{
    int ends[2];
    if (::pipe(ends) != 0) return {};
    const pid_t child = ::fork();
    if (child == 0) writer(folder, entries, ends[1]);
    ::close(ends[1]);
    Report r{}, last{};
    while (last.entries < entries + 250 && ::read(ends[0], &r, sizeof r) == sizeof r) last = r;
    ::kill(child, SIGKILL);
    while (::read(ends[0], &r, sizeof r) == sizeof r) last = r;
    ::close(ends[0]);
    ::waitpid(child, nullptr, 0);
    return last;
}

/// Jobs taken into an empty store, one after the other, with no entry of its own between; the largest size of its log.
long take_in(journal::Store& from, const std::string& folder, int how_many)
{
    Place place(folder);
    auto store = place.open();
    long most = 0;
    for (int j = 0; j < how_many; ++j) {
        const auto text = from.export_job("job-" + std::to_string(j));
        if (!store || !text || !(*store)->import_lines(*text)) return -1;
        most = std::max(most, log_bytes(folder));
    }
    return most;
}

} // namespace

int main(int argc, char** argv)
{
    const Arguments arguments(argc, argv, {"--entries", "--bug"});
    const long entries = arguments.number("--entries", 100'000);
    const WorkFolder work("recovery");
    const std::string folder = work.path() + "/store";
    const Report told = kill_after(folder, entries);
    const long log_left = log_bytes(folder);
    Verdict v;
    Place place(folder);
    const auto from = std::chrono::steady_clock::now();
    auto store = place.open();
    if (!store) return 3;
    const auto list = (*store)->jobs();
    const auto one_more = put(**store, -1, 1);
    const double usable_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
    if (!list || list->size() != jobs || !one_more) v.count(&Verdict::unusable, "not usable");
    else if (one_more->front().envelope.seq <= told.entries) v.count(&Verdict::lost, "entries");
    if (usable_s > usable_within_s) v.count(&Verdict::unusable, "slow");
    const long taken_in = take_in(**store, work.path() + "/other", static_cast<int>(std::min(jobs / 2L, entries / 4000 + 1)));
    if (taken_in < 0) v.count(&Verdict::unusable, "import");
    if (told.log_bytes > log_most) v.count(&Verdict::unusable, "log too large while writing");
    if (taken_in > log_most) v.count(&Verdict::unusable, "log too large while taking in");
    return tell_result("recovery", {{"entries", told.entries}, {"log_at_crash_kib", log_left / 1024}, {"usable_ms", static_cast<long>(usable_s * 1000)}, {"log_most_kib", told.log_bytes / 1024}, {"log_most_taking_in_kib", taken_in / 1024}}, v, told.entries >= entries);
}
