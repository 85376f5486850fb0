#include <core/stats/distributions.h>
#include <tests/support/test_main.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_sf_gamma.h>

#include <cmath>

using namespace chockside::stats;

namespace {

bool is_near(double found, double expected, double relative)
{
    const bool near = std::fabs(found - expected) <= relative * std::fabs(expected);
    if (!near) qWarning("found %.15g, expected %.15g", found, expected);
    return near;
}

} // namespace

class TestDistributions : public QObject {
    Q_OBJECT

private slots:
    void givesTabledQuantiles();
    void agreesWithGslOnStudent();
    void agreesWithGslOnChiSquaredAndF();
    void agreesWithGslOnTheNormal();
    void agreesWithGslOnCounts();
    void agreesWithGslOnGamma();
    void refusesWhatIsOutside();
};

// NIST/SEMATECH e-Handbook of Statistical Methods, tables 1.3.6.7.1 to 1.3.6.7.4, to the figures printed there.
void TestDistributions::givesTabledQuantiles()
{
    QVERIFY(std::fabs(normal_cdf(1.96) - 0.97500) < 5e-6);
    QVERIFY(std::fabs(student_t_quantile(0.975, 1) - 12.706) < 5e-4);
    QVERIFY(std::fabs(student_t_quantile(0.975, 10) - 2.228) < 5e-4);
    QVERIFY(std::fabs(student_t_quantile(0.99, 30) - 2.457) < 5e-4);
    QVERIFY(std::fabs(chi_squared_quantile(0.95, 10) - 18.307) < 5e-4);
    QVERIFY(std::fabs(chi_squared_quantile(0.05, 10) - 3.940) < 5e-4);
    QVERIFY(std::fabs(f_quantile(0.95, 5, 10) - 3.326) < 5e-4);
    QVERIFY(std::fabs(f_quantile(0.95, 1, 1) - 161.448) < 5e-4);
}

void TestDistributions::agreesWithGslOnStudent()
{
    for (const double dof : {1.0, 2.0, 3.0, 7.5, 19.0, 355.0, 1e4})
        for (const double p : {1e-6, 0.001, 0.025, 0.3, 0.7, 0.975, 0.9999}) {
            QVERIFY(is_near(student_t_quantile(p, dof), gsl_cdf_tdist_Pinv(p, dof), 1e-9));
            const double t = gsl_cdf_tdist_Pinv(p, dof);
            QVERIFY(is_near(student_t_cdf(t, dof), gsl_cdf_tdist_P(t, dof), 1e-10));
        }
}

void TestDistributions::agreesWithGslOnChiSquaredAndF()
{
    for (const double p : {0.001, 0.05, 0.5, 0.95, 0.9999}) {
        for (const double dof : {1.0, 2.0, 9.0, 60.0, 1000.0}) QVERIFY(is_near(chi_squared_quantile(p, dof), gsl_cdf_chisq_Pinv(p, dof), 1e-9));
        for (const double above : {1.0, 3.0, 5.0, 40.0})
            for (const double below : {1.0, 3.0, 19.0, 355.0}) {
                // GSL's own inverse of F is coarse in places: judged through its distribution function.
                const double f = f_quantile(p, above, below);
                QVERIFY(is_near(gsl_cdf_fdist_P(f, above, below), p, 1e-9));
                QVERIFY(is_near(f_cdf(f, above, below), gsl_cdf_fdist_P(f, above, below), 1e-10));
            }
    }
}

void TestDistributions::agreesWithGslOnTheNormal()
{
    for (const double p : {1e-12, 1e-4, 0.1, 0.6, 0.999}) QVERIFY(is_near(normal_quantile(p), gsl_cdf_ugaussian_Pinv(p), 1e-12));
    for (const double z : {-8.0, -1.0, 0.5, 3.0}) QVERIFY(is_near(normal_cdf(z), gsl_cdf_ugaussian_P(z), 1e-13));
}

void TestDistributions::agreesWithGslOnCounts()
{
    for (const int n : {1, 10, 200})
        for (const double p : {0.01, 0.4, 0.97})
            for (int k = 0; k < n; k += 1 + n / 7)
                QVERIFY(is_near(binomial_cdf(k, n, p), gsl_cdf_binomial_P(static_cast<unsigned>(k), p, static_cast<unsigned>(n)), 1e-9));
    for (const double mean : {0.1, 3.0, 90.0})
        for (const int k : {0, 2, 15, 80}) QVERIFY(is_near(poisson_cdf(k, mean), gsl_cdf_poisson_P(static_cast<unsigned>(k), mean), 1e-9));
    const int k = binomial_quantile(0.9, 40, 0.3);
    QVERIFY(gsl_cdf_binomial_P(static_cast<unsigned>(k), 0.3, 40) >= 0.9 && gsl_cdf_binomial_P(static_cast<unsigned>(k) - 1, 0.3, 40) < 0.9);
}

void TestDistributions::agreesWithGslOnGamma()
{
    for (const double x : {0.001, 0.5, 1.5, 3.0, 14.9, 15.1, 300.0}) QVERIFY(std::fabs(log_gamma(x) - gsl_sf_lngamma(x)) < 1e-13 * (1 + std::fabs(gsl_sf_lngamma(x))));
    for (const double a : {0.3, 2.0, 29.0, 31.0, 900.0})
        for (const double share : {0.5, 0.95, 1.0, 1.1, 1.6}) {
            QVERIFY(is_near(gamma_p(a, a * share), gsl_sf_gamma_inc_P(a, a * share), 1e-10));
            QVERIFY(is_near(gamma_q(a, a * share), gsl_sf_gamma_inc_Q(a, a * share), 1e-10));
        }
}

void TestDistributions::refusesWhatIsOutside()
{
    QVERIFY(std::isnan(student_t_quantile(1, 5)));
    QVERIFY(std::isnan(student_t_quantile(0.5, 0)));
    QVERIFY(std::isnan(f_quantile(0, 1, 1)));
    QVERIFY(std::isnan(beta_i(1.5, 1, 1)));
    QVERIFY(std::isnan(normal_quantile(0)));
}

CHOCKSIDE_TEST(TestDistributions)
#include "tst_distributions.moc"
