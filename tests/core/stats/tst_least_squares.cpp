#include "strd.h"

#include <core/base/random.h>
#include <core/stats/harmonic.h>
#include <core/stats/least_squares.h>
#include <core/stats/robust.h>
#include <tests/support/test_main.h>

#include <gsl/gsl_multifit.h>

#include <cmath>
#include <limits>
#include <memory>

using namespace chockside;
using namespace chockside::stats;

namespace {

struct Problem5 {
    std::vector<double> design, y;
};

Problem5 swing_like(std::uint64_t seed, std::size_t rows, double outlier)
{
    SeededRandom random(seed);
    std::vector<double> angles(rows), y(rows);
    for (std::size_t i = 0; i < rows; ++i) {
        angles[i] = random.uniform(0, 360);
        const double t = angles[i] / 57.29577951308232;
        y[i] = 1.2 - 2.5 * std::sin(t) + 0.8 * std::cos(t) + 0.4 * std::sin(2 * t) - 0.3 * std::cos(2 * t) + random.normal(0, 0.1);
        if (i % 12 == 5) y[i] += outlier;
    }
    return {harmonic_design(angles, 5), y};
}

/// GNU Scientific Library as the independent fit.
struct Gsl {
    std::vector<double> coefficients, covariance;
};

template <class Fit>
Gsl by_gsl(const Problem5& p, Fit fit)
{
    const std::size_t n = p.y.size(), k = p.design.size() / n;
    const auto x = gsl_matrix_const_view_array(p.design.data(), n, k);
    const auto y = gsl_vector_const_view_array(p.y.data(), n);
    Gsl out{std::vector<double>(k), std::vector<double>(k * k)};
    auto c = gsl_vector_view_array(out.coefficients.data(), k);
    auto cov = gsl_matrix_view_array(out.covariance.data(), k, k);
    fit(&x.matrix, &y.vector, &c.vector, &cov.matrix);
    return out;
}

double furthest(const std::vector<double>& a, const std::vector<double>& b)
{
    double most = 0, size = 0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        most = std::max(most, std::fabs(a[i] - b[i]));
        size = std::max(size, std::fabs(b[i]));
    }
    return most / size;
}

/// Figures that agree with the certified value (log relative error), as NIST suggests; 15 at most.
double figures(double found, double certified)
{
    const double error = certified == 0 ? std::fabs(found) : std::fabs(found - certified) / std::fabs(certified);
    return error < 1e-15 ? 15 : -std::log10(error);
}

} // namespace

class TestLeastSquares : public QObject {
    Q_OBJECT

private slots:
    void reachesCertifiedFigures_data();
    void reachesCertifiedFigures();
    void agreesWithGsl();
    void agreesWithGslWeighted();
    void plainFitIsTheSameFit();
    void plainFitFallsBackWhenColumnsAreClose();
    void leverageSumsToTheColumns();
    void robustAgreesWithGsl_data();
    void robustAgreesWithGsl();
    void refusesByCode_data();
    void refusesByCode();
};

// NIST StRD. Floors are what double precision gives here, not what one might wish: the powers of Filip's x are already rounded.
void TestLeastSquares::reachesCertifiedFigures_data()
{
    QTest::addColumn<int>("degree"); // -1: the columns as they stand, after a 1; 0: without intercept
    QTest::addColumn<double>("estimate_figures");
    QTest::addColumn<double>("deviation_figures");
    QTest::newRow("norris") << 1 << 12.0 << 12.0;
    QTest::newRow("pontius") << 2 << 11.0 << 11.0;
    QTest::newRow("noint1") << 0 << 13.0 << 13.0;
    QTest::newRow("noint2") << 0 << 13.0 << 13.0;
    QTest::newRow("filip") << 10 << 7.0 << 7.0;
    QTest::newRow("longley") << -1 << 11.0 << 11.0;
    QTest::newRow("wampler1") << 5 << 11.0 << 9.0;
    QTest::newRow("wampler2") << 5 << 11.0 << 9.0;
    QTest::newRow("wampler3") << 5 << 12.0 << 9.0;
    QTest::newRow("wampler4") << 5 << 9.0 << 9.0;
    QTest::newRow("wampler5") << 5 << 9.0 << 9.0;
}

void TestLeastSquares::reachesCertifiedFigures()
{
    QFETCH(int, degree);
    QFETCH(double, estimate_figures);
    QFETCH(double, deviation_figures);
    const auto rows = tests::table_of(QTest::currentDataTag());
    const auto certified = tests::certified_of(QTest::currentDataTag());
    std::vector<double> design, y;
    for (const auto& row : rows) {
        y.push_back(row[0]);
        if (degree != 0) design.push_back(1);
        if (degree == 0) design.push_back(row[1]);
        if (degree < 0) design.insert(design.end(), row.begin() + 1, row.end());
        double power = 1;
        for (int k = 1; k <= degree; ++k) design.push_back(power *= row[1]);
    }
    const auto fit = fit_linear({design, rows.size(), design.size() / rows.size()}, y);
    QVERIFY(fit.has_value());
    QCOMPARE(fit->coefficients.size(), certified.estimates.size());
    double estimate = 15, deviation = 15;
    const std::size_t p = certified.estimates.size();
    for (std::size_t k = 0; k < p; ++k) {
        estimate = std::min(estimate, figures(fit->coefficients[k], certified.estimates[k]));
        deviation = std::min(deviation, figures(std::sqrt(fit->covariance[k * p + k]), certified.deviations[k]));
    }
    qInfo("figures: estimates %.1f, standard deviations %.1f, residual sum %.1f, condition %.2g", estimate, deviation,
        figures(fit->residual_sum_of_squares, certified.residual_sum_of_squares), fit->condition);
    QVERIFY(estimate >= estimate_figures);
    QVERIFY(deviation >= deviation_figures);
}

void TestLeastSquares::agreesWithGsl()
{
    for (const std::size_t rows : {8u, 24u, 360u}) {
        const auto p = swing_like(rows, rows, 0);
        const auto fit = fit_linear({p.design, rows, 5}, p.y);
        std::unique_ptr<gsl_multifit_linear_workspace, void (*)(gsl_multifit_linear_workspace*)> work(gsl_multifit_linear_alloc(rows, 5), gsl_multifit_linear_free);
        double squares = 0;
        const auto gsl = by_gsl(p, [&](auto x, auto y, auto c, auto cov) { gsl_multifit_linear(x, y, c, cov, &squares, work.get()); });
        QVERIFY(fit.has_value());
        QVERIFY(furthest(fit->coefficients, gsl.coefficients) < 1e-12);
        QVERIFY(furthest(fit->covariance, gsl.covariance) < 1e-10);
        QVERIFY(std::fabs(fit->residual_sum_of_squares / squares - 1) < 1e-10);
    }
}

void TestLeastSquares::agreesWithGslWeighted()
{
    const std::size_t rows = 24;
    const auto p = swing_like(3, rows, 0);
    SeededRandom random(4);
    std::vector<double> weights(rows);
    for (auto& w : weights) w = random.uniform(0.2, 5);
    const auto fit = fit_linear({p.design, rows, 5}, p.y, weights);
    std::unique_ptr<gsl_multifit_linear_workspace, void (*)(gsl_multifit_linear_workspace*)> work(gsl_multifit_linear_alloc(rows, 5), gsl_multifit_linear_free);
    const auto w = gsl_vector_const_view_array(weights.data(), rows);
    double squares = 0;
    const auto gsl = by_gsl(p, [&](auto x, auto y, auto c, auto cov) { gsl_multifit_wlinear(x, &w.vector, y, c, cov, &squares, work.get()); });
    QVERIFY(fit.has_value());
    QVERIFY(furthest(fit->coefficients, gsl.coefficients) < 1e-12);
    QVERIFY(furthest(fit->unit_covariance, gsl.covariance) < 1e-10); // GSL: weights as known inverse variances
    QVERIFY(std::fabs(fit->residual_sum_of_squares / squares - 1) < 1e-10);
}

void TestLeastSquares::plainFitIsTheSameFit()
{
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        const auto p = swing_like(seed, 24, 0);
        const auto full = fit_linear({p.design, 24, 5}, p.y);
        const auto plain = fit_plain({p.design, 24, 5}, p.y);
        QVERIFY(full.has_value() && plain.has_value());
        QVERIFY(furthest(plain->coefficients, full->coefficients) < 1e-12);
        QVERIFY(furthest(plain->covariance, full->covariance) < 1e-11);
    }
}

// Powers of 0 to 20 are nearly dependent: normal equations would lose most figures.
void TestLeastSquares::plainFitFallsBackWhenColumnsAreClose()
{
    const auto certified = tests::certified_of("wampler1");
    std::vector<double> design, y;
    for (const auto& row : tests::table_of("wampler1")) {
        y.push_back(row[0]);
        double power = 1;
        for (int k = 0; k <= 5; ++k, power *= row[1]) design.push_back(power);
    }
    const auto plain = fit_plain({design, y.size(), 6}, y);
    QVERIFY(plain.has_value());
    QVERIFY(furthest(plain->coefficients, certified.estimates) < 1e-9);
}

// Trace of a projection: textbook property (Seber and Lee, Linear Regression Analysis, 2003, section 3.1; from memory).
void TestLeastSquares::leverageSumsToTheColumns()
{
    const auto p = swing_like(9, 24, 0);
    const auto fit = fit_linear({p.design, 24, 5}, p.y);
    double sum = 0;
    for (const double h : fit->leverage) sum += h;
    QVERIFY(std::fabs(sum - 5) < 1e-12);
}

void TestLeastSquares::robustAgreesWithGsl_data()
{
    QTest::addColumn<int>("rows");
    QTest::addColumn<double>("outlier");
    QTest::newRow("24, clean") << 24 << 0.0;
    QTest::newRow("24, outliers") << 24 << 5.0;
    QTest::newRow("25, outliers") << 25 << 5.0;
    QTest::newRow("360, outliers") << 360 << 5.0;
}

void TestLeastSquares::robustAgreesWithGsl()
{
    QFETCH(int, rows);
    QFETCH(double, outlier);
    const auto n = static_cast<std::size_t>(rows);
    const auto p = swing_like(77, n, outlier);
    const auto fit = fit_bisquare({p.design, n, 5}, p.y);
    std::unique_ptr<gsl_multifit_robust_workspace, void (*)(gsl_multifit_robust_workspace*)> work(
        gsl_multifit_robust_alloc(gsl_multifit_robust_bisquare, n, 5), gsl_multifit_robust_free);
    const auto gsl = by_gsl(p, [&](auto x, auto y, auto c, auto cov) { gsl_multifit_robust(x, y, c, cov, work.get()); });
    QVERIFY(fit.has_value() && fit->converged);
    QVERIFY(furthest(fit->fit.coefficients, gsl.coefficients) < 1e-7);
    QVERIFY(furthest(fit->fit.covariance, gsl.covariance) < 1e-6);
    if (outlier > 0) QCOMPARE(fit->weights[5], 0.0);
}

void TestLeastSquares::refusesByCode_data()
{
    QTest::addColumn<QList<double>>("design");
    QTest::addColumn<QList<double>>("y");
    QTest::addColumn<QByteArray>("code");
    const double nan = std::numeric_limits<double>::quiet_NaN(), inf = std::numeric_limits<double>::infinity();
    QTest::newRow("not finite in the design") << QList<double>{1, 2, 1, nan, 1, 4} << QList<double>{1, 2, 3} << QByteArray("not_finite");
    QTest::newRow("not finite in y") << QList<double>{1, 2, 1, 3, 1, 4} << QList<double>{1, inf, 3} << QByteArray("not_finite");
    QTest::newRow("two equal columns") << QList<double>{1, 1, 1, 1, 1, 1} << QList<double>{1, 2, 3} << QByteArray("rank_deficient");
    QTest::newRow("a column of zeros") << QList<double>{1, 0, 1, 0, 1, 0} << QList<double>{1, 2, 3} << QByteArray("rank_deficient");
    QTest::newRow("one row") << QList<double>{1, 2} << QList<double>{1} << QByteArray("too_few_rows");
    QTest::newRow("ragged") << QList<double>{1, 2, 3} << QList<double>{1, 2} << QByteArray("bad_shape");
}

void TestLeastSquares::refusesByCode()
{
    QFETCH(QList<double>, design);
    QFETCH(QList<double>, y);
    QFETCH(QByteArray, code);
    const Design d{std::span<const double>(design.data(), design.size()), static_cast<std::size_t>(y.size()), 2};
    const std::span<const double> values(y.data(), y.size());
    const auto full = fit_linear(d, values);
    const auto plain = fit_plain(d, values);
    QVERIFY(!full.has_value() && !plain.has_value());
    QCOMPARE(full.error().code, code.toStdString());
    QCOMPARE(plain.error().code, code.toStdString());
    if (code == "not_finite") QCOMPARE(full.error().args, (Problem::Args{{"row", "2"}}));
}

CHOCKSIDE_TEST(TestLeastSquares)
#include "tst_least_squares.moc"
