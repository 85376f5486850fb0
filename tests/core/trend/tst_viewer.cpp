// Captures that grow while they are looked at, searches backwards, and what a person sees: against plain loops over the samples.
#include <core/capture/reader.h>
#include <core/trend/growing.h>
#include <core/trend/viewer.h>
#include <tests/support/capture_maker.h>
#include <tests/support/test_main.h>
#include <tests/support/trend_loops.h>

#include <limits>

using namespace chockside;
using namespace chockside::trend;
using tests::all_of;
using tests::plain_matches;

namespace {

constexpr std::int64_t ms = 1'000'000;

std::unique_ptr<Trend> in_memory(std::vector<Series> series, Options options = {})
{
    auto t = Trend::open(":memory:", std::move(series), options);
    return t ? std::move(*t) : nullptr;
}

} // namespace

class TestViewer : public QObject {
    Q_OBJECT
    std::shared_ptr<const codec::Plan> plan_;
    Bytes file_;

    std::unique_ptr<Trend> of_file(const Bytes& file, Options options = {})
    {
        auto t = in_memory(series_of(*plan_), options);
        const capture::Source sources[] = {capture::source_of(file)};
        return rebuild(sources, plan_, *t) ? std::move(t) : nullptr;
    }

    static bool same(const Trend& a, const Trend& b)
    {
        for (SeriesId id = 0; id < a.series().size(); ++id)
            if (all_of(a, id) != all_of(b, id)) return false;
        return a.range()->to_ns == b.range()->to_ns;
    }

private slots:
    void initTestCase()
    {
        plan_ = tests::word_unit_plan();
        file_ = tests::capture_file(5, 3000, 4, 700);
    }

    void the_search_backwards_finds_what_a_plain_loop_finds()
    {
        for (const Options& cut : {Options{}, Options{1, 900}}) {
            const auto t = of_file(file_, cut);
            QVERIFY(t);
            for (const char* name : {"word.heading", "word.pitch", "status.supply", "status.pins.aligned"})
                for (const char* text : {"above 359", "below 12.5", "above 28.9", "invalid", "missing 0.5", "missing 3.9", "changes"}) {
                    const SeriesId id = *t->id(name);
                    const Wanted w = *read_wanted(text);
                    const auto samples = all_of(*t, id);
                    const auto truth = plain_matches(samples, w);
                    // Down from the end, at most forty, and from places between.
                    std::int64_t before = std::numeric_limits<std::int64_t>::max();
                    for (int n = 0; n < 40; ++n) {
                        const auto at = std::lower_bound(truth.begin(), truth.end(), before);
                        const auto s = search_back(*t, id, w, before);
                        QVERIFY(s);
                        QVERIFY2(s->found.has_value() == (at != truth.begin()), text);
                        if (!s->found) break;
                        QVERIFY2(s->found->at.t_ns == *(at - 1), text);
                        before = n % 3 == 2 ? s->found->at.t_ns - 7'000 * ms : s->found->at.t_ns;
                    }
                }
        }
    }

    void a_capture_that_grows_gives_what_a_whole_one_gives()
    {
        const auto whole = of_file(file_);
        SeededRandom random(4);
        for (int round = 0; round < 8; ++round) {
            auto t = in_memory(series_of(*plan_));
            Growing growing(*t, plan_);
            for (std::size_t at = random.below(40); at < file_.size(); at += 1 + random.below(60'000)) QVERIFY(growing.take("a-0001", ByteView(file_).first(at)));
            QVERIFY(growing.take("a-0001", file_));
            const auto nothing_new = growing.take("a-0001", file_);
            QVERIFY(nothing_new && !*nothing_new);
            QVERIFY(same(*t, *whole));
        }
    }

    void segments_go_on_and_another_opening_begins_anew()
    {
        // A frame lies across the end of the first file. In the next segment of the same opening it is made whole, in another opening not.
        const auto packets = capture::read_all(file_)->packets;
        std::vector<Bytes> halves(2);
        for (Bytes& f : halves) capture::write_section({"ttyS0", "115200 8N1", 115200, ""}, f);
        for (std::size_t i = 0; i < packets.size(); ++i) capture::write_packet(packets[i], halves[i * 2 / packets.size()]);
        const auto whole = of_file(file_);
        for (const bool one_opening : {true, false}) {
            auto t = in_memory(series_of(*plan_));
            Growing growing(*t, plan_);
            QVERIFY(growing.take("capture-20260617-140000-0001", halves[0]));
            QVERIFY(growing.take(one_opening ? "capture-20260617-140000-0002" : "capture-20260617-150000-0001", halves[1]));
            auto apart = in_memory(series_of(*plan_));
            for (const Bytes& half : halves) {
                Feeder feeder(*apart, plan_);
                const auto read = capture::read_all(half);
                for (const auto& p : read->packets) QVERIFY(feeder.packet(p));
            }
            QVERIFY(same(*t, one_opening ? *whole : *apart));
            QVERIFY(!same(*whole, *apart));
        }
    }

    void what_is_damaged_is_told_and_what_came_before_stays()
    {
        auto t = in_memory(series_of(*plan_));
        Growing growing(*t, plan_);
        Bytes bad(file_.begin(), file_.begin() + 200'000);
        QVERIFY(growing.take("a-0001", bad));
        const auto n = t->count(*t->id("word.heading"));
        QVERIFY(n > 100);
        Bytes longer(file_.begin(), file_.end());
        for (std::size_t i = 200'000; i < 200'400; ++i) longer[i] = std::byte{0xFF};
        const auto told = growing.take("a-0001", longer);
        QVERIFY(!told);
        QCOMPARE(told.error().code, std::string("block_length"));
        QVERIFY(t->count(*t->id("word.heading")) >= n);
        // The next segment is read all the same.
        QVERIFY(growing.take("a-0002", file_));
        QVERIFY(t->count(*t->id("word.heading")) > n + 10'000);
        QCOMPARE(growing.take("b-0001", to_bytes("no capture at all, but long enough to be one")).error().code, std::string("capture_not_recognised"));
    }

    void a_person_looks_through_it()
    {
        auto t = in_memory({{"word.heading", "deg", 10, false, {}}, {"status.wire", "", 10, true, {}}, {"word.never", "", 10, false, {}}});
        const auto add = [&](int from, int to) {
            for (int i = from; i < to; ++i) {
                const std::int64_t at = i * 10 * ms;
                if (!t->add(0, {at, std::uint64_t(i), double(i), codec::Validity::good}) || !t->add(1, {at, i / 1000 % 2u, double(i / 1000 % 2), codec::Validity::good})) qFatal("add");
            }
        };
        Viewer viewer(*t);
        QVERIFY(!viewer.answer({}).all);
        add(0, 6000);
        viewer.grew();
        const auto ask = [&](Ask::Do what, double share = 0.5, const char* wanted = "", const char* searched = "word.heading") { return viewer.answer({what, share, {"word.heading", "status.wire", "no.such"}, searched, wanted, 100}); };
        Seen seen = ask(Ask::Do::look);
        QCOMPARE(seen.known.size(), 2u);
        QCOMPARE(seen.lanes.size(), 2u);
        QCOMPARE(seen.lanes[0].plot.high, 5999.0);
        QVERIFY(!seen.window.frozen);
        // All stays all until a window is chosen; then the newest is followed at that width.
        add(6000, 7000);
        viewer.grew();
        QCOMPARE(ask(Ask::Do::look).window.from_ns, 0);
        seen = ask(Ask::Do::closer, 1);
        const std::int64_t width = seen.window.to_ns - seen.window.from_ns;
        QVERIFY(std::abs(width - 35'000 * ms) < 20 * ms);
        add(7000, 8000);
        viewer.grew();
        seen = ask(Ask::Do::look);
        QCOMPARE(seen.window.to_ns, 79'990 * ms + 1);
        QCOMPARE(seen.window.to_ns - seen.window.from_ns, width);
        // Held, nothing that comes moves or widens it.
        seen = ask(Ask::Do::hold);
        add(8000, 9000);
        viewer.grew();
        QCOMPARE(ask(Ask::Do::look).window, seen.window);
        QCOMPARE(ask(Ask::Do::look).lanes[0].plot.high, 7999.0);
        QCOMPARE(ask(Ask::Do::forth).window.to_ns, seen.window.to_ns);
        seen = ask(Ask::Do::back, 2);
        QCOMPARE(seen.window.from_ns, 0);
        QVERIFY(std::abs((ask(Ask::Do::go, 0.5).window.from_ns + width / 2) - 39'995 * ms) < 20 * ms);
        // Both ways, from the match on where it is seen.
        seen = ask(Ask::Do::later, 0.5, "above 4500.5");
        QVERIFY(seen.match && !seen.none);
        QCOMPARE(seen.match->at.value, 4501.0);
        QVERIFY(seen.window.from_ns < seen.match->at.t_ns && seen.match->at.t_ns < seen.window.to_ns);
        QVERIFY(ask(Ask::Do::later, 0.5, "above 4500.5").none);
        seen = ask(Ask::Do::earlier, 0.5, "changes", "status.wire");
        QCOMPARE(seen.match->name, std::string("status.wire"));
        const std::int64_t first = seen.match->at.t_ns;
        seen = ask(Ask::Do::earlier, 0.5, "changes", "status.wire");
        QCOMPARE(seen.match->at.t_ns, first - 10'000 * ms);
        seen = ask(Ask::Do::later, 0.5, "changes", "status.wire");
        QCOMPARE(seen.match->at.t_ns, first);
        // What comes after holding isn't found either: the view is as it was.
        QVERIFY(ask(Ask::Do::later, 0.5, "above 8500").none);
        QCOMPARE(ask(Ask::Do::later, 0.5, "above 3,5").refused.code, std::string("decimal_comma"));
        QCOMPARE(ask(Ask::Do::later, 0.5, "changes", "no.such").refused.code, std::string("unknown_series"));
        seen = ask(Ask::Do::follow);
        QVERIFY(!seen.window.frozen);
        QCOMPARE(seen.window.to_ns, 89'990 * ms + 1);
    }
};

CHOCKSIDE_TEST(TestViewer)
#include "tst_viewer.moc"
