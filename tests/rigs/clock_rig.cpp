// Turns the wall clock under a writing store: 1970 and before, 2038, back a day, forward a day, between commands by an injected clock and
// from start to start by faketime. Order, acceptance, chain and verification must not depend on it.
//
// Usage: rig_clock; rig_clock --write FOLDER --job NAME (the process under faketime). One JSON line. Exit 0 good, 1 not, 3 the rig failed.
#include <tests/rigs/bench.h>
#include <tests/rigs/rig.h>

#include <sys/wait.h>
#include <unistd.h>

using namespace chockside;
using namespace chockside::rigs;

namespace {

constexpr std::int64_t day = 86'400'000;

/// One line of entries whose numbers only grow and each of which knows the one before, whatever the clock said.
void judge_order(journal::Store& store, const Job& job, Verdict& v)
{
    for (const std::string& name : journal_jobs(job)) {
        const auto entries = store.entries(name);
        if (!entries) return v.count(&Verdict::unusable, "entries");
        for (std::size_t i = 1; i < entries->size(); ++i) {
            const auto &before = (*entries)[i - 1], &e = (*entries)[i];
            if (e.envelope.seq <= before.envelope.seq || !journal::knew(e, before) || e.body["n"].as_int() < before.body["n"].as_int()) v.count(&Verdict::changed, "order " + name);
        }
    }
}

void injected(const std::string& folder, Verdict& v, long& jumps)
{
    const std::int64_t now = HeldClock().utc_ms, walls[] = {now, 0, -day, now, 2147483647000 + day, now - day, now + day, 253402300799000, now};
    Place place(folder);
    History h;
    {
        auto store = place.open();
        if (!store) return v.count(&Verdict::unusable, "open");
        write_job(**store, {"jump"}, [&](const Event& e) {
            note(h, e);
            if (e.kind != Event::tried) return;
            place.clock.utc_ms = walls[++jumps % std::ssize(walls)];
            place.clock.mono_ms += 5;
        });
    }
    auto store = place.open();
    if (!store) return v.count(&Verdict::unusable, "open again");
    v.add(judge(**store, {"jump"}, h));
    if (h.saved.size() != 30) v.count(&Verdict::unusable, "not all accepted");
    judge_order(**store, {"jump"}, v);
}

int write_and_tell(const std::string& folder, const std::string& job)
{
    Place place(folder);
    system::SystemClock clock;
    run_job([&] { return journal::Store::open(place.disk, clock, place.random, {folder, false, 0}); }, {job}, [](const Event& e) { std::fputs(line_of(e).c_str(), stdout); });
    return 0;
}

std::string under_faketime(const std::string& when, const std::string& folder, const std::string& job)
{
    char self[4096];
    const ssize_t length = ::readlink("/proc/self/exe", self, sizeof self - 1);
    self[std::max<ssize_t>(length, 0)] = 0;
    const std::string command = "faketime --exclude-monotonic '" + when + "' '" + self + "' --write '" + folder + "' --job " + job;
    std::string told;
    FILE* pipe = ::popen(command.c_str(), "r");
    char part[4096];
    while (pipe && std::fgets(part, sizeof part, pipe)) told += part;
    return pipe && ::pclose(pipe) == 0 ? told : std::string();
}

/// Whole starts of one store, each at another time.
bool end_to_end(const std::string& folder, Verdict& v, long& starts)
{
    const std::pair<const char*, std::int64_t> times[] = {{"2026-06-17 12:00:00", 1781697600}, {"1970-01-02 00:00:00", 86400}, {"2038-01-20 00:00:00", 2147558400}, {"2026-06-16 12:00:00", 1781611200}, {"2026-06-18 12:00:00", 1781784000}};
    std::map<std::string, History> all;
    for (const auto& [when, unix_s] : times) {
        const std::string job = "start" + std::to_string(starts++);
        const auto told = histories_of(under_faketime(when, folder, job));
        if (told.empty()) return false;
        all.insert(told.begin(), told.end());
    }
    Place place(folder);
    auto store = place.open();
    if (!store) return v.count(&Verdict::unusable, "open after the starts"), true;
    long i = 0;
    for (const auto& [name, h] : all) {
        v.add(judge(**store, {name}, h));
        judge_order(**store, {name}, v);
        const auto entries = (*store)->entries(journal_jobs({name})[0]);
        // Without this the tool might have done nothing at all. Zones shift it by hours.
        const std::int64_t off = entries && !entries->empty() ? entries->front().envelope.wall / 1000 - times[i].second : day;
        if (h.saved.size() != 30 || std::abs(off) > 86400) v.count(&Verdict::unusable, "the clock was not turned");
        ++i;
    }
    return true;
}

} // namespace

int main(int argc, char** argv)
{
    const Arguments arguments(argc, argv, {"--write", "--job", "--bug"});
    if (arguments.has("--write")) return write_and_tell(arguments.text("--write"), arguments.text("--job"));
    const WorkFolder work("clock");
    Verdict verdict;
    long jumps = 0, starts = 0;
    injected(work.path() + "/injected", verdict, jumps);
    const bool turned = end_to_end(work.path() + "/started", verdict, starts);
    return tell_result("clock", {{"jumps", jumps}, {"starts", starts}}, verdict, turned && jumps >= 30);
}
