// Damages a store of 200 entries and its export (figure R9): bits flipped, the file cut at each page, pages swapped, rows deleted, doubled
// and swapped, lines of the export likewise. Each damage is found when the store is opened or verified, or it touches no entry; and a
// store that is opened for writing leaves a file that does not open as it found it, and the entries of one that does.
//
// Rows are compared with what they were, by the store's own question to the file; an entry whose row differs is read by the store and
// verified by itself, which is what verify() does with each. Every fiftieth damage (every thousandth in the full sweep of each bit), and
// each that leaves rows out or touches a key, goes through the whole verify().
//
// Usage: rig_damage. One JSON line. Exit 0 good, 1 not, 3 the rig itself failed.
#include <tests/rigs/bench.h>
#include <tests/rigs/rig.h>
#include <tests/rigs/sim/machine.h>

#include <sqlite3.h>

using namespace chockside;
using namespace chockside::rigs;

namespace {

const std::string folder = sim::root + "/store", file = folder + "/journal.db";
constexpr std::size_t page = 4096;

struct SimPlace {
    system::SystemDisk disk;
    HeldClock clock;
    SeededRandom random{1};
    Result<std::unique_ptr<journal::Store>> open(bool read_only = false) { return journal::Store::open(disk, clock, random, {folder, read_only, 0}); }
};

using Row = std::vector<std::string>;

struct Good {
    sim::Machine machine;
    std::vector<Row> rows; ///< as all_entries() asks for them, behind the store's back
    std::vector<Row> keys_rows;
    std::vector<journal::Entry> entries;
    std::map<std::string, std::string> keys;
    std::vector<std::string> lines; ///< the export's
    Bytes bytes;
};

struct Counts {
    long damages = 0, at_open = 0, by_verify = 0, no_entry = 0, whole = 0, for_writing = 0, counted_anew = 0, lines = 0, lines_left_out = 0;
    Verdict verdict;
};

/// Every column of every row; nothing where the file does not say it.
std::optional<std::vector<Row>> ask(sqlite3* db, const char* sql)
{
    sqlite3_stmt* s = nullptr;
    if (sqlite3_prepare_v2(db, sql, -1, &s, nullptr) != SQLITE_OK) return std::nullopt;
    std::vector<Row> rows;
    int rc;
    while ((rc = sqlite3_step(s)) == SQLITE_ROW) {
        Row& row = rows.emplace_back();
        for (int i = 0; i < sqlite3_column_count(s); ++i) {
            const auto* bytes = static_cast<const char*>(sqlite3_column_blob(s, i));
            row.emplace_back(bytes ? std::string(bytes, static_cast<std::size_t>(sqlite3_column_bytes(s, i))) : std::string());
            row.back() += static_cast<char>(sqlite3_column_type(s, i));
        }
    }
    sqlite3_finalize(s);
    return rc == SQLITE_DONE ? std::optional(std::move(rows)) : std::nullopt;
}

constexpr const char* entry_rows = "SELECT e.envelope,e.hash,e.signature,e.salt,e.body,e.job,e.id%1099511627776,a.id FROM entry e JOIN author a ON a.no=e.id/1099511627776 ORDER BY e.id";
constexpr const char* key_rows = "SELECT id,public_key FROM author UNION ALL SELECT no,box FROM data_key UNION ALL SELECT public_key,'' FROM vault UNION ALL SELECT public_key,box FROM holder";

/// Numbers of the entries whose row differs; nothing where rows or keys are not all there.
std::optional<std::vector<std::int64_t>> changed_rows(const Good& good)
{
    sqlite3* db = nullptr;
    const bool opened = sqlite3_open_v2(file.c_str(), &db, SQLITE_OPEN_READONLY, nullptr) == SQLITE_OK;
    const auto rows = opened ? ask(db, entry_rows) : std::nullopt;
    const auto keys = rows ? ask(db, key_rows) : std::nullopt;
    sqlite3_close(db);
    if (!keys || *keys != good.keys_rows || rows->size() != good.rows.size()) return std::nullopt;
    std::vector<std::int64_t> changed;
    for (std::size_t i = 0; i < rows->size(); ++i)
        if ((*rows)[i] != good.rows[i]) changed.push_back(static_cast<std::int64_t>(i) + 1);
    return changed;
}

bool make(Good& good)
{
    sim::use(&good.machine);
    SimPlace place;
    {
        auto store = place.open();
        if (!store) return false;
        for (int n = 1; n <= 100; ++n) {
            const Command c = command_of({}, 3 * n + 1); // two entries each
            if (!(*store)->append("job", c.id, c.drafts, journal::JobRow{"job", "heading wanders", "Q4-RMP", "isolate", 1, n, 2 * n, false})) return false;
        }
    }
    auto store = place.open(true);
    if (!store) return false;
    good.entries = *(*store)->all_entries();
    good.keys = *(*store)->keys();
    const std::string text = *(*store)->export_job("job");
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = text.find('\n', at) + 1;
        good.lines.push_back(text.substr(at, end - at));
        at = end;
    }
    store->reset();
    // The whole journal is in the one file; no log beside it.
    good.machine.remove(file + "-wal");
    good.machine.remove(file + "-shm");
    sqlite3* db = nullptr;
    const bool opened = sqlite3_open_v2(file.c_str(), &db, SQLITE_OPEN_READONLY, nullptr) == SQLITE_OK;
    const auto rows = opened ? ask(db, entry_rows) : std::nullopt;
    const auto keys = rows ? ask(db, key_rows) : std::nullopt;
    sqlite3_close(db);
    if (!keys) return false;
    good.rows = *rows;
    good.keys_rows = *keys;
    good.machine.remove(file + "-wal");
    good.machine.remove(file + "-shm");
    good.bytes = good.machine.nodes[static_cast<std::size_t>(good.machine.find(file))].bytes;
    sim::use(nullptr);
    return good.entries.size() == 200 && good.lines.size() == 201;
}

bool same(const journal::Entry& a, const journal::Entry& b)
{
    return a.hash == b.hash && a.envelope_bytes == b.envelope_bytes && a.signature == b.signature && a.salt == b.salt && a.body_bytes == b.body_bytes;
}

enum class Seen { at_open, by_verify, no_entry, missed };

/// What the store finds good although a row differs: no entry does.
Seen look_closer(const Good& good, journal::Store& store)
{
    const auto now = store.all_entries();
    const auto keys = store.keys();
    if (!now || !keys || now->size() != good.entries.size() || *keys != good.keys) return Seen::missed;
    for (std::size_t i = 0; i < now->size(); ++i)
        if (!same((*now)[i], good.entries[i])) return Seen::missed;
    return Seen::no_entry;
}

Seen look(const Good& good, bool whole)
{
    SimPlace place;
    auto store = place.open(true);
    if (!store) return Seen::at_open;
    const auto says_no = [&] {
        const auto report = (*store)->verify();
        return !report || !report->ok;
    };
    const auto changed = changed_rows(good);
    if (!changed) return says_no() ? Seen::by_verify : look_closer(good, **store);
    if (changed->empty()) return whole && says_no() ? Seen::by_verify : Seen::no_entry;
    for (const std::int64_t n : *changed) {
        const auto now = (*store)->chain(good.entries[0].envelope.author, n, n);
        if (now && now->size() == 1 && same((*now)[0], good.entries[static_cast<std::size_t>(n - 1)])) continue; // said in another way, and the same
        const bool found = !now || now->size() != 1 || !journal::verify(*now, good.keys, false).ok;
        if (!found || (whole && !says_no())) return Seen::missed;
        return Seen::by_verify;
    }
    return Seen::no_entry;
}

Bytes& journal_of(sim::Machine& m)
{
    return m.nodes[static_cast<std::size_t>(m.find(file))].bytes;
}

std::vector<std::string> hashes()
{
    std::vector<std::string> found;
    SimPlace place;
    if (auto store = place.open(true))
        if (const auto entries = (*store)->all_entries())
            for (const auto& e : *entries) found.push_back(e.envelope_bytes + e.hash + e.signature + e.salt + e.body_bytes);
    return found;
}

/// What does not open is left to the byte. What opens may have its jobs counted anew; its entries stay.
void open_for_writing(sim::Machine& m, const Bytes& damaged, const std::string& what, Counts& c)
{
    const auto before = hashes();
    SimPlace place;
    const bool opened = place.open().has_value();
    if (journal_of(m) == damaged) return;
    ++c.counted_anew;
    if (!opened || hashes() != before) c.verdict.count(&Verdict::changed, "file touched: " + what);
}

void judge_damage(const Good& good, const Bytes& damaged, const std::string& what, Counts& c)
{
    sim::Machine m = good.machine;
    journal_of(m) = damaged;
    sim::use(&m);
    ++c.damages;
    const bool whole = c.damages % (long_run() ? 1000 : 50) == 0;
    c.whole += whole;
    const Seen seen = look(good, whole);
    ++(seen == Seen::at_open ? c.at_open : seen == Seen::by_verify ? c.by_verify : c.no_entry);
    if (seen == Seen::missed) c.verdict.count(&Verdict::unverified, "not found: " + what);
    if (c.damages % (long_run() ? 400 : 20) == 0 && seen != Seen::no_entry) {
        ++c.for_writing;
        open_for_writing(m, damaged, what, c);
    }
    sim::use(nullptr);
}

void flips(const Good& good, long n, Counts& c)
{
    SeededRandom random(9);
    const long bits = static_cast<long>(good.bytes.size()) * 8;
    for (long i = 0; i < std::min(n, bits); ++i) {
        const std::size_t bit = n >= bits ? static_cast<std::size_t>(i) : random.below(static_cast<std::size_t>(bits));
        Bytes damaged = good.bytes;
        damaged[bit / 8] ^= std::byte(1 << bit % 8);
        judge_damage(good, damaged, "bit " + std::to_string(bit), c);
    }
}

void pages(const Good& good, Counts& c)
{
    const std::size_t n = good.bytes.size() / page;
    for (std::size_t p = 0; p < n; ++p) judge_damage(good, Bytes(good.bytes.begin(), good.bytes.begin() + static_cast<std::ptrdiff_t>(p * page)), "cut at page " + std::to_string(p), c);
    for (std::size_t p = 1; p < n; ++p) {
        Bytes damaged = good.bytes;
        std::swap_ranges(damaged.begin() + static_cast<std::ptrdiff_t>((p - 1) * page), damaged.begin() + static_cast<std::ptrdiff_t>(p * page), damaged.begin() + static_cast<std::ptrdiff_t>(p * page));
        judge_damage(good, damaged, "pages swapped at " + std::to_string(p), c);
    }
}

/// The file after SQL behind the store's back; empty where that failed.
Bytes after_sql(const Good& good, const std::string& sql)
{
    sim::Machine m = good.machine;
    sim::use(&m);
    sqlite3* db = nullptr;
    const bool done = sqlite3_open(file.c_str(), &db) == SQLITE_OK && sqlite3_exec(db, ("PRAGMA journal_mode=DELETE; DROP TRIGGER entry_no_update; DROP TRIGGER entry_no_delete;" + sql + "; PRAGMA journal_mode=WAL").c_str(), nullptr, nullptr, nullptr) == SQLITE_OK;
    sqlite3_close(db);
    Bytes bytes = done ? journal_of(m) : Bytes();
    sim::use(nullptr);
    return bytes;
}

/// Whoever takes the newest rows off the end leaves a whole, shorter chain: that takes a receipt or the witness to tell.
void rows(const Good& good, Counts& c)
{
    for (int n = 1; n < 200; ++n) {
        const std::string at = "id%1099511627776=" + std::to_string(n), next = "id%1099511627776=" + std::to_string(n + 1), columns = "job,command,hash,envelope,signature,salt,body";
        const std::string swap = "CREATE TEMP TABLE t AS SELECT * FROM entry WHERE " + at + " OR " + next + "; DELETE FROM entry WHERE " + at + " OR " + next + "; INSERT INTO entry(id," + columns + ") SELECT CASE WHEN " + at + " THEN id+1 ELSE id-1 END," + columns + " FROM t";
        const std::string doubled = "INSERT INTO entry(id," + columns + ") SELECT id+200," + columns + " FROM entry WHERE " + at;
        for (const auto& [what, sql] : {std::pair<std::string, std::string>{"deleted", "DELETE FROM entry WHERE " + at}, {"doubled", doubled}, {"swapped", swap}}) {
            const Bytes damaged = after_sql(good, sql);
            if (damaged.empty()) c.verdict.count(&Verdict::unusable, "sql " + what);
            else judge_damage(good, damaged, what + " row " + std::to_string(n), c);
        }
    }
}

/// Few lines of an export lack what others had seen, which is not what is looked for here.
bool stands(const std::string& text)
{
    const auto report = journal::verify_lines(text);
    return report && (report->ok || report->first_bad->reason == "missing");
}

/// The export without one line.
bool misses(const Good& good, std::size_t at)
{
    std::string text;
    for (std::size_t i = 0; i < good.lines.size(); ++i)
        if (i != at) text += good.lines[i];
    const auto report = journal::verify_lines(text);
    return report && !report->ok && report->first_bad->reason == "missing";
}

/// Bits line by line beside the head; lines doubled and left out in a run of five.
void lines(const Good& good, long n, Counts& c)
{
    SeededRandom random(10);
    for (long i = 0; i < n; ++i) {
        const std::size_t at = 1 + random.below(good.lines.size() - 1);
        std::string text = good.lines[0] + good.lines[at];
        const std::size_t bit = good.lines[0].size() * 8 + random.below(good.lines[at].size() * 8);
        text[bit / 8] = static_cast<char>(text[bit / 8] ^ (1 << bit % 8));
        ++c.lines;
        if (stands(text)) c.verdict.count(&Verdict::unverified, "export, line " + std::to_string(at) + ", bit " + std::to_string(bit));
    }
    for (std::size_t at = 1; at + 2 < good.lines.size(); ++at) {
        const auto& l = good.lines;
        c.lines += 2;
        if (stands(l[0] + l[at] + l[at] + l[at + 1])) c.verdict.count(&Verdict::unverified, "export, doubled line " + std::to_string(at));
        if (!misses(good, at)) c.verdict.count(&Verdict::unverified, "export, line " + std::to_string(at) + " left out");
        ++c.lines_left_out;
    }
}

} // namespace

int main(int argc, char** argv)
{
    const Arguments arguments(argc, argv, {"--bug"});
    Good good;
    if (!make(good)) return 3;
    Counts c;
    pages(good, c);
    rows(good, c);
    flips(good, long_run() ? 1L << 40 : 8000, c);
    lines(good, 2000, c);
    return tell_result("damage", {{"bytes", static_cast<long>(good.bytes.size())}, {"damages", c.damages}, {"at_open", c.at_open}, {"by_verify", c.by_verify}, {"no_entry", c.no_entry}, {"verified_whole", c.whole}, {"opened_for_writing", c.for_writing}, {"jobs_counted_anew", c.counted_anew}, {"export_damages", c.lines}, {"export_lines_left_out", c.lines_left_out}}, c.verdict, c.damages + c.lines >= 10000);
}
