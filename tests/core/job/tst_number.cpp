// Numbers of a job read and write the same in every language of the system, and as they always did.
#include <core/job/number.h>
#include <tests/support/test_main.h>

#include <clocale>
#include <cmath>
#include <cstdio>

using namespace chockside;

class TestNumber : public QObject {
    Q_OBJECT

private slots:
    void only_plain_decimal_text_is_a_number()
    {
        QCOMPARE(job::number_of("30.4"), std::optional(30.4));
        QCOMPARE(job::number_of("-0.02"), std::optional(-0.02));
        QCOMPARE(job::number_of("\u2212" "3"), std::optional(-3.0));
        for (const char* text : {"", "nan", "inf", "0x1", "1,9", "1e3", "abc", " 1", "1 ", "1.", ".5", "--1"}) QVERIFY2(!job::number_of(text), text);
    }

    void text_is_what_the_c_locale_printed()
    {
        for (const double v : {0.0, -0.0, 0.005, -0.004, 2.675, 0.125, 1.005, 99.995, -1.13, 27.4, 1234567.891, 1.0 / 3, 359.999})
            for (const int decimals : {0, 1, 2, 3, 4}) {
                char printed[64];
                std::snprintf(printed, sizeof printed, "%.*f", decimals, v);
                QCOMPARE(fixed_text(v, decimals), std::string(printed));
            }
    }

    void a_decimal_comma_in_the_system_changes_nothing()
    {
        const std::string before = std::setlocale(LC_NUMERIC, nullptr);
        for (const char* name : {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8"})
            if (std::setlocale(LC_NUMERIC, name)) break;
        const auto number = job::number_of("30.4");
        const std::string text = fixed_text(-1.13, 2);
        std::setlocale(LC_NUMERIC, before.c_str());
        QCOMPARE(number, std::optional(30.4));
        QCOMPARE(text, std::string("-1.13"));
    }
};

CHOCKSIDE_TEST(TestNumber)
#include "tst_number.moc"
