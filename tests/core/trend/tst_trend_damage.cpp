// Broken and hostile stores and captures: named and passed over, never a wrong value. CSV is read back by Python's csv module (RFC 4180).
#include <core/capture/reader.h>
#include <core/trend/csv.h>
#include <core/trend/detail/block.h>
#include <core/trend/detail/column.h>
#include <core/trend/rebuild.h>
#include <tests/support/capture_maker.h>
#include <tests/support/test_main.h>

#include <QFile>
#include <QProcess>
#include <QTemporaryDir>

#include <sqlite3.h>

#include <csignal>
#include <sys/resource.h>

using namespace chockside;
using namespace chockside::trend;

namespace {

void sql(const QString& path, const char* text)
{
    sqlite3* db = nullptr;
    sqlite3_open(path.toUtf8().constData(), &db);
    QCOMPARE(sqlite3_exec(db, text, nullptr, nullptr, nullptr), SQLITE_OK);
    sqlite3_close(db);
}

std::vector<Sample> noise(std::uint64_t seed, std::size_t n)
{
    SeededRandom random(seed);
    std::vector<Sample> v;
    for (std::size_t i = 0; i < n; ++i) v.push_back({static_cast<std::int64_t>(i) * 20'000'000, random.next(), random.normal(), static_cast<codec::Validity>(random.below(6))});
    return v;
}

} // namespace

class TestTrendDamage : public QObject {
    Q_OBJECT
    QTemporaryDir folder_;
    std::vector<Series> series_{{"a", "deg", 20, false, {}}, {"b, \"q\"", "", 0, false, {}}};

    std::unique_ptr<Trend> opened(const char* name)
    {
        auto t = Trend::open(folder_.filePath(name).toStdString(), series_);
        return t ? std::move(*t) : nullptr;
    }

private slots:
    void a_medium_that_takes_nothing_more_stops_the_store()
    {
        auto t = opened("full.db");
        const auto v = noise(2, 40 * 4096);
        rlimit before{};
        ::getrlimit(RLIMIT_FSIZE, &before);
        ::signal(SIGXFSZ, SIG_IGN);
        const rlimit small{rlim_t{512} << 10, before.rlim_max};
        ::setrlimit(RLIMIT_FSIZE, &small);
        Status ok;
        std::size_t added = 0;
        while (ok && added < v.size()) ok = t->add(0, v[added++]);
        ::setrlimit(RLIMIT_FSIZE, &before);
        QVERIFY(!ok && added < v.size()); // told at one of the next blocks, not first at the end
        QVERIFY(!t->stopped().empty() && ok.error().code == t->stopped());
        QVERIFY(!t->sync() && !t->add(1, v[0]));
        QVERIFY(t->clear()); // room again: it begins anew
        for (const Sample& s : v) QVERIFY(t->add(0, s));
        QVERIFY(t->sync() && t->stopped().empty());
        QCOMPARE(opened("full.db")->count(0), v.size());
    }

    void a_broken_block_is_named_and_the_others_answer()
    {
        const auto v = noise(1, 5 * 4096);
        {
            auto t = opened("broken.db");
            for (const Sample& s : v) QVERIFY(t->add(0, s));
        }
        sql(folder_.filePath("broken.db"), "UPDATE block SET bytes=substr(bytes,1,100)||x'00'||substr(bytes,102) WHERE id=1 AND substr(bytes,101,1)<>x'00';"
                                           "UPDATE block SET bytes=(SELECT bytes FROM block WHERE id=4) WHERE id=3; DELETE FROM block WHERE id=2;"
                                           "UPDATE block SET bytes=substr(bytes,1,length(bytes)-1) WHERE id=1;");
        auto t = opened("broken.db");
        std::vector<Sample> got;
        const auto damage = each_sample(*t, 0, 0, v.back().t_ns + 1, [&](const Sample& s) { return got.push_back(s), true; });
        const std::vector<Damage> named{{0, 1, "data"}, {0, 2, "data"}, {0, 3, "data"}};
        QVERIFY(*damage == named);
        std::vector<Sample> left(v.begin(), v.begin() + 4096);
        left.insert(left.end(), v.begin() + 4 * 4096, v.end());
        QVERIFY(got == left);
        const auto c = columns(*t, 0, 0, v.back().t_ns + 1, 100'000); // 4 ms a column: no pyramid serves
        QVERIFY(c && c->damage == named);
    }

    void a_broken_head_and_a_broken_pyramid_too()
    {
        const auto v = noise(2, 3 * 4096);
        {
            auto t = opened("head.db");
            for (const Sample& s : v) QVERIFY(t->add(0, s));
        }
        auto whole = opened("head.db");
        const auto before = columns(*whole, 0, 0, v.back().t_ns + 1, 20);
        whole.reset();
        sql(folder_.filePath("head.db"), "UPDATE pyramid SET bytes=zeroblob(length(bytes));");
        auto t = opened("head.db");
        const auto after = columns(*t, 0, 0, v.back().t_ns + 1, 20);
        QVERIFY(after->columns == before->columns && !after->damage.empty() && after->damage[0].part == "pyramid"); // the samples answer
        t.reset();
        sql(folder_.filePath("head.db"), "UPDATE head SET bytes=zeroblob(length(bytes)) WHERE id=1;");
        t = opened("head.db");
        const std::vector<Damage> named{{0, 1, "head"}};
        QVERIFY(t->damage() == named);
        QCOMPARE(t->count(0), 2u * 4096u);
    }

    void any_flipped_bit_of_a_block_is_seen()
    {
        const auto v = noise(3, 300);
        const auto e = detail::encode(77, v, std::nullopt);
        std::vector<Sample> out;
        QVERIFY(detail::decode_data(77, e.data, out) && out == v);
        QVERIFY(!detail::decode_data(78, e.data, out));
        SeededRandom random(4);
        for (int i = 0; i < 3000; ++i) {
            Bytes bad = e.data;
            bad[random.below(bad.size())] ^= static_cast<std::byte>(1u << random.below(8));
            QVERIFY(!detail::decode_data(77, bad, out));
            QVERIFY(out.empty());
        }
    }

    void columns_come_back_and_hostile_ones_do_no_harm()
    {
        SeededRandom random(5);
        for (int round = 0; round < 3000; ++round) {
            detail::Whole v(1 + random.below(300)), got;
            const unsigned shift = static_cast<unsigned>(random.below(64));
            std::uint64_t run = random.next();
            for (std::uint64_t& x : v) x = run += (random.next() >> shift) * (1 + round % 7) - (round % 2 ? 0 : random.next() >> shift);
            Bytes bytes;
            detail::put_column(v, bytes);
            ByteView in = bytes;
            QVERIFY(detail::take_column(in, v.size(), got) && got == v && in.empty());
            bytes[random.below(bytes.size())] = static_cast<std::byte>(random.below(256));
            bytes.resize(random.below(bytes.size() + 1));
            in = bytes;
            (void)detail::take_column(in, random.below(400), got);
        }
    }

    void a_file_that_is_no_store_is_told()
    {
        QFile f(folder_.filePath("text.db"));
        QVERIFY(f.open(QIODevice::WriteOnly));
        f.write(QByteArray(5000, 'x'));
        f.close();
        const auto t = Trend::open(folder_.filePath("text.db").toStdString(), series_);
        QVERIFY(!t);
        QCOMPARE(t.error().code, std::string("trend_damaged"));
        QVERIFY(opened("other.db"));
        const auto other = Trend::open(folder_.filePath("other.db").toStdString(), {{"c", "", 0, false, {}}});
        QCOMPARE(other.error().code, std::string("trend_other_profile"));
    }

    void the_stream_reads_what_the_reader_reads_whatever_is_broken()
    {
        const Bytes good = tests::capture_file(6, 400, 2);
        SeededRandom random(7);
        for (int round = 0; round < 150; ++round) {
            Bytes file = good;
            if (round > 0) file[random.below(file.size())] ^= std::byte{0x11};
            if (round % 3 == 1) file.resize(random.below(file.size()));
            const auto whole = capture::read_all(file);
            // A source that gives a few bytes at a time.
            capture::Stream stream([&, rest = ByteView(file)](std::span<std::byte> room) mutable -> Result<std::size_t> {
                const std::size_t n = std::min({rest.size(), room.size(), std::size_t{1} + random.below(5000)});
                std::copy_n(rest.begin(), n, room.begin());
                rest = rest.subspan(n);
                return n;
            });
            std::vector<capture::Packet> packets;
            Result<std::optional<capture::Packet>> p = stream.next();
            for (; p && *p; p = stream.next()) packets.push_back(**p);
            QCOMPARE(p.has_value(), whole.has_value());
            if (!whole) continue;
            QVERIFY(packets == whole->packets);
            QCOMPARE(stream.cut_tail() > 0, whole->cut_tail > 0);
            QCOMPARE(stream.damage(), whole->damage);
        }
    }

    void the_stream_goes_on_over_many_windows()
    {
        const Bytes file = tests::capture_file(8, 60'000, 4);
        QVERIFY(file.size() > 5 * capture::Stream::window_bytes);
        capture::Stream stream(capture::source_of(file));
        const auto whole = capture::read_all(file);
        std::size_t n = 0;
        for (auto p = stream.next(); p && *p; p = stream.next()) QVERIFY(**p == whole->packets[n++]);
        QCOMPARE(n, whole->packets.size());
    }

    void python_reads_the_csv()
    {
        const auto v = noise(9, 5000);
        auto t = opened("csv.db");
        for (const Sample& s : v) QVERIFY(t->add(1, s));
        QVERIFY(t->add(1, {1'000'000'000'000'000'000, 5, std::numeric_limits<double>::quiet_NaN(), codec::Validity::invalid_code}));
        std::string text, truth;
        const SeriesId ids[] = {1};
        QVERIFY(write_csv(*t, ids, 0, 2'000'000'000'000'000'000, [&](std::string_view piece) { text += piece; return Status(); }));
        QFile f(folder_.filePath("out.csv"));
        QVERIFY(f.open(QIODevice::WriteOnly));
        f.write(text.data(), static_cast<qint64>(text.size()));
        f.close();
        QProcess python;
        python.start(CHOCKSIDE_PYTHON, {"-c", "import csv,struct,sys\nfor r in csv.DictReader(open(sys.argv[1],newline='')):\n print(r['t_utc_ns'],int(r['raw'],16),struct.pack('>d',float(r['value'])).hex() if r['value'] else 'none',r['signal'])", folder_.filePath("out.csv")});
        QVERIFY(python.waitForFinished(30'000) && python.exitCode() == 0);
        for (const Sample& s : v) {
            const auto bits = std::bit_cast<std::uint64_t>(s.value);
            truth += std::to_string(s.t_ns) + " " + std::to_string(s.raw) + " " + QString("%1").arg(static_cast<quint64>(bits), 16, 16, QChar('0')).toStdString() + " b, \"q\"\n";
        }
        truth += "1000000000000000000 5 none b, \"q\"\n";
        QCOMPARE(QString(python.readAllStandardOutput()), QString::fromStdString(truth));
    }
};

CHOCKSIDE_TEST(TestTrendDamage)
#include "tst_trend_damage.moc"
