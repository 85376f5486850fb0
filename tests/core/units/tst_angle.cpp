#include <core/units/angle.h>
#include <core/units/convert.h>
#include <tests/support/test_main.h>

#include <cmath>
#include <limits>

using namespace chockside;

class TestAngle : public QObject {
    Q_OBJECT

private slots:
    void wrapsIntoOneTurn_data();
    void wrapsIntoOneTurn();
    void keepsNotANumber();
    void turnsTheShortWay();
    void convertsByPublishedFactors();
};

void TestAngle::wrapsIntoOneTurn_data()
{
    QTest::addColumn<double>("angle");
    QTest::addColumn<double>("turn");
    QTest::addColumn<double>("half");
    QTest::newRow("zero") << 0.0 << 0.0 << 0.0;
    QTest::newRow("full turn") << 360.0 << 0.0 << 0.0;
    QTest::newRow("south") << 180.0 << 180.0 << -180.0;
    QTest::newRow("south the other way") << -180.0 << 180.0 << -180.0;
    QTest::newRow("just west of north") << -1.5 << 358.5 << -1.5;
    QTest::newRow("many turns") << 3607.25 << 7.25 << 7.25;
    QTest::newRow("many turns back") << -3607.25 << 352.75 << -7.25;
    QTest::newRow("a hair below zero") << -1e-20 << 0.0 << -1e-20;
}

void TestAngle::wrapsIntoOneTurn()
{
    QFETCH(double, angle);
    QFETCH(double, turn);
    QFETCH(double, half);
    QVERIFY(wrap_360(angle) == turn);
    QVERIFY(wrap_180(angle) == half);
    QVERIFY(!std::signbit(wrap_360(angle)));
}

void TestAngle::keepsNotANumber()
{
    for (const double bad : {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()}) {
        QVERIFY(std::isnan(wrap_360(bad)));
        QVERIFY(std::isnan(wrap_180(bad)));
    }
}

void TestAngle::turnsTheShortWay()
{
    QCOMPARE(turn(Degrees(350), Degrees(10)).value, 20.0);
    QCOMPARE(turn(Degrees(10), Degrees(350)).value, -20.0);
}

// NIST Special Publication 811 (2008), appendix B.8 and B.9; 29.92 inHg is 1013.2 hPa to the figures that altimeter settings have.
void TestAngle::convertsByPublishedFactors()
{
    QCOMPARE(to_metres(Feet(1000)).value, 304.8);
    QCOMPARE(to_feet(Metres(304.8)).value, 1000.0);
    QVERIFY(std::fabs(to_metres_per_second(Knots(1)).value - 0.5144444) < 5e-8);
    QVERIFY(std::fabs(to_hectopascals(InchesOfMercury(29.92)).value - 1013.2) < 0.05);
    QCOMPARE(to_kelvin(Celsius(15)).value, 288.15);
    QVERIFY(std::fabs(to_radians(Degrees(1)).value - 0.01745329) < 5e-9);
}

CHOCKSIDE_TEST(TestAngle)
#include "tst_angle.moc"
