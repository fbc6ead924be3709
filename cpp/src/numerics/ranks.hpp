#pragma once

#include <span>

/// What the order of some numbers says, whatever their size. Numbers only.
namespace enginewright::numerics {

/// Kendall's S of pairs (x, y), and its variance when x and y have nothing to do with each other.
struct Concordance {
    double score = 0;     ///< pairs that rise together less pairs that go apart; ties count nothing
    double variance = 0;  ///< corrected for ties in x and in y
};

/// Counts in n log n steps by merging.
///
/// x, y  finite, of one length
///
/// Source: M. G. Kendall, Rank Correlation Methods, 4th ed. 1970, 4.3 and 5.8 (variance with ties);
///     W. R. Knight, J. Am. Stat. Assoc. 61 (1966) 436 (counting).
Concordance concordance(std::span<const double> x, std::span<const double> y);

/// Median of the slopes between all pairs of points with different x; at least one such pair.
///
/// Few points are compared one by one. For many, the slopes are never written down: the count of
/// pairs below a slope is that of the inversions of y - slope * x, which narrows a bracket until
/// few are left. Exact but for roundings of the last digits.
///
/// x, y  finite, of one length
///
/// Source: H. Theil, Proc. K. Ned. Akad. Wet. 53 (1950) 386; P. K. Sen, J. Am. Stat. Assoc. 63
///     (1968) 1379; counting by inversions: a standard method.
double median_slope(std::span<const double> x, std::span<const double> y);

}  // namespace enginewright::numerics
