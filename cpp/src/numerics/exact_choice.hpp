#pragma once

#include <array>
#include <cstdint>
#include <vector>

/// The fewest options that bring a vector in two planes near nothing, proven best. Numbers only.
namespace enginewright::numerics {

/// Two vectors side by side: x and y in the first plane, x and y in the second.
using TwoPlanes = std::array<double, 4>;

/// Length of the longer of the two vectors: the metric of everything here.
double longer_of(const TwoPlanes& point);

/// One thing that may be done at a place: what it adds, and what it costs (with its sign).
struct Option {
    TwoPlanes effect{};
    double cost = 0;
    int place = 0;
};

/// Which places may be used together.
class Neighbours {
  public:
    explicit Neighbours(int places);
    void exclude(int a, int b);
    bool together(int a, int b) const { return allowed_[at(a, b)] != 0; }

  private:
    std::size_t at(int a, int b) const
    {
        return static_cast<std::size_t>(a) * static_cast<std::size_t>(places_) +
               static_cast<std::size_t>(b);
    }
    int places_;
    std::vector<std::uint8_t> allowed_;
};

/// The options chosen, in order, and how far from nothing they leave the vector.
struct Choice {
    std::vector<int> options{};
    double worst = 0;
    bool exhaustive = true;  ///< false only where the search was given up as hopelessly symmetric
};

/// Pairs of options that may stand together: what a search of three and more has to look through.
std::size_t pair_count(const std::vector<Option>& options, const Neighbours& neighbours);

/// Best choice of at most `most` options, one a place, no two excluded places.
///
/// The least number k for which `longer_of(start + sum of effects)` comes down to `target`, and for
/// that k the least such length; where no k does, the least length of all, with fewer options when
/// equal within 1e-12. Ties are broken by the least size of the summed cost, then by the order of
/// the options.
///
/// One and two options are scanned. Three: each pair sum asks a tree of single options for its
/// nearest remainder. Four: the pair sums stand in a tree of boxes (k-d tree over four dimensions)
/// that is joined with itself; two boxes whose sum stays farther from the goal than the best choice
/// so far are left out as a whole. Nothing else is left out, so the best one is found.
///
/// options  in the order of their places
/// most     0 to 4
///
/// Source: J. L. Bentley, Multidimensional binary search trees, 1975; A. Gray and A. Moore, N-body
/// problems in statistical learning, 2001 (two trees walked at once).
Choice best_choice(const TwoPlanes& start, const std::vector<Option>& options,
                   const Neighbours& neighbours, double target, int most);

}  // namespace enginewright::numerics
