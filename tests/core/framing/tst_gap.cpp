#include <core/framing/crc.h>
#include <core/framing/framer.h>
#include <tests/support/test_main.h>

#include <vector>

using namespace chockside;

namespace {

struct Frames {
    std::vector<Bytes> all;
    bool operator()(ByteView f)
    {
        all.emplace_back(f.begin(), f.end());
        return true;
    }
};

} // namespace

class TestGap : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void silence_ends_a_frame_and_a_shorter_one_does_not()
    {
        Frames got;
        const auto reader = framing::gap_reader(8, 1000);
        reader->feed(as_bytes("ab"), got);
        reader->quiet(999, got);
        reader->feed(as_bytes("c"), got);
        QVERIFY(got.all.empty());
        reader->quiet(1000, got);
        QCOMPARE(got.all, std::vector<Bytes>{to_bytes("abc")});
        reader->quiet(5000, got); // silence after silence is no empty frame
        QCOMPARE(got.all.size(), std::size_t{1});
    }

    void a_frame_of_the_longest_length_passes_and_a_longer_one_is_dropped_whole()
    {
        Frames got;
        const auto reader = framing::gap_reader(4, 1000);
        reader->feed(as_bytes("1234"), got);
        reader->quiet(1000, got);
        reader->feed(as_bytes("1234"), got);
        reader->feed(as_bytes("5"), got);
        reader->feed(as_bytes("67"), got);
        reader->quiet(1000, got);
        reader->feed(as_bytes("8"), got);
        reader->quiet(1000, got);
        QCOMPARE(got.all, (std::vector<Bytes>{to_bytes("1234"), to_bytes("8")}));
        QCOMPARE(reader->drops(), (framing::Drops{1, 0, 0}));
    }

    void a_reset_forgets_what_is_unfinished()
    {
        Frames got;
        const auto gap = framing::gap_reader(8, 1000);
        gap->feed(as_bytes("ab"), got);
        gap->reset();
        gap->quiet(1000, got);
        const auto fixed = framing::sync_reader(8, {to_bytes("#"), 4, 0, 1, true, 0});
        fixed->feed(as_bytes("#ab"), got);
        fixed->reset();
        fixed->feed(as_bytes("#cde"), got);
        fixed->quiet(1'000'000, got); // lasting silence ends no frame of this kind
        QCOMPARE(got.all, std::vector<Bytes>{to_bytes("#cde")});
    }

    void a_line_is_written_with_its_end()
    {
        Bytes out = to_bytes("x");
        framing::line_write(as_bytes("AB"), out);
        framing::line_write(as_bytes("C"), out, "\n");
        QCOMPARE(out, to_bytes("xAB\r\nC\n"));
    }

    void a_cobs_frame_may_be_as_long_as_allowed_and_no_longer()
    {
        Frames got;
        const auto reader = framing::cobs_reader(3);
        Bytes wire;
        for (const char* text : {"abc", "abcd", "e"}) framing::cobs_write(as_bytes(text), wire);
        reader->feed(wire, got);
        QCOMPARE(got.all, (std::vector<Bytes>{to_bytes("abc"), to_bytes("e")}));
        QCOMPARE(reader->drops().too_long, std::uint64_t{1});
    }

    void a_crc_fits_its_width()
    {
        for (const std::string& name : framing::crc_names()) QVERIFY(framing::is_crc(*framing::crc_by_name(name)));
        QVERIFY(!framing::is_crc({"", 2, 1, 0, false, false, 0}));
        QVERIFY(!framing::is_crc({"", 129, 1, 0, false, false, 0}));
        QVERIFY(framing::is_crc({"", 128, ~framing::CrcValue{0}, 1, true, true, 1}));
        QVERIFY(!framing::is_crc({"", 127, ~framing::CrcValue{0}, 1, true, true, 1}));
        QVERIFY(framing::is_crc({"", 64, ~std::uint64_t{0}, ~std::uint64_t{0}, true, true, ~std::uint64_t{0}}));
        QVERIFY(!framing::is_crc({"", 8, 0x107, 0, false, false, 0}));
        QVERIFY(!framing::is_crc({"", 8, 0x07, 0x100, false, false, 0}));
        QVERIFY(!framing::is_crc({"", 8, 0x07, 0, false, false, 0x100}));
    }
};

CHOCKSIDE_TEST(TestGap)
#include "tst_gap.moc"
