#include <core/base/random.h>
#include <core/framing/framer.h>
#include <tests/support/test_main.h>

#include <QtTest>

using namespace chockside;
using namespace chockside::framing;

namespace {

Bytes hex(const char* text)
{
    return *from_hex(QByteArray(text).replace(" ", "").toStdString());
}

std::vector<std::string> frames_of(Framer& reader, ByteView stream, std::size_t piece)
{
    std::vector<std::string> out;
    for (std::size_t at = 0; at < stream.size(); at += piece)
        reader.feed(stream.subspan(at, std::min(piece, stream.size() - at)), [&](ByteView f) { return out.push_back(to_hex(f)), true; });
    return out;
}

Bytes noise(SeededRandom& random, std::size_t n)
{
    Bytes b(n);
    random.fill(b);
    for (std::byte& v : b)
        if (random.below(4) == 0) v = std::byte{std::array<unsigned char, 4>{0xC0, 0xDB, 0x00, 0x0A}[random.below(4)]};
    return b;
}

} // namespace

class TestFramers : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    // RFC 1055: END C0, ESC DB, DB DC for C0, DB DD for DB. Encoded bytes from a public trace.
    void slip_both_ways()
    {
        const Bytes plain = hex("80 7F 1E C0 80 7F 02 DB 08 00");
        const Bytes coded = hex("C0 80 7F 1E DB DC 80 7F 02 DB DD 08 00 C0");
        Bytes out;
        slip_write(plain, out);
        QCOMPARE(to_hex(out), to_hex(coded));
        for (std::size_t piece = 1; piece <= coded.size(); ++piece) {
            const auto reader = slip_reader(64);
            QCOMPARE(frames_of(*reader, coded, piece), std::vector<std::string>{to_hex(plain)});
        }
    }

    void slip_says_why_it_dropped()
    {
        const auto reader = slip_reader(4);
        const auto frames = frames_of(*reader, hex("C0 01 02 03 04 05 C0 01 DB 07 02 C0 DB C0 0A 0B C0 C0"), 3);
        QCOMPARE(frames, std::vector<std::string>{"0a0b"});
        QCOMPARE(reader->drops().too_long, 1u);
        QCOMPARE(reader->drops().bad_escape, 2u);
    }

    // Cheshire and Baker; examples as the public encyclopedic article on COBS lists them, delimiter left out.
    void cobs_both_ways_data()
    {
        QTest::addColumn<QByteArray>("plain");
        QTest::addColumn<QByteArray>("coded");
        const auto row = [](const char* p, const char* c) { QTest::newRow(p) << QByteArray(p) << QByteArray(c); };
        row("00", "01 01");
        row("00 00", "01 01 01");
        row("00 11 00", "01 02 11 01");
        row("11 22 00 33", "03 11 22 02 33");
        row("11 22 33 44", "05 11 22 33 44");
        row("11 00 00 00", "02 11 01 01 01");
        row("DE AD BE EF", "05 DE AD BE EF");
        row("DE AD 00 BE EF", "03 DE AD 03 BE EF");
    }
    void cobs_both_ways()
    {
        QFETCH(QByteArray, plain);
        QFETCH(QByteArray, coded);
        check_cobs(hex(plain.constData()), hex(coded.constData()));
    }

    // The same article: blocks at the length limit.
    void cobs_at_the_block_limit()
    {
        const auto range = [](int from, int to) {
            Bytes b;
            for (int v = from; v <= to; ++v) b.push_back(static_cast<std::byte>(v));
            return b;
        };
        const auto join = [](std::initializer_list<Bytes> parts) {
            Bytes b;
            for (const Bytes& p : parts) b.insert(b.end(), p.begin(), p.end());
            return b;
        };
        check_cobs(range(1, 254), join({hex("FF"), range(1, 254)}));
        check_cobs(range(0, 254), join({hex("01 FF"), range(1, 254)}));
        check_cobs(range(1, 255), join({hex("FF"), range(1, 254), hex("02 FF")}));
        check_cobs(join({range(2, 255), hex("00")}), join({hex("FF"), range(2, 255), hex("01 01")}));
        check_cobs(join({range(3, 255), hex("00 01")}), join({hex("FE"), range(3, 255), hex("02 01")}));
    }

    void cobs_accepts_a_trailing_empty_block_and_refuses_a_cut_one()
    {
        const auto reader = cobs_reader(300);
        Bytes stream = hex("FF");
        for (int v = 1; v <= 254; ++v) stream.push_back(static_cast<std::byte>(v));
        const Bytes tail = hex("01 00 05 11 22 00");
        stream.insert(stream.end(), tail.begin(), tail.end());
        QCOMPARE(frames_of(*reader, stream, 7).size(), 1u);
        QCOMPARE(reader->drops().bad_escape, 1u);
    }

    void lines_with_and_without_start_character()
    {
        const Bytes stream = to_bytes("xx$HCHDG,45.8,,,0.6,E*16\r\nnoise only\r\n\r\n$A\n");
        for (std::size_t piece : {1u, 5u, 100u}) {
            const auto reader = line_reader(82, '$');
            const auto frames = frames_of(*reader, stream, piece);
            QCOMPARE(frames.size(), 2u);
            QCOMPARE(to_text(*from_hex(frames[0])), std::string("$HCHDG,45.8,,,0.6,E*16"));
            QCOMPARE(reader->drops().noise_bytes, 12u);
        }
        const auto plain = line_reader(5, 0);
        QCOMPARE(frames_of(*plain, to_bytes("12345\r\n123456\r\n12345678\n"), 4).size(), 1u);
        QCOMPARE(plain->drops().too_long, 2u);
    }

    void a_false_sync_is_searched_again_from_the_next_byte()
    {
        SyncShape shape{hex("AA 55"), 0, 2, 1, true, 4};
        const auto reader = sync_reader(32, shape);
        const Bytes stream = hex("AA 55 08 AA 55 02 01 02 03 77");
        std::vector<std::string> out;
        const auto take = [&](ByteView f) {
            if (f.back() != std::byte{0x03}) return false;
            out.push_back(to_hex(f));
            return true;
        };
        for (std::byte b : stream) reader->feed(ByteView(&b, 1), take);
        QVERIFY(out.empty()); // the outer frame of 12 bytes is not complete yet
        reader->feed(hex("00 00"), take);
        QCOMPARE(out, std::vector<std::string>{"aa5502010203"});
    }

    void any_split_gives_the_same_frames_in_noise()
    {
        SeededRandom random(7);
        const Bytes stream = noise(random, 6000);
        using Make = std::unique_ptr<Framer> (*)();
        const Make makers[] = {[] { return slip_reader(24); }, [] { return cobs_reader(24); }, [] { return line_reader(24, 0); },
            [] { return line_reader(24, 'A'); }, [] { return sync_reader(24, {hex("C0"), 0, 1, 1, true, 3}); }};
        for (const Make make : makers) {
            const auto whole = make();
            const auto expected = frames_of(*whole, stream, stream.size());
            for (std::size_t piece : {1u, 2u, 3u, 11u, 64u, 1000u}) {
                const auto reader = make();
                QCOMPARE(frames_of(*reader, stream, piece), expected);
                QCOMPARE(reader->drops(), whole->drops());
            }
        }
    }

    void random_frames_come_back()
    {
        SeededRandom random(11);
        for (int i = 0; i < 400; ++i) {
            const Bytes plain = noise(random, 1 + random.below(600));
            Bytes slip, cobs;
            slip_write(plain, slip);
            cobs_write(plain, cobs);
            QCOMPARE(frames_of(*slip_reader(700), slip, 1 + random.below(50)), std::vector<std::string>{to_hex(plain)});
            QCOMPARE(frames_of(*cobs_reader(700), cobs, 1 + random.below(50)), std::vector<std::string>{to_hex(plain)});
            QVERIFY(std::count(cobs.begin(), cobs.end(), std::byte{0}) == 1);
        }
    }

private:
    static void check_cobs(const Bytes& plain, const Bytes& coded)
    {
        Bytes out;
        cobs_write(plain, out);
        QCOMPARE(to_hex(out), to_hex(coded) + "00");
        QCOMPARE(frames_of(*cobs_reader(300), out, 3), std::vector<std::string>{to_hex(plain)});
    }
};

CHOCKSIDE_TEST(TestFramers)
#include "tst_framers.moc"
