#include <core/airdata/standard.h>

#include <tests/support/test_main.h>

#include <cmath>

using namespace chockside::airdata;

class TestStandard : public QObject {
    Q_OBJECT
private slots:
    // U.S. Standard Atmosphere, 1976: geopotential height in feet, pressure in hPa as tabulated.
    void pressures_are_the_published_ones()
    {
        const double rows[][2] = {{-2000, 1088.6572}, {-1000, 1050.4058}, {0, 1013.2500}, {1000, 977.1657}, {2000, 942.1291}, {5000, 843.0728}, {8000, 752.6238}};
        for (const auto& [feet, hpa] : rows) {
            QVERIFY(std::abs(pressure_pa(feet) - hpa * 100) < 0.1);
            QVERIFY(std::abs(altitude_ft(hpa * 100) - feet) < 0.05);
        }
    }

    // The published table of impact pressure in inches of water at 20 degC (248.64 Pa each): 0.15 at 15 kt, 0.59 at 30 kt, 1.32 at 45 kt.
    void impact_pressures_are_the_published_ones()
    {
        const double rows[][2] = {{15, 0.15}, {30, 0.59}, {45, 1.32}};
        for (const auto& [knots, inches] : rows) QVERIFY(std::abs(impact_pa(knots) / 248.64 - inches) < 0.006);
    }

    void each_way_back_leads_back()
    {
        for (double feet = -2000; feet <= 36000; feet += 500) QVERIFY(std::abs(altitude_ft(pressure_pa(feet)) - feet) < 1e-6);
        for (double knots = 1; knots < 600; knots += 7) QVERIFY(std::abs(airspeed_kt(impact_pa(knots)) - knots) < 1e-6);
        QCOMPARE(airspeed_kt(-5), 0.0);
    }
};

CHOCKSIDE_TEST(TestStandard)
#include "tst_standard.moc"
