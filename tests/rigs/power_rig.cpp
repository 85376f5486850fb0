// Cuts the power (figure R3). One job is written by the real store, SQLite and file layer on a disk in memory that writes down every
// event. Then the power goes at every event, many times over: of what was not synced, files and names, an arbitrary part arrives (sim/).
// The real store opens what is left, one time in four with the power going again while it does so, once or twice. Nothing acknowledged
// may be missing, nothing doubled or half there, and the file must be sound.
//
// Usage: rig_power [--cuts N] [--seed N] [--bug NAME]. One JSON line. Exit 0 good, 1 not, 3 the rig itself failed.
#include <tests/rigs/bench.h>
#include <tests/rigs/rig.h>
#include <tests/rigs/sim/machine.h>

#include <sqlite3.h>

using namespace chockside;
using namespace chockside::rigs;

namespace {

constexpr std::uint64_t reserve = 64 * 1024;
const std::string folder = sim::root + "/store";

struct SimPlace {
    system::SystemDisk disk;
    HeldClock clock;
    SeededRandom random{1};
    Result<std::unique_ptr<journal::Store>> open() { return journal::Store::open(disk, clock, random, {folder, false, reserve}); }
};

/// What really happened, with what the writer was told in between.
struct Recording {
    std::vector<sim::Event> log;
    std::vector<Event> told;
    std::map<std::string, journal::Entry> entries; ///< by hash; signatures verified once
};

std::optional<Recording> record()
{
    Recording r;
    sim::Machine machine;
    machine.log = &r.log;
    sim::use(&machine);
    SimPlace place;
    run_job([&] { return place.open(); }, {}, [&](const Event& e) {
        machine.mark(r.told.size());
        r.told.push_back(e);
    });
    machine.log = nullptr;
    auto store = place.open();
    if (!store) return {};
    const auto all = (*store)->all_entries();
    const auto report = (*store)->verify();
    if (!all || !report || !report->ok) return {};
    for (const auto& e : *all) r.entries[e.hash] = e;
    store->reset();
    sim::use(nullptr);
    return r;
}

std::string structure()
{
    sqlite3* db = nullptr;
    sqlite3_stmt* s = nullptr;
    std::string says = "no answer";
    if (sqlite3_open_v2((folder + "/journal.db").c_str(), &db, SQLITE_OPEN_READONLY, nullptr) == SQLITE_OK && sqlite3_prepare_v2(db, "PRAGMA integrity_check(1)", -1, &s, nullptr) == SQLITE_OK && sqlite3_step(s) == SQLITE_ROW)
        says = reinterpret_cast<const char*>(sqlite3_column_text(s, 0));
    sqlite3_finalize(s);
    sqlite3_close(db);
    return says;
}

/// Each entry byte for byte as it was when its signature was verified: the same as verifying it again, and a hundred times quicker.
void compare(journal::Store& store, const Recording& r, Verdict& v)
{
    const auto all = store.all_entries();
    if (!all) return v.count(&Verdict::unusable, "all entries: " + all.error().code);
    for (const auto& e : *all) {
        const auto known = r.entries.find(e.hash);
        const bool same = known != r.entries.end() && known->second.envelope_bytes == e.envelope_bytes && known->second.signature == e.signature && known->second.salt == e.salt && known->second.body_bytes == e.body_bytes;
        if (!same) return v.count(&Verdict::changed, "changed " + e.envelope.job + "/" + std::to_string(e.envelope.seq));
    }
}

struct Counts {
    long cuts = 0, in_recovery = 0, verified = 0, retried = 0;
    Verdict verdict;
};

/// The store starts on what a cut left, and the power goes again in the middle of that.
sim::Machine cut_in_recovery(const sim::Machine& left, SeededRandom& random)
{
    sim::Machine again = left;
    std::vector<sim::Event> log;
    again.log = &log;
    sim::use(&again);
    SimPlace place;
    place.random = SeededRandom(random.next());
    { (void)place.open(); }
    again.log = nullptr;
    sim::Medium medium(left);
    const std::size_t at = random.below(log.size() + 1);
    for (std::size_t i = 0; i < at; ++i) medium.follow(log, i);
    return medium.cut(log, random);
}

void one_cut(const Recording& r, const sim::Medium& medium, const History& h, SeededRandom& random, Counts& c)
{
    sim::Machine left = medium.cut(r.log, random);
    for (int more = static_cast<int>(random.below(8)); more >= 6; --more) {
        left = cut_in_recovery(left, random);
        ++c.cuts, ++c.in_recovery;
    }
    ++c.cuts;
    sim::use(&left);
    SimPlace place;
    place.random = SeededRandom(random.next());
    const bool whole = c.cuts % 97 == 0, retry = c.cuts % 13 == 0;
    Verdict v;
    if (auto store = place.open()) {
        compare(**store, r, v);
        v.add(judge(**store, {}, h, {whole, retry}));
        c.verified += whole, c.retried += retry;
    }
    else v.count(&Verdict::unusable, "open: " + store.error().code + " " + store.error().place);
    if (const std::string says = structure(); v.good() && says != "ok") v.count(&Verdict::unverified, says.substr(0, 60));
    c.verdict.add(v);
    sim::use(nullptr);
}

} // namespace

int main(int argc, char** argv)
{
    const Arguments arguments(argc, argv, {"--cuts", "--seed", "--bug"});
    plant(arguments.text("--bug"));
    const long cuts = arguments.number("--cuts", long_run() ? 1'000'000 : 20'000);
    SeededRandom random(static_cast<std::uint64_t>(arguments.number("--seed", 1)));
    const auto r = record();
    if (!r) return 3;
    const long events = static_cast<long>(r->log.size()), each = cuts * 3 / 4 / events + 1; // a third more fall into recoveries
    Counts c;
    sim::Medium medium{sim::Machine()};
    History h;
    for (std::size_t i = 0; i < r->log.size(); ++i) {
        medium.follow(r->log, i);
        if (r->log[i].kind == sim::Event::mark) note(h, r->told[r->log[i].at]);
        for (long n = 0; n < each; ++n) {
            const bool before = c.verdict.good();
            one_cut(*r, medium, h, random, c);
            if (before && !c.verdict.good()) std::fprintf(stderr, "event %zu of %ld, cut %ld: %s\n", i, events, c.cuts, c.verdict.first.c_str());
            if (!arguments.text("--bug").empty() && !c.verdict.good()) return tell_result("power", {{"cuts", c.cuts}, {"events", events}}, c.verdict, true);
        }
    }
    const bool worth = h.closed && h.saved.size() == 30 && c.cuts >= cuts;
    return tell_result("power", {{"cuts", c.cuts}, {"events", events}, {"in_recovery", c.in_recovery}, {"verified", c.verified}, {"retried", c.retried}}, c.verdict, worth);
}
