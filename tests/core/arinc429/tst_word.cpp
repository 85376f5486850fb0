#include <core/arinc429/word.h>
#include <tests/support/test_main.h>

#include <QtTest>

using namespace chockside::arinc429;

class TestWord : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    // Words of the public test file of the repository jaimebw/arinc429 (tests/test_bnr.py, test_bcd.py) and of the documentation of the
    // Rust crate arinc429 (the last). The BCD one carries 08000 and is used for its layout only.
    void splits_and_rebuilds_published_words_data()
    {
        QTest::addColumn<quint32>("word");
        QTest::addColumn<int>("label");
        QTest::addColumn<quint32>("data");
        QTest::addColumn<uint>("ssm");
        const auto row = [](const char* name, quint32 word, int label, quint32 data, uint ssm) { QTest::newRow(name) << word << label << data << ssm; };
        row("zero, parity alone", 0x80000000, 0000, 0x00000, 0);
        row("205, integer 100", 0xE00190A1, 0205, 0x00064, 3);
        row("206, integer 105", 0xA001A461, 0206, 0x00069, 1);
        row("333, 127 in bits 16-23", 0x603F80DB, 0333, 0x00FE0, 3);
        row("333, 127 in bits 19-26", 0x61FC00DB, 0333, 0x07F00, 3);
        row("333, two fields", 0xE1FDFCDB, 0333, 0x07F7F, 3);
        row("206, decimal layout", 0xE2000061, 0206, 0x08000, 3);
        row("012, 250 kt", 0xE01F4050, 0012, 0x007D0, 3);
    }
    void splits_and_rebuilds_published_words()
    {
        QFETCH(quint32, word);
        QFETCH(int, label);
        QFETCH(quint32, data);
        QFETCH(uint, ssm);
        QCOMPARE(label_of(word), label);
        QCOMPARE(sdi_of(word), 0);
        QCOMPARE(data_of(word), data);
        QCOMPARE(ssm_bits_of(word), ssm);
        QVERIFY(parity_is_odd(word));
        QCOMPARE(make_word(label, 0, data, ssm), word);
    }

    // Same sources, values in their fields.
    void reads_published_values()
    {
        QCOMPARE(decode_bnr(0xE00190A1, {28, 11, 262144}), 100.0);
        QCOMPARE(decode_bnr(0x603F80DB, {22, 16, 128}), 127.0);
        QCOMPARE(decode_bnr(0x61FC00DB, {25, 19, 128}), 127.0);
        QCOMPARE(decode_bnr(0xE1FDFCDB, {25, 19, 128}), 127.0);
        QCOMPARE(decode_bnr(0xE1FDFCDB, {17, 11, 128}), 127.0);
        QCOMPARE(decode_bnr(0xE01F4050, {28, 11, 262144 * 0.125}), 250.0);
        QVERIFY(bnr_status(0xA001A461) == Ssm::no_computed_data);
    }

    // Words worked out from the published bit rules outside the project; full scales of the trade, from memory (they test the coding, not
    // a label table).
    void reads_and_writes_worked_values_data()
    {
        QTest::addColumn<quint32>("word");
        QTest::addColumn<int>("label");
        QTest::addColumn<int>("sdi");
        QTest::addColumn<int>("lsb");
        QTest::addColumn<double>("full_scale");
        QTest::addColumn<double>("value");
        QTest::addColumn<double>("given");
        const auto row = [](const char* name, quint32 word, int label, int sdi, int lsb, double full_scale, double value, double given) {
            QTest::newRow(name) << word << label << sdi << lsb << full_scale << value << given;
        };
        row("pressure altitude 35000 ft", 0xE445C1C1, 0203, 1, 12, 131072, 35000, 35000);
        row("computed airspeed 250 kt", 0x63E80061, 0206, 0, 15, 1024, 250, 250);
        row("altitude rate -500 ft/min", 0x7FC20051, 0212, 0, 18, 32768, -496, -500);
        row("magnetic heading 90 deg", 0x6800020B, 0320, 2, 14, 180, 90, 90);
        row("yaw rate -3 deg/s", 0x7FA0001B, 0330, 0, 16, 128, -3, -3);
        row("normal acceleration 1 g", 0x640000DB, 0333, 0, 17, 4, 1, 1);
    }
    void reads_and_writes_worked_values()
    {
        QFETCH(quint32, word);
        QFETCH(int, label);
        QFETCH(int, sdi);
        QFETCH(int, lsb);
        QFETCH(double, full_scale);
        QFETCH(double, value);
        QFETCH(double, given);
        const Bnr coding{28, lsb, full_scale};
        QCOMPARE(decode_bnr(word, coding), value);
        QCOMPARE(make_word(label, sdi, encode_bnr(given, coding), bnr_ssm(Ssm::normal)), word);
    }

    // Pitch +5 deg under functional test and heading with failure warning: same origin.
    void status_of_worked_words()
    {
        QVERIFY(bnr_status(0x4071C02B) == Ssm::functional_test);
        QVERIFY(qAbs(decode_bnr(0x4071C02B, {28, 15, 180}) - 4.998779297) < 1e-9);
        QVERIFY(bnr_status(0x0000000B) == Ssm::failure_warning);
        QVERIFY(bnr_status(0xA000000B) == Ssm::no_computed_data);
    }

    // Public question and answer on avionics forums: 41 000 ft on label 025 is digits 4 1 0 0 0; data field 0x12340 is 12 340;
    // data field 0x7FD1C is -740 as a 19-bit integer.
    void published_data_fields()
    {
        QCOMPARE(decode_bcd(make_word(0025, 0, 0x41000, 0), 5, 1).value(), 41000.0);
        QCOMPARE(encode_bcd(41000, 5, 1).value(), 0x41000u);
        QCOMPARE(decode_bcd(make_word(0, 0, 0x12340, 0), 5, 1).value(), 12340.0);
        QCOMPARE(decode_bcd(make_word(0, 0, 0x12340, 3), 5, 1).value(), -12340.0);
        QCOMPARE(decode_bnr(make_word(0, 0, 0x7FD1C, 3), {28, 11, 262144}), -740.0);
        QCOMPARE(encode_bnr(-740, {28, 11, 262144}), 0x7FD1Cu);
    }

    // Octal 203 is 0x83 and stands on the bus as 0xC1 (public tutorials).
    void labels_are_mirrored()
    {
        QCOMPARE(int{mirror_label(0x83)}, 0xC1);
        QCOMPARE(label_of(make_word(0203, 0, 0, 0)), 0203);
    }

    void decimal_words_know_their_limits()
    {
        QVERIFY(!encode_bcd(80000, 5, 1).has_value());
        QVERIFY(encode_bcd(79999, 5, 1).has_value());
        QVERIFY(!encode_bcd(qQNaN(), 5, 1).has_value());
        QVERIFY(!decode_bcd(make_word(0, 0, 0x0A000, 0), 5, 1).has_value());
        QVERIFY(bcd_status(make_word(0, 0, 0, 3)) == Ssm::normal);
        QVERIFY(discrete_status(make_word(0, 0, 0, 0)) == Ssm::normal);
        QVERIFY(discrete_status(make_word(0, 0, 0, 3)) == Ssm::failure_warning);
    }

    void ends_clamp_and_angles_fold()
    {
        const Bnr altitude{28, 12, 131072}, angle{28, 14, 180};
        QCOMPARE(decode_bnr(make_word(0, 0, encode_bnr(200000, altitude), 3), altitude), 131071.0);
        QCOMPARE(decode_bnr(make_word(0, 0, encode_bnr(-200000, altitude), 3), altitude), -131072.0);
        QCOMPARE(decode_bnr(make_word(0, 0, encode_bnr(270, angle, true), 3), angle), -90.0);
        QCOMPARE(decode_bnr(make_word(0, 0, encode_bnr(180, angle, true), 3), angle), -180.0);
    }
};

CHOCKSIDE_TEST(TestWord)
#include "tst_word.moc"
