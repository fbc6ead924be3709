#pragma once

#include <span>

/// The normal quantile, quick rather than to the last bit. Numbers only.
namespace enginewright::numerics {

/// The normal quantile by one quotient of polynomials, relative error near 1e-16.
///
/// Source: M. J. Wichura, algorithm AS 241, Applied Statistics 37 (1988) 477, PPND16.
double quick_normal_quantile(double probability);

/// The same of many at once.
///
/// from  probabilities
/// to    room for as many quantiles
void quick_normal_quantiles(std::span<const double> from, std::span<double> to);

}  // namespace enginewright::numerics
