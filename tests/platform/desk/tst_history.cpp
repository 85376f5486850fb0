// Earlier readings out of sealed captures: what the worker shows is what a plain decode of the same packets gives, while the line writes on.
#include <platform/desk/history_worker.h>
#include <platform/system/system.h>

#include <core/capture/reader.h>
#include <core/journal/store.h>
#include <core/people/people.h>
#include <core/trend/rebuild.h>
#include <tests/support/capture_maker.h>
#include <tests/support/test_main.h>

#include <QDir>
#include <QFile>
#include <QTemporaryDir>

using namespace chockside;

namespace {

/// A store of its own, and captures of one job under it.
struct Bench {
    QTemporaryDir dir;
    system::SystemDisk disk;
    system::SystemClock clock;
    trust::SystemRandom random;
    std::unique_ptr<journal::Store> store;
    std::unique_ptr<trust::SealingDisk> sealing;
    std::unique_ptr<capture::Writer> writer;
    tests::CaptureMaker maker{5};
    std::vector<capture::Packet> kept;

    Bench() : store(std::move(*journal::Store::open(disk, clock, random, {dir.filePath("store").toStdString(), false, 0, system::device_id()}))), sealing(std::move(*store->sealing_disk(disk))) {}

    std::string folder() const { return dir.filePath("captures").toStdString(); }
    void open(const char* stem)
    {
        capture::WriterOptions o;
        o.folder = folder();
        o.stem = stem;
        o.segment_bytes = 30'000;
        writer = std::make_unique<capture::Writer>(*sealing, o);
        if (!writer->start()) qFatal("start");
    }
    void write(int frames)
    {
        maker.packets(frames, 4, [&](const capture::Packet& p) {
            kept.push_back(p);
            if (!writer->add(p)) qFatal("add");
        });
        if (!writer->flush(true)) qFatal("flush");
    }
    /// How many headings the packets since `from` hold, and the last one's bits.
    std::pair<std::uint64_t, std::uint64_t> truth() const
    {
        codec::Decoder decoder(maker.plan());
        const auto heading = *maker.plan()->signal_table().id("word.heading");
        std::pair<std::uint64_t, std::uint64_t> out;
        for (const auto& p : kept)
            if (p.direction == capture::Direction::received)
                decoder.feed(p.bytes, p.t_ns, [&](const codec::FrameView& f) {
                    for (const auto& o : f.observations)
                        if (o.signal == heading) ++out.first, out.second = std::bit_cast<std::uint64_t>(o.value);
                });
        return out;
    }
    desk::HistoryOptions options() { return {folder(), maker.plan(), std::move(*store->reading_vault()), &disk}; }
};

std::uint64_t headings(const trend::Seen& seen)
{
    for (const auto& s : seen.known)
        if (s.name == "word.heading") return s.count;
    return 0;
}

} // namespace

class TestHistory : public QObject {
    Q_OBJECT

private slots:
    void what_the_line_wrote_is_seen_and_goes_on_growing()
    {
        Bench bench;
        desk::HistoryWorker worker(bench.options());
        std::shared_ptr<const trend::Seen> last;
        connect(&worker, &desk::HistoryWorker::seen, this, [&](std::shared_ptr<const trend::Seen> s) { last = std::move(s); });
        worker.ask({});
        worker.watch(true);
        QVERIFY(last && !last->all); // nothing was heard yet, and no folder is there
        bench.open("capture-20260617-140000");
        bench.write(900);
        QTRY_VERIFY_WITH_TIMEOUT(headings(*last) == bench.truth().first, 5000);
        QCOMPARE(last->taken_in, 1.0);
        QVERIFY(QDir(QString::fromStdString(bench.folder())).entryList(QDir::Files).size() > 3); // several segments
        bench.write(200);
        QTRY_VERIFY_WITH_TIMEOUT(headings(*last) == bench.truth().first, 5000);
        worker.ask({trend::Ask::Do::look, 0.5, {"word.heading"}, {}, {}, 50});
        const auto& columns = last->lanes.at(0).plot.columns.columns;
        const auto with = std::find_if(columns.rbegin(), columns.rend(), [](const trend::Column& c) { return c.count > c.bad; });
        QCOMPARE(std::bit_cast<std::uint64_t>(with->last), bench.truth().second);
        // Nobody looks: nothing is read.
        worker.watch(false);
        const auto n = headings(*last);
        bench.write(50);
        QTest::qWait(1300);
        QCOMPARE(headings(*last), n);
        worker.watch(true);
        QTRY_VERIFY_WITH_TIMEOUT(headings(*last) == bench.truth().first, 5000);
        for (const QString& name : QDir(QString::fromStdString(bench.folder())).entryList(QDir::Files)) QVERIFY(name.endsWith(trust::SealingDisk::ending)); // nothing readable beside them
    }

    void the_oldest_of_very_many_are_left_out_and_told()
    {
        Bench bench;
        bench.open("capture-20260617-140000");
        bench.write(900);
        auto options = bench.options();
        options.most_segments = 2;
        desk::HistoryWorker worker(options);
        std::shared_ptr<const trend::Seen> last;
        connect(&worker, &desk::HistoryWorker::seen, this, [&](std::shared_ptr<const trend::Seen> s) { last = std::move(s); });
        worker.ask({});
        worker.watch(true);
        QTRY_VERIFY(last->all && last->taken_in == 1 && last->all->to_ns > bench.kept.back().t_ns - 1'000'000'000);
        const auto files = std::size_t(QDir(QString::fromStdString(bench.folder())).entryList(QDir::Files).size());
        QCOMPARE(last->left_out, files - 2);
        QVERIFY(last->all->from_ns > bench.kept.front().t_ns + 1'000'000'000);
        // Those that come from now on are all read.
        const auto n = headings(*last);
        const auto had = bench.truth().first;
        bench.write(900);
        QTRY_VERIFY_WITH_TIMEOUT(headings(*last) == n + bench.truth().first - had, 5000);
        QCOMPARE(last->left_out, files - 2);
    }

    void a_segment_that_cannot_be_read_is_told_and_the_others_are_shown()
    {
        Bench bench;
        bench.open("capture-20260617-140000");
        bench.write(900);
        bench.writer.reset();
        const QDir folder(QString::fromStdString(bench.folder()));
        const auto names = folder.entryList(QDir::Files, QDir::Name);
        QVERIFY(names.size() > 3);
        QFile second(folder.filePath(names[1]));
        QVERIFY(second.open(QIODevice::ReadWrite) && second.seek(second.size() / 2) && second.putChar('\x55') && second.putChar('\x55'));
        second.close();
        desk::HistoryWorker worker(bench.options());
        std::shared_ptr<const trend::Seen> last;
        connect(&worker, &desk::HistoryWorker::seen, this, [&](std::shared_ptr<const trend::Seen> s) { last = std::move(s); });
        worker.ask({});
        worker.watch(true);
        QTRY_VERIFY_WITH_TIMEOUT(last->taken_in == 1 && last->all && last->all->to_ns > bench.kept.back().t_ns - 1'000'000'000, 5000);
        QCOMPARE(last->trouble, std::string("bad_seal"));
        QVERIFY(headings(*last) > bench.truth().first / 2 && headings(*last) < bench.truth().first);
    }

    void the_window_goes_out_as_csv()
    {
        Bench bench;
        bench.open("capture-20260617-140000");
        bench.write(100);
        desk::HistoryWorker worker(bench.options());
        std::shared_ptr<const trend::Seen> last;
        QString saved;
        connect(&worker, &desk::HistoryWorker::seen, this, [&](std::shared_ptr<const trend::Seen> s) { last = std::move(s); });
        connect(&worker, &desk::HistoryWorker::saved, this, [&](const QString& path) { saved = path; });
        worker.ask({});
        worker.watch(true);
        QTRY_VERIFY(headings(*last) == bench.truth().first);
        worker.ask({trend::Ask::Do::look, 0.5, {"word.heading"}, {}, {}, 50});
        for (int twice = 0; twice < 2; ++twice) worker.save(bench.dir.filePath("out.csv"));
        QCOMPARE(saved, bench.dir.filePath("out.csv"));
        QFile file(saved);
        QVERIFY(file.open(QIODevice::ReadOnly));
        const auto lines = file.readAll().split('\n');
        QCOMPARE(lines.first(), QByteArray("t_utc_ns,t_s,signal,value,unit,valid,raw\r"));
        QCOMPARE(std::uint64_t(lines.size() - 2), bench.truth().first); // head, and nothing behind the last line's end
    }

    void a_store_that_is_locked_lends_nothing()
    {
        Bench bench;
        people::People people(bench.disk, bench.clock, bench.random, bench.dir.filePath("people").toStdString(), {1, 8192});
        const auto lk = people.enrol({"LK", "L. Kestrel (invented)", "", "", {}}, "480215");
        QVERIFY(lk && bench.store->add_holder(lk->public_key));
        QVERIFY(bench.store->reading_vault());
        QVERIFY(bench.store->lock());
        QCOMPARE(bench.store->reading_vault().error().code, std::string("pin_needed"));
    }
};

CHOCKSIDE_TEST(TestHistory)
#include "tst_history.moc"
