// links: core_trend PkgConfig::SQLITE PkgConfig::ZSTD
// Targets 17-20 on one synthetic line: 64 labels at 10-50 Hz, words of slowly wandering values with two noisy bits, 10 us ticks with 100 us
// of jitter. 17: samples durable a second over a bare sqlite3 loop that commits 4096 samples of 12 bytes as one blob. 18: bytes a sample
// over a rowid table (id, t, label, value). 19: one signal's first screen of 1000 columns over a scan of all its rows through sqlite3, both
// files just opened. 20: bytes and speed of the blocks over zstd -3 of the raw records.
#include <core/trend/detail/block.h>
#include <core/trend/query.h>
#include <tests/benchmarks/bench.h>

#include <sqlite3.h>
#include <zstd.h>

#include <bit>
#include <cmath>
#include <cstring>
#include <filesystem>
#include <queue>
#include <random>
#include <unistd.h>

using namespace chockside;
namespace fs = std::filesystem;

namespace {

constexpr int labels = 64;
constexpr std::size_t samples_most = 1'000'000;
constexpr std::int64_t t0 = 1'750'000'000'000'000'000;

struct Record {
    std::int64_t t = 0;
    std::uint32_t word = 0;
    std::uint16_t series = 0;
};

void must(bool ok, const char* what)
{
    if (ok) return;
    std::fprintf(stderr, "trend_bench: %s\n", what);
    std::exit(3);
}

std::vector<Record> line_of_labels(std::size_t n)
{
    std::mt19937_64 rng(3);
    std::normal_distribution<double> g;
    struct Label {
        double v, rate;
        std::uint64_t next;
    };
    std::vector<Label> all;
    for (int i = 0; i < labels; ++i) all.push_back({g(rng) * 50'000, 10.0 + i % 5 * 10, rng() % 100'000'000});
    const auto later = [&](std::uint16_t a, std::uint16_t b) { return all[a].next > all[b].next; };
    std::priority_queue<std::uint16_t, std::vector<std::uint16_t>, decltype(later)> queue(later);
    for (std::uint16_t i = 0; i < labels; ++i) queue.push(i);
    std::vector<Record> out;
    while (out.size() < n) {
        const std::uint16_t k = queue.top();
        queue.pop();
        Label& l = all[k];
        l.v += g(rng) * 0.7;
        if (std::fabs(l.v) > 250'000) l.v *= 0.9;
        const std::int32_t data = static_cast<std::int32_t>(l.v) + static_cast<std::int32_t>(rng() & 3);
        std::uint32_t w = static_cast<std::uint32_t>(0x40 + k * 3) | (static_cast<std::uint32_t>(data) & 0x7FFFFu) << 10 | 3u << 29;
        if (!(std::popcount(w) & 1)) w |= 1u << 31;
        out.push_back({(t0 + static_cast<std::int64_t>(l.next + rng() % 100'000)) / 10'000 * 10'000, w, k});
        l.next += static_cast<std::uint64_t>(1e9 / l.rate);
        queue.push(k);
    }
    return out;
}

const codec::Line bnr{35, 45, true, 180.0 / (1 << 18), 0, 0};

trend::Sample sample_of(const Record& r)
{
    return {r.t, r.word, codec::value_on(bnr, r.word), codec::Validity::good};
}

std::vector<trend::Series> series_of_labels()
{
    return std::vector<trend::Series>(labels, {"word", "deg", 20, false, bnr});
}

Bytes raw_of(std::span<const Record> records)
{
    Bytes out(records.size() * 12);
    for (std::size_t i = 0; i < records.size(); ++i) {
        std::memcpy(out.data() + 12 * i, &records[i].t, 8);
        std::memcpy(out.data() + 12 * i + 8, &records[i].word, 4);
    }
    return out;
}

struct Db {
    sqlite3* db = nullptr;
    sqlite3_stmt* s = nullptr;
    Db(const fs::path& path, const char* ddl, const char* sql)
    {
        must(sqlite3_open(path.c_str(), &db) == SQLITE_OK, "open");
        run("PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL");
        run(ddl);
        must(sqlite3_prepare_v2(db, sql, -1, &s, nullptr) == SQLITE_OK, "prepare");
    }
    Db(const Db&) = delete;
    ~Db() { sqlite3_finalize(s), sqlite3_close(db); }
    void run(const char* sql) { must(sqlite3_exec(db, sql, nullptr, nullptr, nullptr) == SQLITE_OK, sql); }
    void step() { must(sqlite3_step(s) == SQLITE_DONE, "step"), sqlite3_reset(s); }
};

void remove_db(const fs::path& path)
{
    for (const char* end : {"", "-wal", "-shm"}) fs::remove(path.string() + end);
}

/// The floor of 17.
void blob_loop(const fs::path& path, const std::vector<Record>& records)
{
    remove_db(path);
    Db db(path, "CREATE TABLE c(id INTEGER PRIMARY KEY, t0 INTEGER, n INTEGER, body BLOB)", "INSERT INTO c(t0,n,body) VALUES(?,?,?)");
    for (std::size_t at = 0; at < records.size(); at += 4096) {
        const Bytes raw = raw_of(std::span(records).subspan(at, std::min<std::size_t>(4096, records.size() - at)));
        sqlite3_bind_int64(db.s, 1, records[at].t);
        sqlite3_bind_int64(db.s, 2, static_cast<std::int64_t>(raw.size() / 12));
        sqlite3_bind_blob(db.s, 3, raw.data(), static_cast<int>(raw.size()), SQLITE_STATIC);
        db.step();
    }
}

void ingest(const fs::path& path, const std::vector<Record>& records)
{
    remove_db(path);
    auto t = trend::Trend::open(path.string(), series_of_labels());
    must(t.has_value(), "trend");
    for (const Record& r : records) must((*t)->add(r.series, sample_of(r)).has_value(), "add");
    must((*t)->sync().has_value(), "sync");
}

void rowid_table(const fs::path& path, const std::vector<Record>& records, bool one_label)
{
    remove_db(path);
    Db db(path, "CREATE TABLE r(id INTEGER PRIMARY KEY, t INTEGER, label INTEGER, value REAL)", "INSERT INTO r(t,label,value) VALUES(?,?,?)");
    db.run("BEGIN");
    for (const Record& r : records) {
        sqlite3_bind_int64(db.s, 1, r.t);
        sqlite3_bind_int(db.s, 2, one_label ? 0 : r.series);
        sqlite3_bind_double(db.s, 3, sample_of(r).value);
        db.step();
    }
    db.run("COMMIT; PRAGMA wal_checkpoint(TRUNCATE)");
}

void speed_and_size(const fs::path& folder)
{
    const auto records = line_of_labels(samples_most);
    const fs::path blobs = folder / "blobs.db", ours = folder / "trend.db", plain = folder / "plain.db";
    const double durable = bench::ratio_ab([&] { blob_loop(blobs, records); }, [&] { ingest(ours, records); }, 1, 7);
    bench::print_line(17, "ingest, durable: samples a second over a raw blob loop", durable, 0.8, "1e6 samples of 64 signals, compressed with pyramid, one commit a block of one signal; floor one commit for 4096 samples of 12 bytes");
    ingest(ours, records);
    rowid_table(plain, records, false);
    bench::print_line(18, "stored bytes a sample over a rowid table", static_cast<double>(fs::file_size(ours)) / static_cast<double>(fs::file_size(plain)), 0.13, "whole files, pyramid included, 1e6 samples");

    std::vector<std::vector<trend::Sample>> by_series(labels);
    for (const Record& r : records) by_series[r.series].push_back(sample_of(r));
    const Bytes raw = raw_of(records);
    constexpr std::size_t piece = 49'152;
    Bytes room(ZSTD_compressBound(raw.size()));
    std::size_t raw_bytes = ZSTD_compress(room.data(), room.size(), raw.data(), raw.size(), 3), our_bytes = 0, small = 0;
    const auto encode = [&] {
        our_bytes = 0;
        for (const auto& v : by_series)
            for (std::size_t at = 0; at < v.size(); at += 4096) {
                const auto e = trend::detail::encode(0, std::span(v).subspan(at, std::min<std::size_t>(4096, v.size() - at)), bnr);
                our_bytes += e.head.size() + e.data.size();
                for (const auto& l : e.pyramid) our_bytes += l.bytes.size();
            }
    };
    ZSTD_CCtx* context = ZSTD_createCCtx();
    const auto whole = [&] { bench::keep(ZSTD_compressCCtx(context, room.data(), room.size(), raw.data(), raw.size(), 3)); };
    const auto pieces = [&] { for (small = 0; small < raw.size(); small += piece) bench::keep(ZSTD_compressCCtx(context, room.data(), room.size(), raw.data() + small, std::min(piece, raw.size() - small), 3)); };
    const double speed = bench::ratio_ab(whole, encode, 1, 7), in_pieces = bench::ratio_ab(pieces, encode, 1, 7);
    ZSTD_freeCCtx(context);
    std::printf("{\"target\":20,\"name\":\"bytes over zstd -3 of the raw records\",\"ratio\":%.3f,\"bound\":0.48,\"sense\":\"at_most\",\"method\":\"blocks with heads and pyramid, %.2f bytes a sample\"}\n", static_cast<double>(our_bytes) / static_cast<double>(raw_bytes), static_cast<double>(our_bytes) / 1e6);
    std::printf("{\"target\":20,\"name\":\"encode speed over zstd -3 of the raw records\",\"ratio\":%.3f,\"bound\":1.0,\"sense\":\"at_least\",\"method\":\"the raw records as one stream; in pieces of 4096 records %.2f\"}\n", speed, in_pieces);
}

void first_screen(const fs::path& folder)
{
    auto records = line_of_labels(samples_most * 2);
    std::mt19937_64 rng(4);
    for (std::size_t i = 0; i < records.size(); ++i) records[i].series = 0, records[i].t = t0 + static_cast<std::int64_t>(i) * 20'000'000 + static_cast<std::int64_t>(rng() % 10) * 10'000;
    records.resize(samples_most);
    const fs::path ours = folder / "one.db", plain = folder / "rows.db";
    ingest(ours, records);
    rowid_table(plain, records, true);
    const auto screen = [&] {
        auto t = trend::Trend::open(ours.string(), series_of_labels());
        const auto range = (*t)->range();
        const auto c = trend::columns(**t, 0, range->from_ns, range->to_ns + 1, 1000);
        must(c.has_value() && c->damage.empty(), "columns");
        bench::keep(c->columns.size());
    };
    const auto scan = [&] {
        Db db(plain, "", "SELECT t, value FROM r WHERE label=0");
        double low = 1e9, high = -1e9;
        std::int64_t t = 0;
        while (sqlite3_step(db.s) == SQLITE_ROW) {
            t = sqlite3_column_int64(db.s, 0);
            low = std::min(low, sqlite3_column_double(db.s, 1)), high = std::max(high, sqlite3_column_double(db.s, 1));
        }
        bench::keep(t), bench::keep(low), bench::keep(high);
    };
    bench::print_line(19, "first screen of 1e6 samples over a scan of sqlite3 rows", bench::ratio_ab(screen, scan, 1, 15), 0.02, "1000 columns with extremes, store opened each time; the scan keeps only least and greatest");
}

} // namespace

int main()
{
    const fs::path folder = fs::path(CHOCKSIDE_BIN_DIR) / ("trend-bench-" + std::to_string(::getpid()));
    fs::create_directories(folder);
    speed_and_size(folder);
    first_screen(folder);
    fs::remove_all(folder);
}
