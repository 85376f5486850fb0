// Lets every single call fail (figure R4): the n-th open, read, write, sync, resize, rename, removal of the job on a disk in memory, once
// and for ever, as EIO and as ENOSPC, writes also half done; every allocation of SQLite and every `new` of a short job; every call within
// a checkpoint. Whatever was told as saved must be there, also when the power goes at the end; what was refused may be tried again under
// the same id; a checkpoint that met an error must say so.
//
// Usage: rig_fault [--part checkpoint|sqlite|new|calls] [--bug NAME]. One JSON line a part. Exit 0 good, 1 not, 3 the rig itself failed.
#include <tests/rigs/bench.h>
#include <tests/rigs/rig.h>
#include <tests/rigs/sim/machine.h>
#include <tests/rigs/sim/memory.h>

#include <cerrno>

using namespace chockside;
using namespace chockside::rigs;

namespace {

constexpr std::uint64_t reserve = 64 * 1024;
const std::string folder = sim::root + "/store";
bool stop_at_first = false;

struct SimPlace {
    system::SystemDisk disk;
    HeldClock clock;
    SeededRandom random{1};
    Result<std::unique_ptr<journal::Store>> open() { return journal::Store::open(disk, clock, random, {folder, false, reserve}); }
    Open opener()
    {
        return [this] { return open(); };
    }
};

struct Counts {
    long runs = 0, hit = 0, refused = 0, saved = 0, cuts = 0;
    Verdict verdict;
};

void say(const std::string& where, const Verdict& v, Verdict& all)
{
    if (!v.good() && all.good()) std::fprintf(stderr, "%s: %s\n", where.c_str(), v.first.c_str());
    all.add(v);
}

/// Nothing but what was synced is left, or an arbitrary part of the rest as well.
void judge_after_cut(const std::vector<sim::Event>& log, const History& h, std::uint64_t seed, Counts& c, const std::string& where)
{
    sim::Medium medium{sim::Machine()};
    for (std::size_t i = 0; i < log.size(); ++i) medium.follow(log, i);
    SeededRandom random(seed);
    sim::Machine left = medium.cut(log, random);
    sim::use(&left);
    SimPlace place;
    ++c.cuts;
    say(where + ", then a cut", judge(place.opener(), {}, h, {false, true}), c.verdict);
}

/// False where the job made fewer calls than that.
bool one_fault(const sim::Fault& fault, Counts& c)
{
    sim::Machine machine;
    std::vector<sim::Event> log;
    machine.log = &log;
    machine.fault = fault;
    sim::use(&machine);
    History h;
    SimPlace place;
    run_job(place.opener(), {}, [&](const Event& e) { note(h, e); });
    const bool hit = machine.count[static_cast<std::size_t>(fault.call)] >= fault.nth;
    machine.fault.reset();
    machine.log = nullptr;
    ++c.runs, c.hit += hit, c.refused += static_cast<long>(h.refused.size()), c.saved += static_cast<long>(h.saved.size());
    const std::string where = std::string(sim::name_of(fault.call)) + " " + std::to_string(fault.nth) + (fault.for_ever ? " for ever, errno " : ", errno ") + std::to_string(fault.error) + (fault.half ? ", half" : "");
    SimPlace later;
    later.random = SeededRandom(2);
    say(where, judge(later.opener(), {}, h, {c.runs % 8 == 0, true}), c.verdict);
    judge_after_cut(log, h, static_cast<std::uint64_t>(c.runs), c, where);
    sim::use(nullptr);
    return hit;
}

Counts sweep_calls()
{
    Counts c;
    for (int call = 0; call < static_cast<int>(sim::calls); ++call)
        for (const bool for_ever : {false, true})
            for (const int error : {EIO, ENOSPC, 0}) {
                const auto which = static_cast<sim::Call>(call);
                const bool half = error == 0, writes = which == sim::Call::write;
                if ((half && (!writes || for_ever)) || (error == ENOSPC && (which == sim::Call::read || which == sim::Call::unlink))) continue;
                for (long n = 1; one_fault({which, n, for_ever, half ? ENOSPC : error, half}, c); ++n)
                    if (stop_at_first && !c.verdict.good()) return c;
            }
    return c;
}

/// The error is inside the checkpoint and nowhere else, so that it alone can tell.
bool one_checkpoint(const sim::Fault& fault, Counts& c)
{
    sim::Machine machine;
    sim::use(&machine);
    SimPlace place;
    History h;
    Verdict v;
    {
        auto store = place.open();
        if (!store) return false;
        write_job(**store, {"job", 7}, [&](const Event& e) { note(h, e); });
        machine.count = {};
        machine.fault = fault;
        const Status done = (*store)->checkpoint();
        const bool hit = machine.count[static_cast<std::size_t>(fault.call)] >= fault.nth;
        machine.fault.reset();
        if (!hit) return false;
        ++c.runs, ++c.hit;
        if (done || !(*store)->trouble()) v.count(&Verdict::unusable, "an error in a checkpoint was not told");
    }
    v.add(judge(place.opener(), {"job", 7}, h));
    say(std::string("checkpoint, ") + sim::name_of(fault.call) + " " + std::to_string(fault.nth), v, c.verdict);
    return true;
}

Counts sweep_checkpoint()
{
    Counts c;
    for (const auto call : {sim::Call::write, sim::Call::sync})
        for (const bool for_ever : {false, true})
            for (const int error : {EIO, ENOSPC})
                for (long n = 1; one_checkpoint({call, n, for_ever, error, false}, c); ++n) {}
    return c;
}

/// Runs one call of the store with memory that may fail; an exception is no answer.
template <class Work>
void under_pressure(Work work)
{
    try {
        const memory::Armed armed;
        work();
    }
    catch (const std::bad_alloc&) {
    }
}

void short_job(SimPlace& place, History& h)
{
    std::unique_ptr<journal::Store> store;
    under_pressure([&] {
        if (auto opened = place.open()) store = std::move(*opened);
    });
    if (!store) return;
    for (const int n : {4, 5, 7, 8}) {
        const Command c = command_of({}, n);
        const std::string sha = trust::sha256_hex(c.attachment);
        h.tried.insert(n);
        bool attached = c.attachment.empty();
        if (!attached) under_pressure([&] { attached = store->put_attachment(sha, c.attachment, "image/jpeg").has_value(); });
        if (!attached) continue;
        std::optional<Result<std::vector<journal::Entry>>> answer;
        under_pressure([&] { answer.emplace(store->append(c.job, c.id, c.drafts, c.row)); });
        if (!answer || !*answer) continue;
        for (const auto& e : **answer) h.saved[n].push_back(e.hash);
    }
    bool row = false;
    under_pressure([&] { row = store->set_row({"job/r", "job", "Q4-RMP", "c8", 1, 8, 8, false}).has_value(); });
    if (row) h.row_saved = 8;
    under_pressure([&] { (void)store->checkpoint(); });
    under_pressure([&] { store.reset(); });
}

bool one_shortage(memory::Of of, long nth, bool for_ever, Counts& c)
{
    sim::Machine machine;
    sim::use(&machine);
    History h;
    SimPlace place;
    memory::fail(of, nth, for_ever);
    short_job(place, h);
    const bool hit = memory::hit();
    memory::fail(of, 0, false);
    ++c.runs, c.hit += hit, c.saved += static_cast<long>(h.saved.size()), c.refused += static_cast<long>(h.tried.size() - h.saved.size());
    SimPlace later;
    later.random = SeededRandom(2);
    say(std::string(of == memory::Of::sqlite ? "sqlite's allocation " : "new ") + std::to_string(nth) + (for_ever ? " for ever" : ""), judge(later.opener(), {}, h, {c.runs % 8 == 0, true}), c.verdict);
    sim::use(nullptr);
    return hit;
}

Counts sweep_memory(memory::Of of)
{
    Counts c;
    // Every one of them; for ever from every tenth on, as the calls that follow fail alike.
    for (const bool for_ever : {false, true})
        for (long n = 1; one_shortage(of, n, for_ever, c); n += for_ever && !long_run() ? 10 : 1)
            if (stop_at_first && !c.verdict.good()) return c;
    return c;
}

int tell(const char* part, const Counts& c)
{
    return tell_result(part, {{"runs", c.runs}, {"hit", c.hit}, {"saved", c.saved}, {"refused", c.refused}, {"cuts", c.cuts}}, c.verdict, c.hit > 0);
}

} // namespace

int main(int argc, char** argv)
{
    const Arguments arguments(argc, argv, {"--bug", "--part"});
    memory::watch_sqlite();
    plant(arguments.text("--bug"));
    stop_at_first = arguments.has("--bug");
    const std::pair<const char*, Counts (*)()> parts[] = {{"checkpoint", sweep_checkpoint}, {"sqlite", [] { return sweep_memory(memory::Of::sqlite); }}, {"new", [] { return sweep_memory(memory::Of::news); }}, {"calls", sweep_calls}};
    int worst = 0;
    for (const auto& [name, sweep] : parts) {
        if (arguments.has("--part") && arguments.text("--part") != name) continue;
        worst = std::max(worst, tell((std::string("fault_") + name).c_str(), sweep()));
        if (stop_at_first && worst) break;
    }
    return worst;
}
