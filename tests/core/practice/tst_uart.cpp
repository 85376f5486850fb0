#include <core/practice/uart.h>

#include <core/base/random.h>

#include <tests/support/test_main.h>

using namespace chockside;
using namespace chockside::practice;

// An asynchronous character is a low start bit, eight data bits from the lowest, and a high stop bit (common practice; any serial
// port's data sheet). Expected bytes below are drawn by hand on the line's levels.
class TestUart : public QObject {
    Q_OBJECT
private slots:
    void equal_rates_give_the_same_bytes();
    void half_the_rate_reads_two_bits_as_one();
    void twice_the_rate_stretches_bits();
    void two_percent_apart_still_reads();
    void a_wrong_rate_spoils_nearly_everything();
};

void TestUart::equal_rates_give_the_same_bytes()
{
    const Bytes all = *from_hex("00557fc0dbff");
    QCOMPARE(heard(all, 115200, 115200), all);
}

void TestUart::half_the_rate_reads_two_bits_as_one()
{
    // 00: nine low, then high. Samples at sender's bits 3, 5, 7 are low, at 9 and later high: bits 0-2 low, 3-7 high = F8.
    QCOMPARE(to_hex(heard(*from_hex("00"), 115200, 57600)), std::string("f8"));
    // 55 from bit 1: 1 0 1 0 1 0 1 0; samples at 3, 5, 7 are high, at 9 the stop bit: all high = FF.
    QCOMPARE(to_hex(heard(*from_hex("55"), 115200, 57600)), std::string("ff"));
    // AA from bit 1: 0 1 0 1 0 1 0 1; samples at 3, 5, 7 are low = F8.
    QCOMPARE(to_hex(heard(*from_hex("aa"), 115200, 57600)), std::string("f8"));
}

void TestUart::twice_the_rate_stretches_bits()
{
    // Twice as fast: FF is one low bit time, read as start and a low data bit 0, then high = FE.
    QCOMPARE(to_hex(heard(*from_hex("ff"), 57600, 115200)), std::string("fe"));
}

void TestUart::two_percent_apart_still_reads()
{
    SeededRandom random(3);
    Bytes sent(2000);
    random.fill(sent);
    QCOMPARE(heard(sent, 115200, 115200 * 1.02), sent);
    QCOMPARE(heard(sent, 115200, 115200 * 0.98), sent);
}

void TestUart::a_wrong_rate_spoils_nearly_everything()
{
    SeededRandom random(4);
    Bytes sent(4000);
    random.fill(sent);
    for (double rate : {9600.0, 19200.0, 38400.0, 57600.0, 230400.0}) {
        const Bytes got = heard(sent, 115200, rate);
        std::size_t same = 0;
        for (std::size_t i = 0; i < std::min(got.size(), sent.size()); ++i) same += got[i] == sent[i];
        QVERIFY2(same < sent.size() / 20, std::to_string(rate).c_str());
    }
}

CHOCKSIDE_TEST(TestUart)
#include "tst_uart.moc"
