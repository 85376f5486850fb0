#include <core/base/random.h>
#include <core/units/decimal.h>
#include <core/units/format.h>
#include <tests/support/comma_locale.h>
#include <tests/support/test_main.h>

#include <charconv>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <limits>

using namespace chockside;

class TestDecimal : public QObject {
    Q_OBJECT

private slots:
    void readsAndWritesTheSameText_data();
    void readsAndWritesTheSameText();
    void refusesByCode_data();
    void refusesByCode();
    void readsAsTheCLibraryDoes();
    void roundsHalfAwayFromZero();
    void fixesAsTheCLibraryDoesInItsOwnLanguage();
    void takesNoNoticeOfTheSystemsLanguage();
    void comparesAcrossScales();
    void formatsForPeople();
};

void TestDecimal::readsAndWritesTheSameText_data()
{
    QTest::addColumn<QByteArray>("text");
    QTest::addColumn<qint64>("units");
    QTest::addColumn<int>("scale");
    QTest::newRow("volts") << QByteArray("27.40") << qint64(2740) << 2;
    QTest::newRow("negative below one") << QByteArray("-0.05") << qint64(-5) << 2;
    QTest::newRow("whole") << QByteArray("1013") << qint64(1013) << 0;
    QTest::newRow("fifteen figures") << QByteArray("123456789.012345") << qint64(123456789012345) << 6;
}

void TestDecimal::readsAndWritesTheSameText()
{
    QFETCH(QByteArray, text);
    QFETCH(qint64, units);
    QFETCH(int, scale);
    const auto number = read_decimal(text.toStdString());
    QVERIFY(number.has_value());
    QCOMPARE(qint64(number->units), units);
    QCOMPARE(number->scale, scale);
    QCOMPARE(write_decimal(*number), text.toStdString());
}

void TestDecimal::refusesByCode_data()
{
    QTest::addColumn<QByteArray>("text");
    QTest::addColumn<QByteArray>("code");
    const std::pair<const char*, const char*> rows[] = {{"", "decimal_empty"}, {"-", "decimal_empty"}, {"12,5", "decimal_comma"},
        {"1.2.3", "decimal_syntax"}, {".5", "decimal_syntax"}, {"5.", "decimal_syntax"}, {"1e3", "decimal_syntax"}, {" 1", "decimal_syntax"},
        {"--1", "decimal_syntax"}, {"nan", "decimal_syntax"}, {"1234567890123456", "decimal_range"}, {"0.0000000000000001", "decimal_range"}};
    for (const auto& [text, code] : rows) QTest::addRow("<%s>", text) << QByteArray(text) << QByteArray(code);
}

void TestDecimal::refusesByCode()
{
    QFETCH(QByteArray, text);
    QFETCH(QByteArray, code);
    const auto number = read_decimal(text.toStdString());
    QVERIFY(!number.has_value());
    QCOMPARE(number.error().code, code.toStdString());
}

// The nearest double, as strtod of the C library finds it.
void TestDecimal::readsAsTheCLibraryDoes()
{
    SeededRandom random(11);
    for (int i = 0; i < 20000; ++i) {
        const Decimal number{static_cast<std::int64_t>(random.below(2000000000000)) - 1000000000000, static_cast<int>(random.below(13))};
        const std::string text = write_decimal(number);
        QCOMPARE(read_decimal(text)->units, number.units);
        QVERIFY(read_decimal(text)->to_double() == std::strtod(text.c_str(), nullptr));
    }
}

void TestDecimal::roundsHalfAwayFromZero()
{
    QCOMPARE(decimal_text(2.675, 2), std::string("2.68")); // below the half in binary, the half as people wrote it
    QCOMPARE(decimal_text(-2.5, 0), std::string("-3"));
    QCOMPARE(decimal_text(-0.004, 2), std::string("0.00"));
    QCOMPARE(decimal_text(9.996, 2), std::string("10.00"));
    QCOMPARE(decimal_text(1e-300, 3), std::string("0.000"));
    QCOMPARE(decimal_text(1e300, 0), std::string());
}

void TestDecimal::fixesAsTheCLibraryDoesInItsOwnLanguage()
{
    SeededRandom random(29);
    constexpr double most = std::numeric_limits<double>::max(), none = std::numeric_limits<double>::quiet_NaN(), endless = std::numeric_limits<double>::infinity();
    std::vector<double> values{0, -0.0, 0.5, 2.5, 2.675, -1.125, 9.995, 1e15, most, -most, std::numeric_limits<double>::denorm_min(), none, -none, endless, -endless};
    for (int i = 0; i < 3000; ++i) values.push_back(std::ldexp(static_cast<double>(random.below(std::size_t{1} << 40)) - 0x1p39, static_cast<int>(random.below(80)) - 60));
    for (const double value : values)
        for (const int places : {0, 1, 2, 4, 9, 15}) {
            char expected[400];
            std::snprintf(expected, sizeof expected, "%.*f", places, value);
            QCOMPARE(fixed_text(value, places), std::string(expected));
        }
}

void TestDecimal::takesNoNoticeOfTheSystemsLanguage()
{
    const tests::CommaLocale comma;
    QVERIFY(comma.holds());
    QCOMPARE(fixed_text(-1.13, 2), std::string("-1.13"));
    QCOMPARE(decimal_text(-1.13, 2), std::string("-1.13"));
    QCOMPARE(read_decimal("30.4")->to_double(), 30.4);
    QCOMPARE(format_number(12345.5, 1), std::string("12345.5"));
}

void TestDecimal::comparesAcrossScales()
{
    QCOMPARE(compare(*read_decimal("27.4"), *read_decimal("27.400")), 0);
    QCOMPARE(compare(*read_decimal("-0.1"), *read_decimal("0.05")), -1);
    QCOMPARE(compare(*read_decimal("999999999999999"), *read_decimal("0.000000000000001")), 1);
}

// Minus U+2212 and the space before the unit: ISO 80000-1, 7.1.4 and 7.2; headings in three figures: common practice, no source.
void TestDecimal::formatsForPeople()
{
    QCOMPARE(format_number(-1.25, 1), std::string("\u22121.3"));
    QCOMPARE(format_number(0.04, 1, Sign::always), std::string("0.0"));
    QCOMPARE(format_number(0.06, 1, Sign::always), std::string("+0.1"));
    QCOMPARE(format_quantity(27.4, 1, "V"), std::string("27.4\u00A0V"));
    QCOMPARE(format_quantity(1.5, 1, "\u00B0", Sign::always), std::string("+1.5\u00B0"));
    QCOMPARE(format_heading(7.4), std::string("007\u00B0"));
    QCOMPARE(format_heading(359.6), std::string("360\u00B0"));
    QCOMPARE(format_heading(-90), std::string("270\u00B0"));
}

CHOCKSIDE_TEST(TestDecimal)
#include "tst_decimal.moc"
