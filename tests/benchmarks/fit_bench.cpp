// links: core_stats Eigen3::Eigen PkgConfig::GSL
// Target 12: five coefficients of 24 headings with covariance, over Eigen's ColPivHouseholderQR giving coefficients alone.
// Target 13: the bisquare fit over GSL's, 24 and 360 headings.
#include <core/base/random.h>
#include <core/stats/harmonic.h>
#include <core/stats/robust.h>
#include <tests/benchmarks/bench.h>

#include <Eigen/Dense>
#include <gsl/gsl_multifit.h>

#include <cmath>
#include <cstdlib>

using namespace chockside;

namespace {

struct Data {
    std::vector<double> design, y;
    stats::Design view() const { return {design, y.size(), 5}; }
};

Data make(std::size_t rows, double outlier)
{
    SeededRandom random(7);
    std::vector<double> angles(rows), y(rows);
    for (std::size_t i = 0; i < rows; ++i) angles[i] = 360.0 * static_cast<double>(i) / static_cast<double>(rows) + 0.6;
    Data data{stats::harmonic_design(angles, 5), y};
    const double truth[] = {1.2, -2.5, 0.8, 0.4, -0.3};
    for (std::size_t i = 0; i < rows; ++i) {
        data.y[i] = random.normal(0, 0.1) + (i % 12 == 5 ? outlier : 0);
        for (std::size_t k = 0; k < 5; ++k) data.y[i] += truth[k] * data.design[i * 5 + k];
    }
    return data;
}

void must_agree(const std::vector<double>& ours, const double* theirs, double within)
{
    for (std::size_t k = 0; k < ours.size(); ++k)
        if (!(std::fabs(ours[k] - theirs[k]) <= within)) {
            std::fprintf(stderr, "fit_bench: coefficient %zu differs by %g\n", k, std::fabs(ours[k] - theirs[k]));
            std::exit(3);
        }
}

void plain()
{
    const Data data = make(24, 0);
    const Eigen::MatrixXd x = Eigen::Map<const Eigen::Matrix<double, Eigen::Dynamic, 5, Eigen::RowMajor>>(data.design.data(), 24, 5);
    const Eigen::VectorXd y = Eigen::Map<const Eigen::VectorXd>(data.y.data(), 24);
    Eigen::VectorXd b;
    auto ours = [&] { bench::keep(stats::fit_plain(data.view(), data.y)); };
    auto theirs = [&] { b = x.colPivHouseholderQr().solve(y), bench::keep(b); };
    theirs();
    must_agree(stats::fit_plain(data.view(), data.y)->coefficients, b.data(), 1e-12);
    bench::print_line(12, "plain fit, 24 headings", bench::ratio_ab(ours, theirs, 2000), 1.0,
        "fit_plain with covariance over ColPivHouseholderQR without, coefficients within 1e-12, in turns, median of 31");
}

void robust(std::size_t rows, double bound, const char* name, int reps)
{
    const Data data = make(rows, 5);
    const auto x = gsl_matrix_const_view_array(data.design.data(), rows, 5);
    const auto y = gsl_vector_const_view_array(data.y.data(), rows);
    gsl_vector* c = gsl_vector_alloc(5);
    gsl_matrix* covariance = gsl_matrix_alloc(5, 5);
    auto* work = gsl_multifit_robust_alloc(gsl_multifit_robust_bisquare, rows, 5);
    auto ours = [&] { bench::keep(stats::fit_bisquare(data.view(), data.y)); };
    auto theirs = [&] { gsl_multifit_robust(&x.matrix, &y.vector, c, covariance, work); };
    theirs();
    must_agree(stats::fit_bisquare(data.view(), data.y)->fit.coefficients, c->data, 1e-8);
    bench::print_line(13, name, bench::ratio_ab(ours, theirs, reps, 15), bound,
        "fit_bisquare with covariance over gsl_multifit_robust, coefficients within 1e-8, in turns, median of 15");
    gsl_multifit_robust_free(work);
    gsl_matrix_free(covariance);
    gsl_vector_free(c);
}

} // namespace

int main()
{
    plain();
    robust(24, 0.12, "robust fit, 24 headings", 100);
    robust(360, 0.14, "robust fit, 360 headings", 20);
}
