#include <core/stats/counts.h>
#include <tests/support/test_main.h>

#include <gsl/gsl_cdf.h>

#include <cmath>
#include <vector>

using namespace chockside::stats;

class TestCounts : public QObject {
    Q_OBJECT

private slots:
    void boundsARateAfterSilence();
    void agreesWithTabledRateIntervals();
    void boundsAShare();
    void worksTheTeaTable();
    void weighsEventsInMarkedTime();
    void countsEveryArrangement();
    void drawsWhenThereAreTooMany();
    void refusesByCode();
};

// The "rule of three" (Hanley and Lippman-Hand, JAMA 249 (1983) 1743): 95 % bound near 3 / t, exactly -ln 0.05 = 2.9957 / t.
void TestCounts::boundsARateAfterSilence()
{
    QVERIFY(std::fabs(*rate_upper_bound(0, 1, 0.95) - 2.99573) < 5e-6);
    QVERIFY(std::fabs(*rate_upper_bound(0, 60, 0.95) - 2.99573 / 60) < 1e-7);
    QVERIFY(std::fabs(*quiet_time_needed(1.0 / 20, 0.95) - 59.9146) < 5e-5);
}

// Garwood (1936), as tables of Poisson confidence limits print them (from memory: 0, 1 and 10 events at 95 %).
void TestCounts::agreesWithTabledRateIntervals()
{
    const auto none = *rate_interval(0, 1, 0.95), one = *rate_interval(1, 1, 0.95), ten = *rate_interval(10, 1, 0.95);
    QVERIFY(none.lower == 0 && std::fabs(none.upper - 3.689) < 5e-4);
    QVERIFY(std::fabs(one.lower - 0.0253) < 5e-5 && std::fabs(one.upper - 5.572) < 5e-4);
    QVERIFY(std::fabs(ten.lower - 4.795) < 5e-4 && std::fabs(ten.upper - 18.390) < 5e-4);
}

// The defining tails, taken from GSL.
void TestCounts::boundsAShare()
{
    const auto share = *share_interval(3, 20, 0.95);
    QVERIFY(std::fabs(gsl_cdf_binomial_P(3, share.upper, 20) - 0.025) < 1e-9);
    QVERIFY(std::fabs(gsl_cdf_binomial_Q(2, share.lower, 20) - 0.025) < 1e-9);
    QVERIFY(share_interval(0, 20, 0.95)->lower == 0);
    QVERIFY(share_interval(20, 20, 0.95)->upper == 1);
}

// Fisher, The Design of Experiments (1935), chapter II: 3 of 4 cups right, 1/70 + 16/70 = 17/70 one-sided, 34/70 two-sided.
void TestCounts::worksTheTeaTable()
{
    const auto p = *fisher_exact(3, 1, 1, 3);
    QVERIFY(std::fabs(p.greater - 17.0 / 70) < 1e-12);
    QVERIFY(std::fabs(p.two_sided - 34.0 / 70) < 1e-12);
    QVERIFY(std::fabs(p.less - 69.0 / 70) < 1e-12);
    QVERIFY(std::fabs(fisher_exact(4, 0, 0, 4)->greater - 1.0 / 70) < 1e-12);
}

void TestCounts::weighsEventsInMarkedTime()
{
    QVERIFY(std::fabs(*marked_time_p(9, 8, 0.2) - gsl_cdf_binomial_Q(7, 0.2, 9)) < 1e-12);
    QVERIFY(*marked_time_p(9, 0, 0.2) == 1);
    QVERIFY(std::fabs(*marked_time_p(3, 3, 0.5) - 0.125) < 1e-14);
}

// By hand: of the 20 ways to pick 3 of 1 .. 6 only 4 5 6 reaches the sum 15, and 3 5 6 with it the sum 14.
void TestCounts::countsEveryArrangement()
{
    const std::vector<double> low{1, 2, 3}, high{4, 5, 6}, second{3, 5, 6}, rest{1, 2, 4};
    QCOMPARE(permutation_test(high, low, 1)->p, 1.0 / 20);
    QCOMPARE(permutation_test(second, rest, 1)->p, 2.0 / 20);
    QCOMPARE(permutation_test(low, high, 1)->p, 1.0);
    QVERIFY(permutation_test(high, low, 1)->exact);
    QCOMPARE(permutation_test(high, low, 1)->arrangements, std::int64_t{20});
}

// 0/1 data: the permutation test of a four-fold table is Fisher's exact test (14 of 20 against 5 of 20).
void TestCounts::drawsWhenThereAreTooMany()
{
    std::vector<double> a(20, 0.0), b(20, 0.0);
    std::fill_n(a.begin(), 14, 1.0);
    std::fill_n(b.begin(), 5, 1.0);
    const auto drawn = *permutation_test(a, b, 5);
    QVERIFY(!drawn.exact);
    QVERIFY(std::fabs(drawn.p - fisher_exact(14, 6, 5, 15)->greater) < 5 * drawn.se);
    QCOMPARE(permutation_test(a, b, 5)->p, drawn.p);
}

void TestCounts::refusesByCode()
{
    QCOMPARE(rate_upper_bound(-1, 1, 0.95).error().code, std::string("bad_count"));
    QCOMPARE(rate_upper_bound(0, 0, 0.95).error().code, std::string("bad_exposure"));
    QCOMPARE(rate_interval(0, 1, 1).error().code, std::string("bad_confidence"));
    QCOMPARE(share_interval(5, 4, 0.9).error().code, std::string("bad_count"));
    QCOMPARE(fisher_exact(1, -1, 1, 1).error().code, std::string("bad_count"));
    QCOMPARE(marked_time_p(4, 2, 1.5).error().code, std::string("bad_share"));
    QCOMPARE(permutation_test({}, std::vector<double>{1}, 1).error().code, std::string("too_few_rows"));
}

CHOCKSIDE_TEST(TestCounts)
#include "tst_counts.moc"
