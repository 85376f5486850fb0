#include <core/practice/air.h>

#include <tests/support/test_main.h>

#include <cmath>

using namespace chockside::practice;

class TestAir : public QObject {
    Q_OBJECT
private slots:
    void pressures_are_the_published_ones();
};

// U.S. Standard Atmosphere, 1976: geopotential height in feet, pressure in hPa as tabulated.
void TestAir::pressures_are_the_published_ones()
{
    const double rows[][2] = {{-2000, 1088.6572}, {-1000, 1050.4058}, {0, 1013.2500}, {1000, 977.1657}, {5000, 843.0728}};
    for (const auto& [feet, hpa] : rows) {
        QVERIFY(std::abs(standard_pressure_pa(feet * 0.3048) - hpa * 100) < 0.1);
        QVERIFY(std::abs(standard_height_m(hpa * 100) / 0.3048 - feet) < 0.05);
    }
}

CHOCKSIDE_TEST(TestAir)
#include "tst_air.moc"
