#pragma once

#include <array>
#include <cstddef>

/// Sums that keep the digits that rounding drops. Numbers only.
namespace enginewright::numerics {

/// Sum of term(0) to term(count - 1) with the rounding errors carried along.
///
/// Each addition is split into its rounded sum and what rounding lost, exactly; the losses are
/// added at the end. The error is that of one rounding, plus a share of order count * epsilon^2.
/// Four lanes run side by side, so that a long sum costs little more than a plain one. Magnitudes
/// must stay below about 1e300.
///
/// count  how many terms
/// term   function of the index
///
/// Source: A. Neumaier, Z. angew. Math. Mech. 54 (1974) 39; error of a sum without a branch:
///     D. E. Knuth, The Art of Computer Programming, volume 2, 4.2.2, theorem B.
template <class Term>
double compensated_sum(std::size_t count, Term term)
{
    struct Lane {
        double sum = 0;
        double lost = 0;
        void add(double value)
        {
            const double next = sum + value;
            const double taken = next - sum;
            lost += (sum - (next - taken)) + (value - taken);
            sum = next;
        }
    };
    Lane a;
    Lane b;
    Lane c;
    Lane d;
    std::size_t i = 0;
    for (; i + 4 <= count; i += 4) {
        a.add(term(i));
        b.add(term(i + 1));
        c.add(term(i + 2));
        d.add(term(i + 3));
    }
    for (; i < count; ++i) {
        a.add(term(i));
    }
    for (const Lane& lane : {b, c, d}) {
        a.add(lane.sum);
        a.lost += lane.lost;
    }
    return a.sum + a.lost;
}

}  // namespace enginewright::numerics
