#pragma once

/// Length of a vector that is known with an error: the law of Rice. Numbers only.
namespace enginewright::numerics {

/// Probability that a vector's true length is at most `bound`, 1 - Q1(length / s, bound / s).
///
/// The vector was found of length `length`, with independent normal errors of standard deviation
/// `s` along both axes; Q1 is Marcum's function. As one integral over the chord x = bound cos(t):
///
///     P = integral over t of density((x - length) / s) erf(bound sin(t) / (s sqrt 2)) dx
///
/// which is smooth, so that Gauss's rule on a few panels reaches the last digits wherever the
/// bound lies, from far below s to any multiple of it. Absolute error below 1e-12.
///
/// length  at least 0
/// s       above 0
/// bound   above 0
///
/// Source: S. O. Rice, Mathematical Analysis of Random Noise, 1944; J. I. Marcum, 1950.
double rice_cdf(double length, double s, double bound);

}  // namespace enginewright::numerics
