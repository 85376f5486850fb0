#include <core/base/random.h>
#include <core/heading/swing.h>
#include <core/heading/swing_json.h>
#include <tests/support/test_main.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_multifit.h>

#include <QFile>

#include <cmath>
#include <limits>
#include <map>

using namespace chockside;
using namespace chockside::heading;

namespace {

constexpr double degree = 0.017453292519943295;

/// Deviations of a published swing on its table headings; the table's headings are what the compass shows.
std::vector<SwingPoint> published(const QByteArray& example, const QByteArray& swing, double sign = 1)
{
    QFile file(CHOCKSIDE_SOURCE_DIR "/tests/data/swing/worked-examples.csv");
    if (!file.open(QIODevice::ReadOnly)) qFatal("no worked examples");
    std::vector<SwingPoint> points;
    for (const auto& line : file.readAll().split('\n')) {
        const auto f = line.trimmed().split(',');
        if (f.size() < 7 || f[0] != example || f[1] != swing) continue;
        const double shown = f[3].toDouble(), reference = std::fmod(shown + sign * f[6].toDouble() + 360, 360);
        points.push_back({reference, shown, {}});
    }
    return points;
}

std::map<char, SwingTerm> by_name(const SwingFit& fit)
{
    std::map<char, SwingTerm> terms;
    for (const auto& t : fit.coefficients) terms[t.name] = t;
    return terms;
}

/// n even headings with the given deviation and seeded noise.
std::vector<SwingPoint> made(int n, auto deviation, double noise, std::uint64_t seed = 5)
{
    SeededRandom random(seed);
    std::vector<SwingPoint> points;
    for (int i = 0; i < n; ++i) {
        const double shown = 360.0 * i / n;
        points.push_back({std::fmod(shown + deviation(shown) + (noise > 0 ? random.normal(0, noise) : 0) + 360, 360), shown, {}});
    }
    return points;
}

SwingFit fitted(const std::vector<SwingPoint>& points, const SwingOptions& options = {})
{
    const auto fit = fit_swing(points, options);
    if (!fit) qFatal("no fit: %s", fit.error().code.c_str());
    return *fit;
}

} // namespace

class TestSwing : public QObject {
    Q_OBJECT

private slots:
    void solvesTheHandbookTable();
    void solvesTheArmyForm();
    void solvesTheFourCardinals();
    void solvesTheWorksheet();
    void makesTheWorksheetCard();
    void agreesWithGslOnErrorsAndBand();
    void weighsStatedSigma();
    void wrapsAtNorth();
    void bandHoldsAsOftenAsItClaims();
    void passesOnlyWhenTheWholeBandIsInside();
    void failsWhenProvenOutside();
    void doesNotPassAMeasuredHeadingOutside();
    void inventsNoTolerance();
    void findsTheMisreadHeading();
    void robustStaysWithTheOthers();
    void nextHeadingFillsTheGap();
    void choosesTermsByPoints();
    void cardIsEmptyWhereNoAnswerIsSingle();
    void refusesByCode_data();
    void refusesByCode();
    void writesTheFieldsOfItsFormat();
};

// NGA Handbook of Magnetic Compass Adjustment (2004), article 501: least squares of its table as an independent solver gave them.
void TestSwing::solvesTheHandbookTable()
{
    const auto fit = fitted(published("nga-501", "before adjustment"));
    auto t = by_name(fit);
    QCOMPARE(fit.terms, std::string("ABCDE"));
    QVERIFY(std::fabs(t['A'].value_deg - 1.0) < 5e-5);
    QVERIFY(std::fabs(t['B'].value_deg - 11.9397) < 5e-5);
    QVERIFY(std::fabs(t['C'].value_deg - 7.9598) < 5e-5);
    QVERIFY(std::fabs(t['D'].value_deg - 5.0) < 5e-5);
    QVERIFY(std::fabs(t['E'].value_deg - 1.5) < 5e-5);
    double squares = 0, most = 0;
    for (const double r : fit.residuals_deg) {
        squares += r * r;
        most = std::max(most, std::fabs(r));
    }
    QVERIFY(std::fabs(std::sqrt(squares / 8) - 0.0512) < 5e-5);
    QVERIFY(std::fabs(most - 0.0711) < 5e-5);
}

// US Army TM 1-1500-204-23-4, figure 4-22: A = +1.0 is printed as the mean; errors are compass minus actual.
void TestSwing::solvesTheArmyForm()
{
    const auto fit = fitted(published("tm-dd1613", "residual swing", -1));
    auto t = by_name(fit);
    QVERIFY(std::fabs(t['A'].value_deg + 1.0) < 5e-5);
    QVERIFY(std::fabs(t['B'].value_deg + 0.3536) < 5e-5);
    QVERIFY(std::fabs(t['C'].value_deg + 0.3536) < 5e-5);
    const auto cardinals = fitted(published("tm-dd1613", "compensating swing", -1), {.terms = "ABC"});
    auto c = by_name(cardinals);
    QVERIFY(std::fabs(c['C'].value_deg + 6) < 1e-12); // printed +6 and -6 as errors
    QVERIFY(std::fabs(c['B'].value_deg - 6) < 1e-12);
}

// North/south 5.5, east/west -3, index 1.75: printed in a public article; NAVEDTRA 14009, chapter 7, has the same north/south figure.
void TestSwing::solvesTheFourCardinals()
{
    auto t = by_name(fitted(published("four-cardinal", "error table", -1), {.terms = "ABC"}));
    QVERIFY(std::fabs(t['C'].value_deg + 5.5) < 1e-12);
    QVERIFY(std::fabs(t['B'].value_deg - 3) < 1e-12);
    QVERIFY(std::fabs(t['A'].value_deg + 1.75) < 1e-12);
}

// Training worksheet, question 1: A = 3 is printed, D = 2 and E = -1 fit its residuals exactly.
void TestSwing::solvesTheWorksheet()
{
    auto t = by_name(fitted(published("worksheet-q1", "check swing")));
    const std::map<char, double> expected{{'A', 3}, {'B', 0}, {'C', 0}, {'D', 2}, {'E', -1}};
    for (const auto& [name, value] : expected) QVERIFY(std::fabs(t[name].value_deg - value) < 1e-10);
}

// The same worksheet's steer card, A taken out: for 0, 45 .. 315 steer 1 43 89 137 181 223 269 317.
void TestSwing::makesTheWorksheetCard()
{
    auto points = published("worksheet-q1", "check swing");
    for (auto& p : points) p.reference_deg = std::fmod(p.reference_deg - 3 + 360, 360);
    const auto fit = fitted(points, {.card_step_deg = 45});
    const std::vector<int> steer{1, 43, 89, 137, 181, 223, 269, 317};
    QCOMPARE(fit.card.size(), steer.size());
    for (std::size_t i = 0; i < steer.size(); ++i) {
        QCOMPARE(fit.card[i].for_deg, static_cast<int>(45 * i));
        QCOMPARE(fit.card[i].steer_deg, steer[i]);
    }
}

// GSL for coefficients, standard errors, and the quantile in the band (Scheffe, The Analysis of Variance, 1959, section 3.5; from memory).
void TestSwing::agreesWithGslOnErrorsAndBand()
{
    SeededRandom random(31);
    std::vector<SwingPoint> points;
    for (int i = 0; i < 13; ++i) {
        const double shown = random.uniform(0, 360);
        points.push_back({std::fmod(shown + 2 * std::sin(shown * degree) + random.normal(0, 0.3) + 360, 360), shown, {}});
    }
    const auto fit = fitted(points);
    gsl_matrix* x = gsl_matrix_alloc(13, 5);
    gsl_vector *y = gsl_vector_alloc(13), *c = gsl_vector_alloc(5), *at = gsl_vector_alloc(5);
    gsl_matrix* covariance = gsl_matrix_alloc(5, 5);
    auto basis = [](double h, std::size_t k) {
        const double t = h * degree;
        return k == 0 ? 1 : k == 1 ? std::sin(t) : k == 2 ? std::cos(t) : k == 3 ? std::sin(2 * t) : std::cos(2 * t);
    };
    for (std::size_t i = 0; i < 13; ++i) {
        gsl_vector_set(y, i, std::remainder(points[i].reference_deg - points[i].indicated_deg, 360));
        for (std::size_t k = 0; k < 5; ++k) gsl_matrix_set(x, i, k, basis(points[i].indicated_deg, k));
    }
    double squares = 0, value = 0, error = 0;
    auto* work = gsl_multifit_linear_alloc(13, 5);
    gsl_multifit_linear(x, y, c, covariance, &squares, work);
    for (std::size_t k = 0; k < 5; ++k) {
        QVERIFY(std::fabs(fit.coefficients[k].value_deg - gsl_vector_get(c, k)) < 1e-11);
        QVERIFY(std::fabs(fit.coefficients[k].se_deg - std::sqrt(gsl_matrix_get(covariance, k, k))) < 1e-10);
        gsl_vector_set(at, k, basis(135, k));
    }
    gsl_multifit_linear_est(at, c, covariance, &value, &error);
    const double half = std::sqrt(5 * gsl_cdf_fdist_Pinv(0.95, 5, 8)) * error;
    const auto band = fit.band[27];
    QCOMPARE(band.heading_deg, 135.0);
    QVERIFY(std::fabs(band.value_deg - value) < 1e-10);
    QVERIFY(std::fabs(band.lower_deg - (value - half)) < 1e-6);
    QVERIFY(std::fabs(band.upper_deg - (value + half)) < 1e-6);
    QVERIFY(std::fabs(fit.sigma_deg - std::sqrt(squares / 8)) < 1e-11);
    gsl_multifit_linear_free(work);
    gsl_matrix_free(x);
    gsl_matrix_free(covariance);
    for (auto* v : {y, c, at}) gsl_vector_free(v);
}

// By hand: a mean of 0 (sigma 1) and 3 (sigma 2) with weights 1 and 1/4 is 0.6.
void TestSwing::weighsStatedSigma()
{
    const std::vector<SwingPoint> points{{10, 10, 1.0}, {103, 100, 2.0}};
    const auto fit = fitted(points, {.terms = "A"});
    QVERIFY(std::fabs(fit.coefficients[0].value_deg - 0.6) < 1e-12);
    // Readings that happen to agree are no surer than what was stated of them: two of sigma 1 give 1 / sqrt(2).
    const std::vector<SwingPoint> alike{{12, 10, 1.0}, {102, 100, 1.0}};
    const auto stated = fitted(alike, {.terms = "A"});
    QVERIFY(std::fabs(stated.sigma_deg - 1) < 1e-12);
    QVERIFY(std::fabs(stated.coefficients[0].se_deg - 1 / std::sqrt(2.0)) < 1e-12);
}

void TestSwing::wrapsAtNorth()
{
    const auto fit = fitted(made(8, [](double) { return -2.0; }, 0));
    QVERIFY(std::fabs(by_name(fit)['A'].value_deg + 2) < 1e-12);
    QVERIFY(std::fabs(fit.worst.value_deg + 2) < 1e-12);
}

// The band holds the whole true curve at least as often as it claims: 500 seeded swings at 90 %, standard error 1.3 %.
void TestSwing::bandHoldsAsOftenAsItClaims()
{
    auto truth = [](double h) { return 0.5 + 1.5 * std::sin(h * degree) - 0.7 * std::cos(2 * h * degree); };
    int held = 0;
    for (std::uint64_t seed = 1; seed <= 500; ++seed) {
        const auto fit = fitted(made(12, truth, 0.4, seed), {.confidence = 0.9});
        bool all = true;
        for (const auto& b : fit.band) all = all && b.lower_deg <= truth(b.heading_deg) && truth(b.heading_deg) <= b.upper_deg;
        held += all;
    }
    QVERIFY(held >= 450 - 27);
}

void TestSwing::passesOnlyWhenTheWholeBandIsInside()
{
    const auto points = made(12, [](double h) { return std::sin(h * degree); }, 0.1);
    const auto open = fitted(points);
    double edge = 0;
    for (const auto& b : open.band) edge = std::max({edge, -b.lower_deg, b.upper_deg});
    QVERIFY(fitted(points, {.tolerance_deg = edge * 1.01}).result == SwingResult::pass);
    QVERIFY(!fitted(points, {.tolerance_deg = edge * 1.01}).next_heading_deg.has_value());
    QVERIFY(fitted(points, {.tolerance_deg = edge * 0.99}).result == SwingResult::not_proven);
    QVERIFY(fitted(points, {.tolerance_deg = edge * 0.99}).next_heading_deg.has_value());
}

void TestSwing::failsWhenProvenOutside()
{
    const auto fit = fitted(made(12, [](double h) { return 4 * std::sin(h * degree); }, 0.1), {.tolerance_deg = 2});
    QVERIFY(fit.result == SwingResult::fail);
    QVERIFY(std::min(std::fabs(fit.worst.lower_deg), std::fabs(fit.worst.upper_deg)) > 2);
    QVERIFY(std::fabs(std::fabs(fit.worst.value_deg) - 4) < 0.2);
    QVERIFY(std::fabs(std::remainder(fit.worst.heading_deg - 90, 180)) < 10);
}

void TestSwing::doesNotPassAMeasuredHeadingOutside()
{
    auto points = made(24, [](double) { return 0.0; }, 0.05);
    points[7].reference_deg += 2.5;
    QVERIFY(fitted(points, {.tolerance_deg = 2, .robust = true}).result == SwingResult::not_proven);
}

void TestSwing::inventsNoTolerance()
{
    QVERIFY(fitted(made(12, [](double) { return 50.0; }, 0.1)).result == SwingResult::no_tolerance);
}

void TestSwing::findsTheMisreadHeading()
{
    auto points = made(12, [](double h) { return std::cos(h * degree); }, 0.1);
    QVERIFY(fitted(points).outliers.empty());
    points[4].indicated_deg += 3;
    const auto fit = fitted(points);
    QCOMPARE(fit.outliers, std::vector<int>{4});
    QCOMPARE(fit.residuals_deg.size(), points.size()); // reported, not dropped
}

void TestSwing::robustStaysWithTheOthers()
{
    auto points = made(24, [](double h) { return 1.2 + std::cos(h * degree); }, 0.1);
    points[4].reference_deg += 5;
    const auto fit = fitted(points, {.robust = true});
    QVERIFY(std::fabs(by_name(fit)['A'].value_deg - 1.2) < 0.1);
    QVERIFY(std::fabs(by_name(fit)['C'].value_deg - 1.0) < 0.1);
}

// The widest part of the band lies where no heading was read; one more there helps most.
void TestSwing::nextHeadingFillsTheGap()
{
    std::vector<SwingPoint> points;
    for (int h = 0; h <= 240; h += 20) points.push_back({h + 0.1 * (h % 3), double(h), {}});
    const auto next = fitted(points).next_heading_deg;
    QVERIFY(next.has_value() && *next >= 280 && *next <= 320);
    points.push_back({*next, *next, {}});
    const auto after = fitted(points).next_heading_deg;
    QVERIFY(after.has_value());
}

void TestSwing::choosesTermsByPoints()
{
    QCOMPARE(fitted(made(5, [](double) { return 1.0; }, 0.1)).terms, std::string("ABC"));
    QCOMPARE(fitted(made(7, [](double) { return 1.0; }, 0.1)).terms, std::string("ABC"));
    QCOMPARE(fitted(made(8, [](double) { return 1.0; }, 0.1)).terms, std::string("ABCDE"));
    QCOMPARE(fitted(made(8, [](double) { return 1.0; }, 0.1), {.terms = "ABC"}).degrees_of_freedom, 5);
}

void TestSwing::cardIsEmptyWhereNoAnswerIsSingle()
{
    QVERIFY(fitted(made(12, [](double h) { return 70 * std::sin(h * degree); }, 0)).card.empty());
    QCOMPARE(fitted(made(12, [](double h) { return 30 * std::sin(h * degree); }, 0)).card.size(), std::size_t{12});
}

void TestSwing::refusesByCode_data()
{
    QTest::addColumn<int>("number");
    QTest::addColumn<QByteArray>("code");
    int i = 0;
    for (const char* code : {"too_few_points", "headings_do_not_span", "not_finite", "heading_out_of_range", "sigma_missing", "bad_sigma", "bad_terms",
             "bad_terms", "bad_tolerance", "bad_confidence", "bad_card_step", "too_few_points", "too_few_points", "not_finite"})
        QTest::addRow("%d %s", i, code) << i << QByteArray(code), ++i;
}

void TestSwing::refusesByCode()
{
    QFETCH(int, number);
    QFETCH(QByteArray, code);
    auto points = made(12, [](double) { return 1.0; }, 0.1);
    SwingOptions o;
    switch (number) {
    case 0: points.resize(2); break;
    case 1: for (auto& p : points) p.indicated_deg = 90; break;
    case 2: points[3].indicated_deg = std::numeric_limits<double>::quiet_NaN(); break;
    case 3: points[3].reference_deg = 361; break;
    case 4: points[3].sigma_deg = 0.5; break;
    case 5: for (auto& p : points) p.sigma_deg = 0; break;
    case 6: o.terms = "ABX"; break;
    case 7: o.terms = "BA"; break;
    case 8: o.tolerance_deg = 0; break;
    case 9: o.confidence = 1; break;
    case 10: o.card_step_deg = 50; break;
    case 11: points.resize(5), o.terms = "ABCDE"; break;
    case 12: points.clear(); break;
    default: points[3].reference_deg = std::numeric_limits<double>::infinity();
    }
    const auto fit = fit_swing(points, o);
    QVERIFY(!fit.has_value());
    QCOMPARE(fit.error().code, code.toStdString());
}

void TestSwing::writesTheFieldsOfItsFormat()
{
    const auto value = swing_to_json(fitted(made(12, [](double) { return 1.0; }, 0.1), {.tolerance_deg = 5}));
    std::vector<std::string> keys;
    for (const auto& [key, member] : value.as_object()) keys.push_back(key);
    QCOMPARE(keys, (std::vector<std::string>{"card", "coefficients", "next_heading_deg", "outliers", "residuals_deg", "result", "sigma_deg", "terms", "worst"}));
    QVERIFY(value["next_heading_deg"].is_null());
    QCOMPARE(value["result"].as_text(), std::string("pass"));
    QVERIFY(value["coefficients"]["A"].has("value") && value["coefficients"]["E"].has("se"));
    QCOMPARE(value["card"].as_array().size(), std::size_t{12});
    QCOMPARE(value["card"].as_array()[1]["for_deg"].as_int(), std::int64_t{30});
    QVERIFY(value["worst"].has("heading_deg") && value["worst"].has("upper_deg"));
}

CHOCKSIDE_TEST(TestSwing)
#include "tst_swing.moc"
