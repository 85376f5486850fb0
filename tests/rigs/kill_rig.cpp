// Kills a writing process again and again, at random moments of opening, writing and closing, and compares what it was told with what
// is on the disk (figure R1: of what was acknowledged, lost 0, doubled 0). A trial works on jobs of its own in a folder that serves many
// trials, so that it is judged by the range of entries it wrote; now and then the whole store is verified.
//
// Usage: rig_kill [--trials N] [--bug NAME]. One JSON line. Exit 0 good, 1 not, 3 the rig itself failed.
#include <tests/rigs/bench.h>
#include <tests/rigs/rig.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <csignal>
#include <optional>
#include <sys/wait.h>
#include <unistd.h>

using namespace chockside;
using namespace chockside::rigs;

namespace {

constexpr int trials_a_folder = 50;

struct Counts {
    long trials = 0, acknowledged = 0, unanswered = 0, entries = 0, closed = 0, failed = 0;
    Verdict verdict;
};

[[noreturn]] void writer(Place& place, int pipe, const std::string& trial)
{
    const Tell tell = [&](const Event& e) {
        const std::string line = line_of(e);
        if (::write(pipe, line.data(), line.size()) != static_cast<ssize_t>(line.size())) ::_exit(3);
    };
    for (int round = 0;; ++round) run_job(place.opener(), {trial + "." + std::to_string(round)}, tell);
}

std::string all_of(int pipe)
{
    std::string text;
    char part[65536];
    for (ssize_t n; (n = ::read(pipe, part, sizeof part)) > 0;) text.append(part, static_cast<std::size_t>(n));
    return text;
}

struct Child {
    pid_t pid = -1;
    int pipe = -1;
};

std::optional<Child> begin(Place& place, const std::string& trial)
{
    int ends[2];
    if (::pipe(ends) != 0) return std::nullopt;
    const pid_t pid = ::fork();
    if (pid == 0) {
        ::close(ends[0]);
        writer(place, ends[1], trial);
    }
    ::close(ends[1]);
    if (pid > 0) return Child{pid, ends[0]};
    ::close(ends[0]);
    return std::nullopt;
}

/// True where the signal ended it, and not the child itself. What it was told is added to `told`.
bool end(const Child& child, std::string& told)
{
    ::kill(child.pid, SIGKILL);
    told += all_of(child.pipe);
    ::close(child.pipe);
    int status = 0;
    ::waitpid(child.pid, &status, 0);
    return WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL;
}

/// Within which time a child is killed, from its fork or from its first word.
struct Window {
    double opening_us = 3000, writing_us = 12000;
    static constexpr double most_us = 2e6;
};

/// As long as this build on this machine takes to open and to write fifty commands, but no less than the default: a sanitizer's child is
/// slow to start, and would die before it did anything.
std::optional<Window> measured(const std::string& folder)
{
    using Clock = std::chrono::steady_clock;
    const auto us = [](Clock::duration d) { return std::chrono::duration<double, std::micro>(d).count(); };
    Place place(folder);
    const auto start = Clock::now();
    const auto child = begin(place, "pace");
    if (!child) return std::nullopt;
    std::string told(1, 0);
    bool good = ::read(child->pipe, told.data(), 1) == 1;
    const auto open = Clock::now();
    const auto acknowledged = [&] {
        std::size_t n = 0;
        for (const auto& [name, history] : histories_of(told)) n += history.saved.size();
        return n;
    };
    char part[4096];
    while (good && acknowledged() < 50) {
        const ssize_t n = ::read(child->pipe, part, sizeof part);
        good = n > 0;
        if (good) told.append(part, static_cast<std::size_t>(n));
    }
    const auto written = Clock::now();
    good = end(*child, told) && good;
    place.remove();
    if (!good) return std::nullopt;
    Window w;
    w.opening_us = std::clamp(us(open - start), w.opening_us, Window::most_us);
    w.writing_us = std::clamp(us(written - open), w.writing_us, Window::most_us);
    return w;
}

/// Nine in ten are killed while they write, one while the store opens.
bool killed(Place& place, const std::string& trial, const Window& window, SeededRandom& random, std::string& told)
{
    const auto child = begin(place, trial);
    if (!child) return false;
    const bool opening = random.below(10) == 0;
    char first = 0;
    const bool spoke = opening || ::read(child->pipe, &first, 1) == 1;
    if (spoke && !opening) told = first;
    if (spoke) ::usleep(static_cast<useconds_t>(random.uniform(0, opening ? window.opening_us : window.writing_us)));
    return end(*child, told) && spoke;
}

void look(Place& place, const std::string& told, bool whole, Counts& c)
{
    auto store = place.open();
    if (!store) return c.verdict.count(&Verdict::unusable, "open: " + store.error().code);
    for (const auto& [name, history] : histories_of(told)) {
        c.acknowledged += static_cast<long>(history.saved.size());
        c.unanswered += static_cast<long>(history.tried.size() - history.saved.size());
        c.closed += history.closed;
        c.verdict.add(judge(**store, {name}, history, {false, true}));
    }
    if (!whole) return;
    const auto report = (*store)->verify();
    if (!report || !report->ok) c.verdict.count(&Verdict::unverified, "verify");
    else c.entries += report->entries;
}

} // namespace

int main(int argc, char** argv)
{
    const Arguments arguments(argc, argv, {"--trials", "--bug"});
    plant(arguments.text("--bug"));
    const long trials = arguments.number("--trials", long_run() ? 10000 : 1000);
    SeededRandom random(20260617);
    Counts c;
    const WorkFolder memory("kill"), disk("kill-disk", true);
    const auto pace = measured(memory.path() + "/pace");
    Window window = pace.value_or(Window{});
    long before = 0;
    for (long t = 0; t < trials; ++t) {
        // One folder in five lies on the real disk, where a kill mostly meets a sync; in memory it meets everything else.
        const long folder = t / trials_a_folder;
        const bool last = t % trials_a_folder == trials_a_folder - 1;
        Place place((folder % 5 == 4 ? disk : memory).path() + "/" + std::to_string(folder));
        std::string told;
        if (!killed(place, "t" + std::to_string(t), window, random, told)) ++c.failed;
        ++c.trials;
        look(place, told, last, c);
        if (last) {
            place.remove();
            // The machine has become busier than it was when the pace was taken.
            if (c.acknowledged - before < 2 * trials_a_folder) window.writing_us = std::min(2 * window.writing_us, Window::most_us);
            before = c.acknowledged;
        }
        if (!arguments.text("--bug").empty() && !c.verdict.good()) break;
    }
    // A machine too slow to write anything proves nothing.
    const bool worth = pace && c.failed == 0 && c.acknowledged > c.trials;
    return tell_result("kill", {{"trials", c.trials}, {"acknowledged", c.acknowledged}, {"unanswered", c.unanswered}, {"closed", c.closed}, {"entries_verified", c.entries}, {"failed", c.failed}, {"window_us", std::lround(window.writing_us)}}, c.verdict, worth);
}
