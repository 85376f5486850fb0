// The judge is the ordinary network analyser: tshark with its dissector of link type 250, capinfos, text2pcap and editcap
// (Debian 12, version 4.0). Block layout: IETF draft-ietf-opsawg-pcapng. Hash: sha256sum of coreutils.
#include "memory_disk.h"

#include <core/base/random.h>
#include <core/capture/reader.h>
#include <core/capture/writer.h>
#include <tests/support/test_main.h>

#include <QFile>
#include <QProcess>
#include <QTemporaryDir>

using namespace chockside;
using namespace chockside::capture;

namespace {

constexpr std::int64_t t0 = 1'781'706'460'123'456'789; // 2026-06-17T14:27:40.123456789Z

Packet packet(std::int64_t t_ns, Direction d, Event e, const char* hex, const char* comment = "")
{
    return {t_ns, d, e, Lines::dtr | Lines::rts, *from_hex(hex), comment};
}

std::vector<Packet> sample()
{
    return {packet(t0, Direction::received, Event::received_end, "c0900001c0"),
        packet(t0 + 1'000'001, Direction::sent, Event::sent_start, "c02100c0"),
        packet(t0 + 2'000'000, Direction::received, Event::received_end, "c0a1000100c0"),
        packet(t0 + 3'000'000, Direction::none, Event::status_change, "", "moving W7"),
        packet(t0 + 4'000'000, Direction::none, Event::framing_error, "")};
}

QString run(const QString& program, const QStringList& args)
{
    QProcess p;
    p.start(program, args);
    if (!p.waitForFinished(30000) || p.exitCode() != 0) return QStringLiteral("FAILED: ") + QString::fromUtf8(p.readAllStandardError());
    return QString::fromUtf8(p.readAllStandardOutput()).trimmed();
}

void save(const QString& path, ByteView bytes)
{
    QFile f(path);
    QVERIFY(f.open(QIODevice::WriteOnly));
    f.write(reinterpret_cast<const char*>(bytes.data()), static_cast<qint64>(bytes.size()));
}

Bytes load(const QString& path)
{
    QFile f(path);
    if (!f.open(QIODevice::ReadOnly)) return {};
    const QByteArray all = f.readAll();
    return to_bytes({all.constData(), static_cast<std::size_t>(all.size())});
}

Bytes written()
{
    Bytes out;
    write_section({"ttyUSB0", "115200 8N1", 115200, "practice"}, out);
    for (const Packet& p : sample()) write_packet(p, out);
    return out;
}

} // namespace

class TestCapture : public QObject {
    Q_OBJECT
    QTemporaryDir folder_;
    QString path_;

private slots:
    void initTestCase()
    {
        path_ = folder_.filePath(QStringLiteral("own.pcapng"));
        save(path_, written());
    }

    void the_analyser_sees_each_packet()
    {
        const QString fields = run(QStringLiteral("tshark"),
            {"-r", path_, "-T", "fields", "-e", "frame.time_epoch", "-e", "frame.packet_flags_direction", "-e", "rtacser.eventtype", "-e", "rtacser.dtr", "-e",
                "data.data", "-e", "frame.comment"});
        const QStringList lines = fields.split('\n');
        QCOMPARE(lines.size(), 5);
        QCOMPARE(lines[0], QStringLiteral("1781706460.123456789\t0x00000001\t0x04\t1\tc0900001c0\t"));
        QCOMPARE(lines[1], QStringLiteral("1781706460.124456790\t0x00000002\t0x01\t1\tc02100c0\t"));
        QCOMPARE(lines[3], QStringLiteral("1781706460.126456789\t0x00000000\t0x00\t1\t\tmoving W7"));
        QCOMPARE(lines[4].split('\t')[2], QStringLiteral("0x07"));
    }

    void the_analyser_finds_nothing_wrong()
    {
        QCOMPARE(run(QStringLiteral("tshark"), {"-r", path_, "-Y", "_ws.malformed || _ws.expert.severity >= \"Note\""}), QString());
        const QString info = run(QStringLiteral("capinfos"), {"-M", path_});
        QVERIFY2(info.contains(QStringLiteral("Number of packets:   5")), qPrintable(info));
        QVERIFY2(info.contains(QStringLiteral("File encapsulation:  rtac-serial")), qPrintable(info));
        QVERIFY2(info.contains(QStringLiteral("nanoseconds (9)")), qPrintable(info));
        QVERIFY2(info.contains(QStringLiteral("ttyUSB0")), qPrintable(info));
    }

    void what_was_written_is_read()
    {
        const auto read = read_all(load(path_));
        QVERIFY(read.has_value());
        QCOMPARE(read->packets.size(), sample().size());
        for (std::size_t i = 0; i < sample().size(); ++i) QVERIFY(read->packets[i] == sample()[i]);
        QCOMPARE(read->cut_tail, 0u);
    }

    void files_of_other_programs_are_read()
    {
        // Seconds 1, microseconds 2, received end, DTR, footer, payload: written out by hand for text2pcap.
        const QString text = folder_.filePath(QStringLiteral("hex.txt")), made = folder_.filePath(QStringLiteral("made.pcapng"));
        save(text, as_bytes("000000 00 00 00 01 00 00 00 02 04 10 00 00 c0 90 01 c0\n\n000000 00 00 00 01 00 00 00 03 01 10 00 00 c0 21 c0\n"));
        QVERIFY(!run(QStringLiteral("text2pcap"), {"-l", "250", text, made}).startsWith(QStringLiteral("FAILED")));
        const auto read = read_all(load(made));
        QVERIFY(read.has_value());
        QCOMPARE(read->packets.size(), 2u);
        QCOMPARE(to_hex(read->packets[0].bytes), std::string("c09001c0"));
        QCOMPARE(read->packets[0].direction, Direction::received);
        QCOMPARE(read->packets[1].direction, Direction::sent);
    }

    void classic_and_nanosecond_files_are_read_data()
    {
        QTest::addColumn<QString>("format");
        QTest::addColumn<qint64>("unit");
        QTest::newRow("microseconds") << QStringLiteral("pcap") << qint64{1000};
        QTest::newRow("nanoseconds") << QStringLiteral("nsecpcap") << qint64{1};
    }

    void classic_and_nanosecond_files_are_read()
    {
        QFETCH(QString, format);
        QFETCH(qint64, unit);
        const QString made = folder_.filePath(format);
        QVERIFY(!run(QStringLiteral("editcap"), {"-F", format, path_, made}).startsWith(QStringLiteral("FAILED")));
        const auto read = read_all(load(made));
        QVERIFY(read.has_value());
        QCOMPARE(read->packets.size(), 5u);
        QCOMPARE(read->packets[1].t_ns, (t0 + 1'000'001) / unit * unit);
        QVERIFY(read->packets[2].bytes == sample()[2].bytes);
    }

    void a_cut_tail_costs_only_its_own_block()
    {
        const Bytes whole = written();
        std::size_t before = 0;
        for (std::size_t n = 24; n <= whole.size(); ++n) {
            const auto read = read_all({whole.data(), n});
            QVERIFY(read.has_value());
            QVERIFY(read->packets.size() >= before);
            QVERIFY(read->packets.size() <= before + 1);
            before = read->packets.size();
        }
        QCOMPARE(before, sample().size());
    }

    void damage_never_crashes_and_never_invents_length()
    {
        const Bytes whole = written();
        SeededRandom random(7);
        for (int round = 0; round < 20000; ++round) {
            Bytes bad = whole;
            for (int k = 0; k < 3; ++k) bad[random.below(bad.size())] = static_cast<std::byte>(random.next() & 0xFF);
            const auto read = read_all(bad);
            if (!read) continue;
            std::size_t payload = 0;
            for (const Packet& p : read->packets) payload += p.bytes.size();
            QVERIFY(payload <= bad.size());
        }
    }

    void a_claimed_giant_block_is_a_cut_tail()
    {
        Bytes bad = written();
        const std::size_t at = bad.size();
        const Bytes giant = *from_hex("06000000fcffffff0000000000000000");
        bad.insert(bad.end(), giant.begin(), giant.end());
        const auto read = read_all(bad);
        QCOMPARE(read->packets.size(), 5u);
        QCOMPARE(read->cut_tail, bad.size() - at);
    }

    void segments_turn_over_and_are_sealed()
    {
        tests::MemoryDisk disk;
        WriterOptions options;
        options.folder = "c";
        options.segment_bytes = 4096;
        options.buffer_bytes = 256;
        Writer writer(disk, options);
        QVERIFY(writer.start().has_value());
        for (int i = 0; i < 200; ++i) QVERIFY(writer.add(packet(t0 + i, Direction::received, Event::received_end, "c0900001c0")).has_value());
        QVERIFY(writer.finish().has_value());
        const auto seals = writer.take_seals();
        QVERIFY(seals.size() >= 3);
        std::size_t data = 0;
        for (const Seal& seal : seals) {
            const QString file = folder_.filePath(QStringLiteral("segment"));
            save(file, disk.files[seal.path]);
            QCOMPARE(run(QStringLiteral("sha256sum"), {file}).left(64).toStdString(), seal.sha256);
            const auto read = read_all(disk.files[seal.path]);
            QCOMPARE(read->packets.size(), seal.packets);
            QCOMPARE(read->packets.back().event, Event::complete);
            data += read->packets.size() - 1;
        }
        QCOMPARE(data, 200u);
    }

    void a_full_disk_stops_the_capture_and_says_so()
    {
        tests::MemoryDisk disk;
        disk.room = 2000;
        WriterOptions options;
        options.folder = "c";
        options.buffer_bytes = 256;
        Writer writer(disk, options);
        QVERIFY(writer.start().has_value());
        for (int i = 0; i < 100; ++i) (void)writer.add(packet(t0 + i, Direction::received, Event::received_end, "c0900001c0"));
        QCOMPARE(writer.stopped(), std::string("disk_full"));
        QVERIFY(writer.lost() > 0);
        const auto read = read_all(disk.files["c/capture-0001.pcapng"]);
        QVERIFY(read->packets.size() > 10);
        QCOMPARE(read->cut_tail, 0u);
    }

    void an_older_capture_is_never_continued()
    {
        tests::MemoryDisk disk;
        disk.files["c/capture-0001.pcapng"] = to_bytes("older");
        WriterOptions options;
        options.folder = "c";
        Writer writer(disk, options);
        QVERIFY(writer.start().has_value());
        QCOMPARE(writer.path(), std::string("c/capture-0002.pcapng"));
        QVERIFY(disk.files["c/capture-0001.pcapng"] == to_bytes("older"));
    }

    void what_is_no_capture_is_refused()
    {
        QCOMPARE(Reader::open({}).error().code, std::string("capture_empty"));
        QCOMPARE(Reader::open(as_bytes("this is a text and no capture at all")).error().code, std::string("capture_not_recognised"));
    }
};

CHOCKSIDE_TEST(TestCapture)
#include "tst_capture.moc"
