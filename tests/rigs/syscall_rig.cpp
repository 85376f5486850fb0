// Kills a writing process at every single system call of its write path (figure R2): strace puts SIGKILL on the N-th call of one kind,
// N = 1, 2, ... until the job ends by itself. Every point of one job, none left out.
//
// Usage: rig_syscall [--bug NAME] (the rig), rig_syscall --write FOLDER [--bug NAME] (the process that is killed; tells on its output).
// One JSON line. Exit 0 good, 1 not, 3 the rig itself failed, which an absent strace is.
#include <tests/rigs/bench.h>
#include <tests/rigs/rig.h>

#include <csignal>
#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace chockside;
using namespace chockside::rigs;

namespace {

constexpr std::uint64_t reserve = 64 * 1024;

int write_and_tell(const std::string& folder)
{
    Place place(folder, reserve);
    run_job(place.opener(), {}, [](const Event& e) {
        const std::string line = line_of(e);
        if (::write(STDOUT_FILENO, line.data(), line.size()) != static_cast<ssize_t>(line.size())) ::_exit(3);
    });
    return 0;
}

enum class End { whole, killed, broken };

struct Run {
    End end = End::broken;
    std::string told;
};

[[noreturn]] void become_strace(const std::string& call, int n, const std::string& folder, const std::string& bug, int out)
{
    ::dup2(out, STDOUT_FILENO);
    const std::string trace = "trace=" + call, inject = "inject=" + call + ":signal=SIGKILL:when=" + std::to_string(n);
    std::vector<const char*> words{"strace", "-f", "-qq", "-o", "/dev/null", "-e", trace.c_str(), "-e", inject.c_str(), "/proc/self/exe", "--write", folder.c_str()};
    char self[4096];
    const ssize_t length = ::readlink("/proc/self/exe", self, sizeof self - 1);
    self[std::max<ssize_t>(length, 0)] = 0;
    words[9] = self;
    if (!bug.empty()) words.insert(words.end(), {"--bug", bug.c_str()});
    words.push_back(nullptr);
    ::execvp("strace", const_cast<char* const*>(words.data()));
    ::_exit(127);
}

Run run(const std::string& call, int n, const std::string& folder, const std::string& bug)
{
    int ends[2];
    if (::pipe2(ends, O_CLOEXEC) != 0) return {};
    const pid_t child = ::fork();
    if (child == 0) become_strace(call, n, folder, bug, ends[1]);
    ::close(ends[1]);
    Run r;
    char part[65536];
    for (ssize_t got; (got = ::read(ends[0], part, sizeof part)) > 0;) r.told.append(part, static_cast<std::size_t>(got));
    ::close(ends[0]);
    int status = 0;
    ::waitpid(child, &status, 0);
    // strace ends as its process did.
    if (WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL) r.end = End::killed;
    else if (WIFEXITED(status) && WEXITSTATUS(status) == 0) r.end = End::whole;
    return r;
}

/// Points of one kind of call; negative where the rig broke down.
int sweep(const std::string& call, const std::string& folder, const std::string& bug, Verdict& verdict)
{
    for (int n = 1;; ++n) {
        Place place(folder, reserve);
        place.remove();
        const Run r = run(call, n, folder, bug);
        if (r.end == End::broken) return -1;
        auto histories = histories_of(r.told);
        const Verdict v = judge(place.opener(), {}, histories["job"]);
        if (!v.good() && verdict.good()) std::fprintf(stderr, "%s %d: %s\n", call.c_str(), n, v.first.c_str());
        verdict.add(v);
        if (r.end == End::whole) return histories["job"].closed ? n - 1 : -1;
        if (!bug.empty() && !verdict.good()) return n;
    }
}

} // namespace

int main(int argc, char** argv)
{
    const Arguments arguments(argc, argv, {"--write", "--bug"});
    const std::string bug = arguments.text("--bug");
    plant(bug);
    if (arguments.has("--write")) return write_and_tell(arguments.text("--write"));
    const WorkFolder work("syscall");
    Verdict verdict;
    std::vector<Figure> figures;
    long points = 0;
    bool worth = true;
    for (const char* call : {"pwrite64", "fdatasync", "fsync", "write", "ftruncate", "rename", "unlink", "mkdir", "openat", "fallocate"}) {
        const int n = sweep(call, work.path() + "/store", bug, verdict);
        worth = worth && n > 0;
        figures.push_back({call, n});
        points += std::max(n, 0);
        if (!bug.empty() && !verdict.good()) break;
    }
    figures.insert(figures.begin(), {"points", points});
    return tell_result("syscall", figures, verdict, worth);
}
