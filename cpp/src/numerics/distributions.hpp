#pragma once

/// Probability distributions: normal, Student's t, chi-square, F. Numbers only.
///
/// A `cdf` is the probability of a value at or below x, a `tail` that of a value above it; the tail
/// keeps its digits where one less the cdf would lose them. A `quantile` undoes the cdf. Degrees of
/// freedom need not be whole, and may be infinite where a normal limit exists.
///
/// Relative error below 1e-12 for probabilities 1e-12 to 1 - 1e-12 and degrees of freedom 0.5 to
/// 1e9. Arguments are the caller's duty: x finite, probabilities strictly between 0 and 1.
///
/// Method: regularised incomplete beta and gamma functions by continued fraction and series (NIST
/// Digital Library of Mathematical Functions, 8.17.22, 8.11.4, 8.9.2), Student's t beyond 60
/// degrees of freedom by the expansion of Didonato and Morris, ACM TOMS 18 (1992) 360, in which the
/// normal tail leads; quantiles by Newton's rule on logarithms, where these curves are concave.
namespace enginewright::numerics {

/// Logarithm of the gamma function, z > 0. Absolute error near 1e-14 where it is small.
double log_gamma(double z);

/// Gamma(a + 1/2) / (Gamma(a) sqrt(a)), which goes to 1 for large a; a > 0.
double half_step_ratio(double a);

/// A probability and its complement, each with its own digits.
struct Shares {
    double below = 0;
    double above = 0;
};

/// Regularised incomplete beta function I_x(a, b), and its complement.
///
/// y is 1 - x, given apart so that neither loses digits.
Shares incomplete_beta(double a, double b, double x, double y);

/// Regularised incomplete gamma functions P(a, x) and Q(a, x).
Shares incomplete_gamma(double a, double x);

double normal_density(double x);
double normal_cdf(double x);
double normal_quantile(double probability);

double t_density(double x, double freedom);
double t_cdf(double x, double freedom);
double t_quantile(double probability, double freedom);

double chi_square_density(double x, double freedom);
double chi_square_cdf(double x, double freedom);
double chi_square_quantile(double probability, double freedom);

/// F with `above` degrees of freedom in the numerator and `below` in the denominator.
double f_density(double x, double above, double below);
double f_cdf(double x, double above, double below);
double f_quantile(double probability, double above, double below);

}  // namespace enginewright::numerics
