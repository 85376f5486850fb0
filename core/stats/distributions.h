#pragma once
// Distribution functions and quantiles. Formulas: NIST Digital Library of Mathematical Functions, chapters 5, 7 and 8.
// Functions of probability give NaN for arguments outside their range. Relative accuracy about 1e-12 for parameters up to 1e4.

namespace chockside::stats {

/// Natural logarithm of the gamma function, x > 0.
double log_gamma(double x);
/// Regularised incomplete gamma functions, a > 0, x >= 0: P lower, Q upper, P + Q = 1.
double gamma_p(double a, double x);
double gamma_q(double a, double x);
/// Regularised incomplete beta function I_x(a, b), a, b > 0, 0 <= x <= 1.
double beta_i(double x, double a, double b);

double normal_cdf(double z);
double normal_quantile(double p);                    ///< 0 < p < 1
double student_t_cdf(double t, double dof);          ///< dof > 0
double student_t_quantile(double p, double dof);
double chi_squared_cdf(double x, double dof);
double chi_squared_quantile(double p, double dof);
double f_cdf(double f, double dof_above, double dof_below);
double f_quantile(double p, double dof_above, double dof_below);
double beta_quantile(double p, double a, double b);
double gamma_quantile(double p, double a);           ///< scale 1

/// Chance of k or fewer successes in n trials of chance p each.
double binomial_cdf(int k, int n, double p);
/// Smallest k with binomial_cdf(k, n, p) >= q.
int binomial_quantile(double q, int n, double p);
/// Chance of k or fewer events where `mean` are expected.
double poisson_cdf(int k, double mean);

} // namespace chockside::stats
