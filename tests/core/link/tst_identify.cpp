// Streams are made by Python's standard library (binascii.crc_hqx = CRC-16/XMODEM; zlib.crc32 = CRC-32/ISO-HDLC) and by hand after
// RFC 1055 and NMEA 0183 (the sentence and its checksum 47 are the widely published example of a GGA sentence).
#include <core/base/random.h>
#include <core/link/identify.h>
#include <core/link/port_check.h>
#include <tests/support/test_main.h>

#include <QProcess>

using namespace chockside;
using namespace chockside::link;

namespace {

Bytes by_python(const QString& script)
{
    QProcess p;
    p.start(QStringLiteral("python3"), {"-c", script});
    if (!p.waitForFinished(20000) || p.exitCode() != 0) return {};
    const QByteArray out = p.readAllStandardOutput();
    return to_bytes({out.constData(), static_cast<std::size_t>(out.size())});
}

const QString slip_script = QStringLiteral(R"(
import sys, random, binascii, zlib, struct
r = random.Random(5); o = b''
for i in range(20):
    f = bytes(r.randrange(256) for _ in range(20))
    f += %1
    o += b'\xc0' + f.replace(b'\xdb', b'\xdb\xdd').replace(b'\xc0', b'\xdb\xdc') + b'\xc0'
sys.stdout.buffer.write(o)
)");

Bytes noise(std::size_t n, std::uint64_t seed)
{
    Bytes out(n);
    SeededRandom(seed).fill(out);
    return out;
}

profile::Profile two_plugs()
{
    profile::Profile p;
    p.installation.test_plugs = {{"ch1", {"Nose bay left, J5A", {"ref_1"}}}, {"ch2", {"Nose bay left, J5B", {"ref_2"}}}};
    p.installation.breakers = {{"ref_1", "REF 1", "P2 C4", "essential", "in", {}, {}}, {"ref_2", "REF 2", "P2 C5", "main", "in", {}, {}}};
    p.installation.expected = {{"frame:identity.part", {"PRU2-100-3"}}};
    return p;
}

PortFacts healthy()
{
    PortFacts f;
    f.port = "ttyUSB0";
    f.listened_s = 3;
    f.bytes = 4000;
    f.good_frames = 90;
    f.answered = true;
    f.echoed = false;
    f.part = "PRU2-100-3";
    return f;
}

std::string gap_of(const PortFacts& f)
{
    const auto steps = check_port(f, two_plugs());
    const auto* gap = first_gap(steps);
    return gap ? gap->id + " " + gap->seen.code : "";
}

} // namespace

class TestIdentify : public QObject {
    Q_OBJECT
private slots:
    void a_16_bit_checksum_is_found_among_the_rates()
    {
        const Bytes good = by_python(slip_script.arg(QStringLiteral("struct.pack('>H', binascii.crc_hqx(f, 0))")));
        QVERIFY(!good.empty());
        const auto guesses = identify({{9600, noise(500, 1), 0}, {115200, good, 0}, {57600, noise(500, 2), 0}});
        QVERIFY(!guesses.empty());
        QCOMPARE(guesses[0].rate, 115200);
        QCOMPARE(guesses[0].framing, std::string("slip"));
        QCOMPARE(guesses[0].checksum, std::string("CRC-16/XMODEM"));
        QVERIFY(guesses[0].big_endian);
        QCOMPARE(guesses[0].valid, 19u); // the first frame is not trusted
    }

    void a_little_endian_32_bit_checksum_is_found()
    {
        const Bytes good = by_python(slip_script.arg(QStringLiteral("struct.pack('<I', zlib.crc32(f))")));
        const auto guesses = identify({{115200, good, 0}});
        QVERIFY(!guesses.empty());
        QCOMPARE(guesses[0].checksum, std::string("CRC-32/ISO-HDLC"));
        QVERIFY(!guesses[0].big_endian);
    }

    void text_lines_are_found_with_and_without_checksum()
    {
        std::string sums, plain;
        for (int i = 0; i < 6; ++i) plain += "HDG," + std::to_string(100 + i) + ".5\r\n";
        sums = plain.substr(0, 11);
        // Exclusive-or by hand: "A1" = 41^31 = 70, "A2" = 73, "A3" = 72, "B1" = 73, "B2" = 70, "B3" = 71, "C1" = 72 (hexadecimal).
        sums += "$A1*70\r\n$A2*73\r\n$A3*72\r\n$B1*73\r\n$B2*70\r\n$B3*71\r\n$C1*72\r\n";
        sums += "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\r\n";
        const auto with = identify({{4800, to_bytes(sums), 0}});
        QVERIFY(!with.empty());
        QCOMPARE(with[0].checksum, std::string("xor8"));
        const auto without = identify({{4800, to_bytes(plain), 0}});
        QCOMPARE(without.size(), 1u);
        QCOMPARE(without[0].checksum, std::string("none"));
    }

    void noise_is_nothing()
    {
        for (std::uint64_t seed = 1; seed <= 20; ++seed) QVERIFY(identify({{115200, noise(5000, seed), 0}, {9600, noise(5000, seed + 100), 0}}).empty());
    }

    void a_healthy_line_has_no_gap() { QCOMPARE(gap_of(healthy()), std::string()); }

    void the_first_gap_is_the_one_to_work_on_data()
    {
        QTest::addColumn<int>("which");
        QTest::addColumn<QString>("gap");
        const char* rows[] = {"port port_not_found", "rights port_no_permission", "free port_busy", "bytes line_silent", "echo line_echo", "rate line_rate", "frames line_no_frames", "reply line_one_way", "unit line_other_unit"};
        int i = 0;
        for (const char* row : rows) QTest::newRow(row) << i++ << QString::fromLatin1(row);
    }

    void the_first_gap_is_the_one_to_work_on()
    {
        QFETCH(int, which);
        QFETCH(QString, gap);
        PortFacts f = healthy();
        if (which <= 2) f.open_code = std::vector<std::string>{"port_not_found", "port_no_permission", "port_busy"}[static_cast<std::size_t>(which)];
        if (which == 3) f.bytes = f.good_frames = 0;
        if (which >= 4 && which <= 6) f.good_frames = 0;
        if (which == 4) f.echoed = true;
        if (which == 5) f.line_errors = 12;
        if (which == 6) f.counters.bad_checksum = 7;
        if (which == 7) f.answered = false;
        if (which == 8) f.part = "PRU2-100-1";
        QCOMPARE(QString::fromStdString(gap_of(f)), gap);
    }

    void silence_names_plugs_and_breakers()
    {
        PortFacts f = healthy();
        f.bytes = f.good_frames = 0;
        const auto steps = check_port(f, two_plugs());
        const auto args = first_gap(steps)->seen.args;
        QCOMPARE(args[0].second, std::string("Nose bay left, J5A, Nose bay left, J5B"));
        QCOMPARE(args[1].second, std::string("REF 1, REF 2"));
        QCOMPARE(steps.back().state, PortStep::State::not_tried);
    }
};

CHOCKSIDE_TEST(TestIdentify)
#include "tst_identify.moc"
