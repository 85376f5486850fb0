#include "practice_book.h"

#include <core/practice/detail/pack.h>
#include <core/practice/hands.h>

#include <tests/support/test_main.h>

using namespace chockside;
using namespace chockside::practice;
using namespace chockside::practice::detail;

class TestWire : public QObject {
    Q_OBJECT
private slots:
    void checksum_has_the_catalogue_value();
    void escapes_are_those_of_rfc_1055();
    void words_match_worked_examples();
    void status_and_words_come_at_their_periods();
    void status_bytes_say_what_the_unit_is();
    void session_is_refused_with_its_reason();
    void a_session_that_is_not_held_is_lost();
    void a_commanded_test_needs_a_session_and_restarts_alignment();
    void a_spoilt_request_gets_no_answer();
    void stored_faults_come_in_pages();
    void identity_and_configuration_read_back();
};

namespace {

std::vector<Bytes> frames_in(const Bytes& stream)
{
    SlipReader reader;
    std::vector<Bytes> frames;
    for (std::byte b : stream)
        if (auto frame = reader.feed(b)) frames.push_back(*frame);
    return frames;
}

// The reply to a request: first frame of the given id after it.
std::string ask(Aircraft& a, const std::string& request_hex, unsigned reply_id)
{
    a.take();
    a.feed(slip_frame(*from_hex(request_hex)));
    for (const Bytes& frame : frames_in(a.take()))
        if (std::to_integer<unsigned>(frame[0]) == reply_id) return to_hex(frame);
    return "silence";
}

Aircraft on_the_line(const std::string& fault, const char* plug = "J5A")
{
    Aircraft a = aircraft_with(fault);
    Hands(a).cable(plug);
    a.run(1);
    return a;
}

std::uint32_t reversed_label(std::uint32_t word)
{
    std::uint32_t label = 0;
    for (int i = 0; i < 8; ++i) label |= ((word >> i) & 1u) << (7 - i);
    return (word & 0xFFFFFF00u) | label;
}

} // namespace

// CRC catalogue, CRC-16/IBM-3740: check value of "123456789" is 0x29B1.
void TestWire::checksum_has_the_catalogue_value()
{
    QCOMPARE(crc16(as_bytes("123456789")), std::uint16_t{0x29B1});
}

// RFC 1055: END C0 as DB DC, ESC DB as DB DD.
void TestWire::escapes_are_those_of_rfc_1055()
{
    const std::string framed = to_hex(slip_frame(*from_hex("807f1ec0807f02db0800")));
    QVERIFY(framed.starts_with("c0807f1edbdc807f02dbdd0800"));
    QVERIFY(framed.ends_with("c0"));
    QCOMPARE(to_hex(frames_in(slip_frame(*from_hex("c0dbdcdd"))).at(0)), std::string("c0dbdcdd"));
}

// Worked words computed from the published bit rules of ARINC 429 (label bit-reversed on the wire; this unit hands it over in value
// order): 320 heading 90 deg SDI 2, 320 no computed data, 324 pitch 5 deg functional test, 203 as integer.
void TestWire::words_match_worked_examples()
{
    QCOMPARE(reversed_label(bnr_word(0320, 2, 90, 180, 28, 14, WordState::normal)), 0x6800020Bu);
    QCOMPARE(reversed_label(bnr_word(0320, 0, 0, 180, 28, 14, WordState::no_data)), 0xA000000Bu);
    QCOMPARE(reversed_label(bnr_word(0320, 0, 0, 180, 28, 14, WordState::failure)), 0x0000000Bu);
    QCOMPARE(reversed_label(bnr_word(0324, 0, 5, 180, 28, 15, WordState::test)), 0x4071C02Bu);
    QCOMPARE(reversed_label(bnr_word(0330, 0, -3, 128, 28, 16, WordState::normal)), 0x7FA0001Bu);
    // Published digits (package documentation): BCD 12340 is data field 0x12340; field sits from bit 11.
    QCOMPARE((bcd_word(0161, 1, 12340, true) >> 10) & 0x7FFFFu, 0x12340u);
}

void TestWire::status_and_words_come_at_their_periods()
{
    Aircraft a = on_the_line("nothing");
    a.take();
    a.run(10);
    int status = 0, words = 0;
    for (const Bytes& frame : frames_in(a.take())) {
        status += std::to_integer<int>(frame[0]) == 0x90;
        words += std::to_integer<int>(frame[0]) == 0x91;
    }
    QVERIFY(std::abs(status - 50) <= 1);
    QVERIFY(std::abs(words - 250) <= 1);
}

// Hand-made from the serial note: uptime u32 x 0.1 s, supply u16 x 0.01 V, pins: sensor on (2), on ground (3), aligned (4) = 0x1C.
void TestWire::status_bytes_say_what_the_unit_is()
{
    Aircraft a = on_the_line("nothing");
    Bytes last;
    for (const Bytes& frame : frames_in(a.take()))
        if (std::to_integer<int>(frame[0]) == 0x90) last = frame;
    QCOMPARE(last.size(), 8u);
    const std::string hex = to_hex(last);
    const auto uptime = std::stoul(hex.substr(2, 8), nullptr, 16);
    QVERIFY(uptime >= 24000 && uptime <= 24010); // 40 minutes on arrival
    const auto supply = std::stoul(hex.substr(10, 4), nullptr, 16);
    QVERIFY(supply > 2700 && supply < 2800);
    QCOMPARE(hex.substr(14), std::string("1c"));
}

void TestWire::session_is_refused_with_its_reason()
{
    Aircraft a = on_the_line("nothing");
    QCOMPARE(ask(a, "105a0201", 0xEE), std::string("ee1004")); // bad key
    QCOMPARE(ask(a, "105a0101", 0x80), std::string("8010"));
    Hands(a).cable("J5B");
    a.run(0.2);
    QCOMPARE(ask(a, "105a0102", 0xEE), std::string("ee1003")); // other channel in session
    Hands(a).cable("J5A");
    a.run(0.2);
    QCOMPARE(ask(a, "1f", 0x80), std::string("801f"));
    a.parts().on_ground = false;
    QCOMPARE(ask(a, "105a0101", 0xEE), std::string("ee1001"));
    a.parts().on_ground = true;
    Hands(a).power(false);
    a.run(6);
    Hands(a).power(true);
    a.run(3);
    QCOMPARE(ask(a, "105a0101", 0xEE), std::string("ee1002")); // self-test running
}

void TestWire::a_session_that_is_not_held_is_lost()
{
    Aircraft a = on_the_line("nothing");
    QCOMPARE(ask(a, "105a0101", 0x80), std::string("8010"));
    for (int i = 0; i < 5; ++i) {
        a.run(4);
        QCOMPARE(ask(a, "11", 0x80), std::string("8011"));
    }
    a.run(6.5);
    QCOMPARE(a.parts().unit.session(), 0);
    QCOMPARE(ask(a, "11", 0xEE), std::string("ee1104"));
}

void TestWire::a_commanded_test_needs_a_session_and_restarts_alignment()
{
    Aircraft a = on_the_line("nothing");
    QCOMPARE(ask(a, "13", 0xEE), std::string("ee1304"));
    ask(a, "105a0101", 0x80);
    QCOMPARE(ask(a, "13", 0x80), std::string("8013"));
    QCOMPARE(ask(a, "12", 0x92), std::string("92000000"));
    for (int i = 0; i < 6; ++i) {
        a.run(4);
        a.feed(slip_frame(*from_hex("11")));
    }
    QCOMPARE(ask(a, "12", 0x92), std::string("92010000"));
    QCOMPARE(a.parts().unit.channel(1).phase(), Phase::aligning);
    QVERIFY(a.parts().unit.channel(1).uptime_s() > 2400); // a commanded test is no restart
}

void TestWire::a_spoilt_request_gets_no_answer()
{
    Aircraft a = on_the_line("nothing");
    const Bytes good = slip_frame(*from_hex("23"));
    for (std::size_t i = 1; i + 1 < good.size(); ++i) {
        a.take();
        Bytes bad = good;
        bad[i] ^= std::byte{0x04};
        a.feed(bad);
        for (const Bytes& frame : frames_in(a.take())) QVERIFY(std::to_integer<int>(frame[0]) != 0xA3);
    }
    QVERIFY(ask(a, "23", 0xA3) != "silence");
    QCOMPARE(ask(a, "2300", 0xA3), std::string("silence")); // wrong length
}

void TestWire::stored_faults_come_in_pages()
{
    Aircraft a = on_the_line("wet_plug");
    const std::string page = ask(a, "2100", 0xA1);
    // page 0, and each row 10 bytes: code, power-up, seconds, count in two decimal digits, state
    QVERIFY(page.starts_with("a100"));
    QVERIFY(page.find("0204") != std::string::npos);
    Aircraft b = on_the_line("cart_sag");
    b.run(3000);
    const std::string first = ask(b, "2100", 0xA1), second = ask(b, "2101", 0xA1);
    QVERIFY(std::stoi(first.substr(4, 2), nullptr, 16) >= 2);
    QCOMPARE(first.substr(6, 2), std::string("10"));
    QCOMPARE(first.size(), 8u + 16 * 20);
    QVERIFY(second.starts_with("a101"));
}

void TestWire::identity_and_configuration_read_back()
{
    Aircraft a = on_the_line("config_calibration");
    // "PRU2-100-3" filled to 12, "R2-0391" to 8, program checksum 0x1C2D3E4F
    QCOMPARE(ask(a, "23", 0xA3), std::string("a3505255322d3130302d33202052322d30333931201c2d3e4f"));
    const std::string config = ask(a, "24", 0xA4);
    const std::string tail = to_text(*from_hex(config.substr(2, 16)));
    QVERIFY(tail == "Q4-TLN  " || tail == "Q4-WHM  ");
    Hands(a).repair("load calibration");
    // Q4-RMP, strap 1, B 0.34 deg = 34, C -0.23 deg = -23, slaved
    QCOMPARE(ask(a, "24", 0xA4), std::string("a451342d524d502020") + "01" + "0022" + "ffe9" + "01");
}

CHOCKSIDE_TEST(TestWire)
#include "tst_wire.moc"
