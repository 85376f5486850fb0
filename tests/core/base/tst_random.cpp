#include <core/base/random.h>
#include <tests/support/test_main.h>

#include <array>
#include <cmath>

using namespace chockside;

class TestRandom : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    // Blackman and Vigna's recurrences in another language, itself checked against the published first values of splitmix64 from 1234567
    // (6457827717110365317 ...) and of xoshiro256** from {1, 2, 3, 4} (11520, 0, 1509978240 ...).
    void a_seed_gives_the_published_series()
    {
        SeededRandom random(1234567);
        const std::array<std::uint64_t, 4> expected{3504822795582309479u, 1819558768956484042u, 1250851346055027673u, 16940231675099994102u};
        for (const auto value : expected) QCOMPARE(random.next(), value);
    }

    void the_same_seed_fills_the_same_bytes()
    {
        std::array<std::byte, 13> a{}, b{}, c{};
        SeededRandom(5).fill(a);
        SeededRandom(5).fill(b);
        SeededRandom(6).fill(c);
        QVERIFY(a == b);
        QVERIFY(a != c);
    }

    // Mean and variance of the uniform (1/2, 1/12) and normal (0, 1) laws; bounds are five standard errors.
    void draws_have_the_moments_of_their_law()
    {
        constexpr int n = 200000;
        SeededRandom random(42);
        double su = 0, su2 = 0, sn = 0, sn2 = 0, sn4 = 0;
        for (int i = 0; i < n; ++i) {
            const double u = random.uniform(), z = random.normal();
            QVERIFY(u >= 0 && u < 1);
            su += u, su2 += u * u, sn += z, sn2 += z * z, sn4 += z * z * z * z;
        }
        const double root = std::sqrt(double(n));
        QVERIFY(std::abs(su / n - 0.5) < 5 * std::sqrt(1.0 / 12) / root);
        QVERIFY(std::abs(su2 / n - 1.0 / 3) < 5 * std::sqrt(4.0 / 45) / root);
        QVERIFY(std::abs(sn / n) < 5 / root);
        QVERIFY(std::abs(sn2 / n - 1) < 5 * std::sqrt(2.0) / root);
        QVERIFY(std::abs(sn4 / n - 3) < 5 * std::sqrt(96.0) / root);
    }

    // Chi-square with 9 degrees of freedom: 27.88 is the 0.999 point (tables of the distribution).
    void below_gives_each_number_its_share()
    {
        SeededRandom random(7);
        std::array<int, 10> count{};
        for (int i = 0; i < 100000; ++i) ++count.at(random.below(10));
        double chi = 0;
        for (const int c : count) chi += (c - 10000.0) * (c - 10000.0) / 10000.0;
        QVERIFY(chi < 27.88);
        QCOMPARE(random.below(1), std::size_t(0));
    }
};

CHOCKSIDE_TEST(TestRandom)
#include "tst_random.moc"
