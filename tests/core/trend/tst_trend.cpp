// Live, replay and rebuild give one store; what is asked of it is compared with plain loops over the decoder's observations.
#include <core/capture/reader.h>
#include <core/trend/detail/block.h>
#include <core/trend/rebuild.h>
#include <core/trend/view.h>
#include <tests/support/capture_maker.h>
#include <tests/support/test_main.h>
#include <tests/support/trend_loops.h>

#include <QTemporaryDir>

#include <sqlite3.h>

#include <map>

using namespace chockside;
using namespace chockside::trend;
using tests::all_of;
using tests::plain_matches;

namespace {

using Histories = std::map<SeriesId, std::vector<Sample>>;

/// What the decoder says of a capture, with no Trend in between.
Histories histories(const std::shared_ptr<const codec::Plan>& plan, ByteView file)
{
    Histories all;
    codec::Decoder decoder(plan);
    const auto read = capture::read_all(file);
    for (const capture::Packet& p : read->packets) {
        if (p.direction == capture::Direction::sent || p.bytes.empty()) continue;
        decoder.feed(p.bytes, p.t_ns, [&](const codec::FrameView& f) {
            for (const codec::Observation& o : f.observations) all[o.signal].push_back({o.t_ns, o.raw, o.value, o.validity});
        });
    }
    return all;
}

std::unique_ptr<Trend> opened(const QString& path, const codec::Plan& plan, Options options = {})
{
    auto t = Trend::open(path.toStdString(), series_of(plan), options);
    return t ? std::move(*t) : nullptr;
}

/// Every row of the three tables, by a connection of our own.
std::map<std::string, Bytes> rows(const QString& path)
{
    std::map<std::string, Bytes> out;
    sqlite3* db = nullptr;
    sqlite3_open(path.toUtf8().constData(), &db);
    for (const std::string table : {"head", "block", "pyramid"}) {
        sqlite3_stmt* s = nullptr;
        sqlite3_prepare_v2(db, ("SELECT id, bytes FROM " + table).c_str(), -1, &s, nullptr);
        while (sqlite3_step(s) == SQLITE_ROW) {
            const auto* p = static_cast<const std::byte*>(sqlite3_column_blob(s, 1));
            out[table + std::to_string(sqlite3_column_int64(s, 0))] = Bytes(p, p + sqlite3_column_bytes(s, 1));
        }
        sqlite3_finalize(s);
    }
    sqlite3_close(db);
    return out;
}

/// A column by a loop over all samples.
Column plain_column(const std::vector<Sample>& samples, std::int64_t from, std::int64_t width)
{
    std::vector<double> good;
    std::uint64_t n = 0;
    for (const Sample& s : samples) {
        if (s.t_ns < from || s.t_ns - from >= width) continue;
        ++n;
        if (s.good()) good.push_back(s.value);
    }
    const double none = std::numeric_limits<double>::quiet_NaN();
    if (good.empty()) return {from, n, n, none, none, none, none, false};
    return {from, n, n - good.size(), *std::min_element(good.begin(), good.end()), *std::max_element(good.begin(), good.end()), good.front(), good.back(), false};
}

bool same_but_gap(Column a, const Column& b)
{
    a.gap = b.gap;
    return a == b;
}

std::vector<std::int64_t> found_matches(const Trend& t, SeriesId id, const Wanted& w)
{
    std::vector<std::int64_t> out;
    std::int64_t after = std::numeric_limits<std::int64_t>::min();
    while (const auto s = search(t, id, w, after)) {
        if (!s->found) break;
        out.push_back(after = s->found->at.t_ns);
    }
    return out;
}

} // namespace

class TestTrend : public QObject {
    Q_OBJECT
    QTemporaryDir folder_;
    Bytes file_;
    std::shared_ptr<const codec::Plan> plan_;
    Histories truth_;
    int stores_ = 0;

    QString path() { return folder_.filePath(QString("trend%1.db").arg(++stores_)); }

    /// A store of the capture, fed as a live line is, with a sync now and then.
    std::unique_ptr<Trend> fed(const QString& path, Options options, int sync_every)
    {
        auto t = opened(path, *plan_, options);
        Feeder feeder(*t, plan_);
        int n = 0;
        const auto read = capture::read_all(file_);
        for (const capture::Packet& p : read->packets) {
            if (!feeder.packet(p)) return nullptr;
            if (sync_every != 0 && ++n % sync_every == 0 && !t->sync()) return nullptr;
        }
        return t->sync() ? std::move(t) : nullptr;
    }

private slots:
    void initTestCase()
    {
        file_ = tests::capture_file(5, 3000, 4, 700);
        plan_ = tests::word_unit_plan();
        truth_ = histories(plan_, file_);
        QVERIFY(truth_[*plan_->signal_table().id("word.heading")].size() > 11000);
    }

    void every_sample_comes_back_bit_for_bit()
    {
        const auto t = fed(path(), {}, 0);
        QVERIFY(t);
        for (const auto& [id, samples] : truth_) QVERIFY2(all_of(*t, id) == samples, plan_->signal_table()[id].name.c_str());
    }

    void rebuilt_equals_live_row_by_row()
    {
        const QString live = path(), again = path();
        QVERIFY(fed(live, {}, 37));
        auto t = opened(again, *plan_, {64, 1u << 20});
        const capture::Source sources[] = {capture::source_of(file_)};
        const auto done = rebuild(sources, plan_, *t);
        QVERIFY(done);
        QCOMPARE(done->bytes, file_.size());
        t.reset();
        const auto a = rows(live), b = rows(again);
        // A pyramid level of a block that was written before it was full may be left behind; its head no longer names it.
        for (const auto& [name, bytes] : b) QVERIFY2(a.contains(name) && a.at(name) == bytes, name.c_str());
        for (const auto& [name, bytes] : a) QVERIFY2(b.contains(name) || name.starts_with("pyramid"), name.c_str());
    }

    void segments_of_one_line_are_one_stream()
    {
        // The same packets in three files, cut between packets: frames go on across the files.
        const auto packets = capture::read_all(file_)->packets;
        std::vector<Bytes> files(3);
        for (Bytes& f : files) capture::write_section({"ttyS0", "115200 8N1", 115200, ""}, f);
        for (std::size_t i = 0; i < packets.size(); ++i) capture::write_packet(packets[i], files[i * 3 / packets.size()]);
        std::vector<capture::Source> sources;
        for (const Bytes& f : files) sources.push_back(capture::source_of(f));
        auto t = opened(path(), *plan_);
        QVERIFY(rebuild(sources, plan_, *t));
        for (const auto& [id, samples] : truth_) QVERIFY(all_of(*t, id) == samples);
    }

    void a_store_that_was_closed_goes_on_with_the_same_blocks()
    {
        const QString whole = path(), pieces = path();
        QVERIFY(fed(whole, {}, 0));
        const auto& v = truth_.begin()->second;
        for (std::size_t at = 0; at < v.size(); at += 777) {
            auto t = opened(pieces, *plan_);
            for (std::size_t i = at; i < std::min(v.size(), at + 777); ++i) QVERIFY(t->add(truth_.begin()->first, v[i]));
        }
        const auto a = rows(whole), b = rows(pieces);
        for (const auto& [name, bytes] : b) QVERIFY(name.starts_with("pyramid") || a.at(name) == bytes);
    }

    void columns_are_those_of_a_plain_loop_however_blocks_are_cut()
    {
        const auto whole = fed(path(), {}, 0), cut = fed(path(), {1, 900}, 0);
        QVERIFY(whole && cut);
        const SeriesId id = *whole->id("word.heading");
        QVERIFY(cut->blocks(id) > whole->blocks(id));
        const auto& truth = truth_[id];
        const std::int64_t from = truth.front().t_ns, to = truth.back().t_ns + 1;
        SeededRandom random(8);
        for (int round = 0; round < 60; ++round) {
            const std::int64_t a = from + static_cast<std::int64_t>(random.below(static_cast<std::uint64_t>(to - from))), b = a + 1 + static_cast<std::int64_t>(random.below(static_cast<std::uint64_t>(to - from) >> random.below(20)));
            const int n = 1 + static_cast<int>(random.below(300));
            const auto one = columns(*whole, id, a, b, n), other = columns(*cut, id, a, b, n);
            QVERIFY(one && other && one->damage.empty());
            QVERIFY(one->columns == other->columns);
            QVERIFY(one->columns.size() <= static_cast<std::size_t>(n) + 1);
            QVERIFY(one->columns.front().from_ns <= a && one->columns.back().from_ns + one->width_ns >= b);
            for (const Column& c : one->columns) QVERIFY(same_but_gap(plain_column(truth, c.from_ns, one->width_ns), c));
        }
    }

    void silence_is_a_gap_and_a_slow_signal_is_none()
    {
        const auto t = fed(path(), {}, 0);
        const auto range = *t->range();
        const SeriesId heading = *t->id("word.heading"), uptime = *t->id("status.uptime");
        for (const SeriesId id : {heading, uptime}) {
            const auto c = columns(*t, id, range.from_ns, range.to_ns, 3000); // 50 ms a column; silences of 4 s, status every 200 ms
            int runs = 0;
            for (std::size_t i = 1; i < c->columns.size(); ++i) runs += c->columns[i].gap && !c->columns[i - 1].gap;
            QCOMPARE(runs, 4);
        }
    }

    void search_finds_what_a_plain_loop_finds()
    {
        const auto whole = fed(path(), {}, 0), cut = fed(path(), {1, 900}, 0);
        for (const char* name : {"word.heading", "word.pitch", "status.supply"}) {
            const SeriesId id = *whole->id(name);
            for (const char* text : {"above 359", "below 12.5", "above 28.9", "invalid", "missing 0.5", "missing 3.9"}) {
                const Wanted w = *read_wanted(text);
                const auto truth = plain_matches(truth_[id], w);
                QVERIFY2(found_matches(*whole, id, w) == truth, text);
                QVERIFY2(found_matches(*cut, id, w) == truth, text);
            }
        }
        const SeriesId pin = *whole->id("status.pins.aligned");
        QVERIFY(found_matches(*whole, pin, *read_wanted("changes")) == plain_matches(truth_[pin], *read_wanted("changes")));
        QVERIFY(!read_wanted("above 3,5"));
        QCOMPARE(read_wanted("above 3,5").error().code, std::string("decimal_comma"));
        QCOMPARE(read_wanted("near 3").error().code, std::string("bad_search"));
    }

    void a_search_reads_only_what_its_summaries_leave_open()
    {
        auto t = opened(path(), *plan_);
        const SeriesId id = 0;
        for (int i = 0; i < 40 * 4096; ++i) QVERIFY(t->add(id, {i * 1'000'000LL, 7, i == 30 * 4096 + 5 ? 9.0 : 7.0, codec::Validity::good}));
        const auto s = search(*t, id, *read_wanted("above 8"), -1);
        QVERIFY(s && s->found);
        QCOMPARE(s->found->at.t_ns, (30LL * 4096 + 5) * 1'000'000);
        QCOMPARE(s->blocks_read, 1u);
    }

    void times_that_go_back_and_odd_values_are_kept()
    {
        auto t = opened(path(), *plan_);
        std::vector<Sample> v;
        SeededRandom random(3);
        const double odd[] = {0.0, -0.0, std::numeric_limits<double>::quiet_NaN(), -std::numeric_limits<double>::infinity(), 5e-324, 1e308};
        for (int i = 0; i < 9000; ++i)
            v.push_back({static_cast<std::int64_t>(random.below(1u << 30)) * 1000 - 500'000'000, i % 3 ? random.below(~0ull) : 0, odd[random.below(6)], static_cast<codec::Validity>(random.below(6))});
        for (const Sample& s : v) QVERIFY(t->add(2, s));
        QVERIFY(all_of(*t, 2) == v);
        const auto range = *t->range();
        const auto c = columns(*t, 2, range.from_ns, range.to_ns + 1, 37);
        std::uint64_t n = 0;
        for (const Column& one : c->columns) {
            n += one.count;
            const Column plain = plain_column(v, one.from_ns, c->width_ns);
            QCOMPARE(one.bad, plain.bad);
            QVERIFY(one.count == one.bad || (one.min == plain.min && one.max == plain.max));
        }
        QCOMPARE(n, v.size());
    }

    void the_view_freezes_scrubs_and_follows()
    {
        auto t = opened(path(), *plan_);
        const auto add = [&](int from, int to) { for (int i = from; i < to; ++i) if (!t->add(1, {i * 10'000'000LL, static_cast<std::uint64_t>(i), i * 1.0, codec::Validity::good})) qFatal("add"); };
        add(0, 5000);
        TrendView view(*t);
        view.zoom(0.1, 1);
        QCOMPARE(view.window().to_ns, 49'990'000'001);
        view.freeze();
        add(5000, 9000);
        view.refresh();
        QCOMPARE(view.plot(1, 100)->high, 4999.0);
        view.scrub(-1);
        const auto back = view.window();
        QVERIFY(back.to_ns < 49'990'000'001 && view.plot(1, 100)->high < 4999.0);
        view.scrub(99);
        QCOMPARE(view.window().to_ns, 49'990'000'001);
        QVERIFY(!view.find(1, {Wanted::Kind::above, 6000}, 0)->found);
        view.follow();
        QCOMPARE(view.plot(1, 100)->high, 8999.0);
        QVERIFY(view.find(1, {Wanted::Kind::above, 6000}, 0)->found);
        QVERIFY(view.window().from_ns < 60'010'000'000 && view.window().to_ns > 60'010'000'000);
    }
};

CHOCKSIDE_TEST(TestTrend)
#include "tst_trend.moc"
