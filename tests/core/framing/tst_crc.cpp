#include <core/base/random.h>
#include <core/framing/crc.h>
#include <core/framing/framer.h>
#include <tests/support/test_main.h>

#include <QFile>
#include <QtTest>

#include <numeric>

using namespace chockside;
using namespace chockside::framing;

namespace {

CrcValue hex(const QByteArray& text)
{
    const QByteArray digits = text.mid(2);
    return CrcValue{digits.chopped(std::min<qsizetype>(16, digits.size())).toULongLong(nullptr, 16)} << 64 | digits.right(16).toULongLong(nullptr, 16);
}

CrcValue mirrored(CrcValue v, int width)
{
    CrcValue m = 0;
    for (int i = 0; i < width; ++i) m |= (v >> i & 1u) << (width - 1 - i);
    return m;
}

/// The division bit by bit, as the Rocksoft model defines it (R. Williams, A Painless Guide to CRC Error Detection Algorithms, 1993).
CrcValue divided(const CrcParameters& p, ByteView bytes)
{
    const CrcValue top = CrcValue{1} << (p.width - 1), mask = top | (top - 1);
    CrcValue r = p.init;
    for (const std::byte b : bytes)
        for (int i = 0; i < 8; ++i) {
            const bool bit = std::to_integer<unsigned>(b) >> (p.reflect_in ? i : 7 - i) & 1u;
            const bool out = ((r & top) != 0) != bit;
            r = (r << 1 & mask) ^ (out ? p.poly : 0);
        }
    return (p.reflect_out ? mirrored(r, p.width) : r) ^ p.xor_out;
}

} // namespace

class TestCrc : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    // Source: CRC catalogue of G. Cook, tests/data/framing/crc-catalogue.csv.
    void gives_the_check_value_of_the_catalogue_data()
    {
        QTest::addColumn<QList<QByteArray>>("row");
        QFile file(CHOCKSIDE_SOURCE_DIR "/tests/data/framing/crc-catalogue.csv");
        QVERIFY(file.open(QIODevice::ReadOnly));
        int rows = 0;
        for (const QByteArray& line : file.readAll().split('\n')) {
            if (line.startsWith('#') || line.startsWith("name,") || line.isEmpty()) continue;
            QTest::newRow(line.split(',').front().constData()) << line.split(',');
            ++rows;
        }
        QCOMPARE(rows, 113);
        QCOMPARE(crc_names().size(), 113u);
    }
    void gives_the_check_value_of_the_catalogue()
    {
        QFETCH(QList<QByteArray>, row);
        const auto known = crc_by_name(row[0].toStdString());
        QVERIFY(known.has_value());
        QCOMPARE(known->width, row[1].toInt());
        QVERIFY(known->poly == hex(row[2]));
        QVERIFY(known->init == hex(row[3]));
        QCOMPARE(known->reflect_in, row[4] == "true");
        QCOMPARE(known->reflect_out, row[5] == "true");
        QVERIFY(known->xor_out == hex(row[6]));
        QVERIFY(Crc(*known).value_of(as_bytes("123456789")) == hex(row[7]));
        if (known->width <= 64) QCOMPARE(Crc(*known).of(as_bytes("123456789")), static_cast<std::uint64_t>(hex(row[7])));
    }

    // Source: RFC 3720, B.4 (there in byte order of the wire). 32 and 48 bytes run the eight-byte steps.
    void agrees_with_rfc_3720_over_long_input()
    {
        const Crc crc(*crc_by_name("CRC-32/ISCSI"));
        Bytes up(32), down(32);
        for (unsigned i = 0; i < 32; ++i) {
            up[i] = static_cast<std::byte>(i);
            down[i] = static_cast<std::byte>(31 - i);
        }
        QCOMPARE(crc.of(Bytes(32, std::byte{0})), std::uint64_t{0x8A9136AA});
        QCOMPARE(crc.of(Bytes(32, std::byte{0xFF})), std::uint64_t{0x62A8AB43});
        QCOMPARE(crc.of(up), std::uint64_t{0x46DD794E});
        QCOMPARE(crc.of(down), std::uint64_t{0x113FDB5C});
    }

    // The same message in any alignment to the eight-byte step: appending a CRC-16/XMODEM, high byte first, leaves 0
    // (a property of every CRC without reflection and final exclusive-or; Ross Williams, "A painless guide", 1993).
    void a_message_with_its_own_remainder_leaves_nothing()
    {
        const Crc crc(*crc_by_name("CRC-16/XMODEM"));
        Bytes message;
        for (unsigned n = 0; n < 70; ++n) {
            Bytes with = message;
            const std::uint64_t c = crc.of(message);
            with.push_back(static_cast<std::byte>(c >> 8));
            with.push_back(static_cast<std::byte>(c & 0xFF));
            QCOMPARE(crc.of(with), std::uint64_t{0});
            message.push_back(static_cast<std::byte>(n * 37 + 11));
        }
    }

    // Each engine takes many bytes a step and then the rest: every length around its steps, every set of parameters, tables alone too.
    void agrees_with_the_division_bit_by_bit_at_every_length()
    {
        SeededRandom random(41);
        Bytes text(170);
        random.fill(text);
        for (const std::string& name : crc_names()) {
            const CrcParameters p = *crc_by_name(name);
            const Crc crc(p);
            Crc tables(p);
            tables.use_tables();
            for (std::size_t n = 0; n <= text.size(); ++n) {
                const ByteView message = ByteView(text).first(n);
                const CrcValue right = divided(p, message);
                QVERIFY2(crc.value_of(message) == right, qPrintable(QString("%1, %2 bytes").arg(name.c_str()).arg(n)));
                QVERIFY2(tables.value_of(message) == right, qPrintable(QString("tables, %1, %2 bytes").arg(name.c_str()).arg(n)));
            }
        }
    }

    // Parameters that no catalogue has: every width, any numbers, reflected on either side or both.
    void agrees_with_the_division_for_any_parameters()
    {
        SeededRandom random(42);
        Bytes text(200);
        random.fill(text);
        for (int width = 3; width <= 128; ++width)
            for (unsigned turn = 0; turn < 8; ++turn) {
                const auto number = [&] { return (CrcValue{random.next()} << 64 | random.next()) >> (128 - width); };
                const CrcParameters p{"any", width, number() | 1u, number(), (turn & 1u) != 0, (turn & 2u) != 0, number()};
                const ByteView message = ByteView(text).subspan(random.next() % 16, random.next() % 180);
                QVERIFY2(Crc(p).value_of(message) == divided(p, message), qPrintable(QString("width %1, turn %2, %3 bytes").arg(width).arg(turn).arg(message.size())));
            }
    }

    void names_nothing_that_it_does_not_know() { QVERIFY(!crc_by_name("CRC-16/NOWHERE").has_value()); }

    // Sentences from public manuals; the last one is wrong in its source (it should be 22).
    void exclusive_or_of_text_lines_data()
    {
        QTest::addColumn<QByteArray>("between");
        QTest::addColumn<int>("told");
        QTest::addColumn<bool>("right");
        QTest::newRow("GGA") << QByteArray("GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,") << 0x47 << true;
        QTest::newRow("RMC") << QByteArray("GPRMC,155123.000,A,4043.8432,N,07359.7653,W,0.15,83.25,200407,,") << 0x28 << true;
        QTest::newRow("HDT") << QByteArray("GPHDT,274.07,T") << 0x03 << true;
        QTest::newRow("HDG") << QByteArray("HCHDG,101.1,,,7.1,W") << 0x3C << true;
        QTest::newRow("wrong in its source") << QByteArray("HEHDT,178.3,T") << 0x1E << false;
    }
    void exclusive_or_of_text_lines()
    {
        QFETCH(QByteArray, between);
        QFETCH(int, told);
        QFETCH(bool, right);
        QCOMPARE(xor_of(as_bytes(between.toStdString())) == told, right);
    }

    void exclusive_or_at_every_length()
    {
        SeededRandom random(8);
        Bytes text(160);
        random.fill(text);
        for (std::size_t from = 0; from < 17; ++from)
            for (std::size_t n = 0; from + n <= 100; ++n) {
                unsigned x = 0;
                for (std::size_t i = 0; i < n; ++i) x ^= std::to_integer<unsigned>(text[from + i]);
                QCOMPARE(unsigned(xor_of(ByteView(text).subspan(from, n))), x);
            }
    }

    // Block data 00 01 ... 7F (XMODEM/YMODEM reference, Forsberg 1988, describes the sum; its value worked out by hand: 127 * 128 / 2).
    void sum_of_a_block()
    {
        Bytes block;
        for (int i = 0; i < 128; ++i) block.push_back(static_cast<std::byte>(i));
        QCOMPARE(sum_of(block), 8128u);
    }
};

CHOCKSIDE_TEST(TestCrc)
#include "tst_crc.moc"
