// Kills a writing process again and again, at random moments of opening, writing and closing, and compares what it was told with what
// is on the disk (figure R1: of what was acknowledged, lost 0, doubled 0). A trial works on jobs of its own in a folder that serves many
// trials, so that it is judged by the range of entries it wrote; now and then the whole store is verified.
//
// Usage: rig_kill [--trials N] [--bug NAME]. One JSON line. Exit 0 good, 1 not, 3 the rig itself failed.
#include <tests/rigs/bench.h>
#include <tests/rigs/rig.h>

#include <csignal>
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

/// Most are killed within 12 ms (some fifty commands) of the start of writing, some while the store opens.
bool killed(Place& place, const std::string& trial, SeededRandom& random, std::string& told)
{
    int ends[2];
    if (::pipe(ends) != 0) return false;
    const pid_t child = ::fork();
    if (child < 0) return false;
    if (child == 0) {
        ::close(ends[0]);
        writer(place, ends[1], trial);
    }
    ::close(ends[1]);
    char first = 0;
    const bool opening = random.below(10) == 0;
    if (!opening && ::read(ends[0], &first, 1) != 1) return false;
    ::usleep(static_cast<useconds_t>(opening ? random.uniform(0, 3000) : random.uniform(0, 12000)));
    ::kill(child, SIGKILL);
    told = (opening ? "" : std::string(1, first)) + all_of(ends[0]);
    ::close(ends[0]);
    int status = 0;
    ::waitpid(child, &status, 0);
    return WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL;
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
    for (long t = 0; t < trials; ++t) {
        // One folder in five lies on the real disk, where a kill mostly meets a sync; in memory it meets everything else.
        const long folder = t / trials_a_folder;
        Place place((folder % 5 == 4 ? disk : memory).path() + "/" + std::to_string(folder));
        std::string told;
        if (!killed(place, "t" + std::to_string(t), random, told)) ++c.failed;
        ++c.trials;
        look(place, told, t % trials_a_folder == trials_a_folder - 1, c);
        if (t % trials_a_folder == trials_a_folder - 1) place.remove();
        if (!arguments.text("--bug").empty() && !c.verdict.good()) break;
    }
    // A machine too slow to write anything proves nothing.
    const bool worth = c.failed == 0 && c.acknowledged > c.trials;
    return tell_result("kill", {{"trials", c.trials}, {"acknowledged", c.acknowledged}, {"unanswered", c.unanswered}, {"closed", c.closed}, {"entries_verified", c.entries}, {"failed", c.failed}}, c.verdict, worth);
}
