#include "strd.h"

#include <core/base/random.h>
#include <core/stats/allan.h>
#include <core/stats/distributions.h>
#include <core/stats/summary.h>
#include <tests/support/test_main.h>

#include <gsl/gsl_fit.h>

#include <cmath>
#include <limits>

using namespace chockside;
using namespace chockside::stats;

class TestTrend : public QObject {
    Q_OBJECT

private slots:
    void slopeOfNorris();
    void intervalsCoverAsTheyClaim();
    void judgesSettling();
    void keepsFiguresFarFromZero();
    void refusesByCode();
    void allanDeviationsAsPublished();
};

// NIST StRD, Norris: the certified slope and its standard deviation; GSL for the scatter.
void TestTrend::slopeOfNorris()
{
    std::vector<double> t, y;
    for (const auto& row : tests::table_of("norris")) {
        y.push_back(row[0]);
        t.push_back(row[1]);
    }
    const auto trend = *fit_trend(t, y, 0.95);
    QVERIFY(std::fabs(trend.slope / 1.00211681802045 - 1) < 1e-13);
    QVERIFY(std::fabs(trend.slope_se / 0.000429796848199937 - 1) < 1e-11);
    QVERIFY(std::fabs(trend.scatter / 0.884796396144373 - 1) < 1e-11);
    double c0 = 0, c1 = 0, v00 = 0, v01 = 0, v11 = 0, squares = 0;
    gsl_fit_linear(t.data(), 1, y.data(), 1, t.size(), &c0, &c1, &v00, &v01, &v11, &squares);
    QVERIFY(std::fabs(trend.slope_se / std::sqrt(v11) - 1) < 1e-10);
}

// A 95 % interval holds the truth in 95 of 100 windows: 2000 seeded windows, standard error 0.5 %, allowed 4 of them.
void TestTrend::intervalsCoverAsTheyClaim()
{
    SeededRandom random(2024);
    int slope_held = 0, scatter_held = 0;
    for (int w = 0; w < 2000; ++w) {
        std::vector<double> t, y;
        for (int i = 0; i < 12; ++i) {
            t.push_back(i);
            y.push_back(100 + 0.3 * i + random.normal(0, 0.7));
        }
        const auto trend = *fit_trend(t, y, 0.95);
        slope_held += trend.slope_interval.lower <= 0.3 && 0.3 <= trend.slope_interval.upper;
        scatter_held += trend.scatter_interval.lower <= 0.7 && 0.7 <= trend.scatter_interval.upper;
    }
    QVERIFY(std::abs(slope_held - 1900) < 40);
    QVERIFY(std::abs(scatter_held - 1900) < 40);
}

void TestTrend::judgesSettling()
{
    auto window = [](double slope, double sd, int n) {
        SeededRandom random(8);
        std::vector<double> t, y;
        for (int i = 0; i < n; ++i) {
            t.push_back(i);
            y.push_back(slope * i + random.normal(0, sd));
        }
        return *fit_trend(t, y, 0.95);
    };
    QVERIFY(judge_settled(window(0, 0.05, 60), 0.01, 0.1) == Settled::yes);
    QVERIFY(judge_settled(window(0.05, 0.05, 60), 0.01, 0.1) == Settled::no);
    QVERIFY(judge_settled(window(0, 0.5, 60), 0.01, 0.1) == Settled::no);
    QVERIFY(judge_settled(window(0, 0.05, 4), 0.01, 0.1) == Settled::not_known);
}

void TestTrend::keepsFiguresFarFromZero()
{
    const std::vector<double> values{1e9 + 4, 1e9 + 7, 1e9 + 13, 1e9 + 16}; // sample variance 30, by hand
    QVERIFY(std::fabs(summarise(values)->sd - std::sqrt(30.0)) < 1e-9);
    QCOMPARE(summarise(values)->mean, 1e9 + 10);
}

void TestTrend::refusesByCode()
{
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const std::vector<double> t{0, 1, 2}, same{1, 1, 1}, bad{0, nan, 1}, two{0, 1};
    QCOMPARE(fit_trend(t, bad, 0.95).error().code, std::string("not_finite"));
    QCOMPARE(fit_trend(same, t, 0.95).error().code, std::string("rank_deficient"));
    QCOMPARE(fit_trend(two, two, 0.95).error().code, std::string("too_few_rows"));
    QCOMPARE(fit_trend(t, two, 0.95).error().code, std::string("bad_shape"));
    QCOMPARE(fit_trend(t, t, 1.0).error().code, std::string("bad_confidence"));
    QCOMPARE(summarise({}).error().code, std::string("no_values"));
}

// NIST SP 1065: ADEV and OADEV of both sets, to the seven figures printed.
void TestTrend::allanDeviationsAsPublished()
{
    const std::vector<double> nine{892, 809, 823, 798, 671, 644, 883, 903, 677};
    QVERIFY(std::fabs(*allan_deviation(nine, 1) - 91.22945) < 5e-6);
    QVERIFY(std::fabs(*allan_deviation(nine, 2) - 115.8082) < 5e-5);
    QVERIFY(std::fabs(*overlapping_allan_deviation(nine, 2) - 85.95287) < 5e-6);
    std::vector<double> thousand;
    for (std::uint64_t n = 1234567890; thousand.size() < 1000; n = 16807 * n % 2147483647) thousand.push_back(static_cast<double>(n) / 2147483647.0);
    QVERIFY(std::fabs(*allan_deviation(thousand, 10) - 0.09965736) < 5e-9);
    QVERIFY(std::fabs(*overlapping_allan_deviation(thousand, 1) - 0.2922319) < 5e-8);
    QVERIFY(std::fabs(*overlapping_allan_deviation(thousand, 10) - 0.09159953) < 5e-9);
    QVERIFY(std::fabs(*overlapping_allan_deviation(thousand, 100) - 0.03241343) < 5e-9);
    QCOMPARE(allan_deviation(nine, 5).error().code, std::string("bad_factor"));
}

CHOCKSIDE_TEST(TestTrend)
#include "tst_trend.moc"
