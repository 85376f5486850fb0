#include <core/base/time.h>
#include <tests/support/test_main.h>

using namespace chockside;

class TestTime : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    // RFC 3339, 5.8, first example, with the zero that three digits ask for. Unix seconds by GNU date 9.1; 2^31-1 by POSIX.
    void moments_have_the_known_unix_time_data()
    {
        QTest::addColumn<QByteArray>("text");
        QTest::addColumn<qint64>("ms");
        QTest::newRow("epoch") << QByteArray("1970-01-01T00:00:00.000Z") << qint64(0);
        QTest::newRow("RFC 3339 example") << QByteArray("1985-04-12T23:20:50.520Z") << qint64(482196050520);
        QTest::newRow("leap day") << QByteArray("2024-02-29T12:00:00.000Z") << qint64(1709208000000);
        QTest::newRow("last second of 32 bits") << QByteArray("2038-01-19T03:14:07.000Z") << qint64(2147483647000);
        QTest::newRow("last of four digits") << QByteArray("9999-12-31T23:59:59.999Z") << qint64(253402300799999);
    }
    void moments_have_the_known_unix_time()
    {
        QFETCH(QByteArray, text);
        QFETCH(qint64, ms);
        QCOMPARE(to_rfc3339(ms), text.toStdString());
        QCOMPARE(from_rfc3339(text.toStdString()), std::optional<std::int64_t>(ms));
    }

    void whole_seconds_may_leave_the_fraction_out()
    {
        QCOMPARE(from_rfc3339("2024-02-29T12:00:00Z"), std::optional<std::int64_t>(1709208000000));
    }

    // Days that the Gregorian calendar lacks; offsets and leap seconds are outside of what the record writes.
    void other_texts_are_refused()
    {
        for (const char* bad : {"", "Z", "2023-02-29T00:00:00Z", "2100-02-29T00:00:00Z", "2024-13-01T00:00:00Z", "2024-00-01T00:00:00Z", "2024-01-32T00:00:00Z", "2024-01-01T24:00:00Z", "2024-01-01T00:60:00Z",
                 "1990-12-31T23:59:60Z", "2024-01-01 00:00:00Z", "2024-01-01T00:00:00", "2024-01-01T00:00:00+00:00", "2024-01-01T00:00:00,000Z", "2024-1-01T00:00:00Z ", "20240-01-01T00:00:0Z", "2024-01-01T00:00:0-Z"})
            QVERIFY2(!from_rfc3339(bad), bad);
    }

    void people_get_time_and_date_alone()
    {
        QCOMPARE(to_hms(482196050520), std::string("23:20:50"));
        QCOMPARE(to_date(482196050520), std::string("1985-04-12"));
    }
};

CHOCKSIDE_TEST(TestTime)
#include "tst_time.moc"
