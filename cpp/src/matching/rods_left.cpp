#include "matching/rods_left.hpp"

#include <algorithm>
#include <numeric>

#include "matching/require.hpp"

namespace enginewright::matching {

namespace {

using Places = std::vector<std::size_t>;

bool all_near(const OneEnd& ends)
{
    const auto [least, greatest] = std::minmax_element(ends.weights.begin(), ends.weights.end());
    return *greatest - *least <= ends.tolerance + slack;
}

/// The target, and the weights at or below it that a window may begin at.
std::vector<double> lower_edges(const OneEnd& ends, const Places& rods)
{
    std::vector<double> edges{ends.target};
    for (const auto rod : rods) {
        const double weight = ends.weights[rod];
        if (weight <= ends.target && weight + ends.tolerance + slack >= ends.target) {
            edges.push_back(weight);
        }
    }
    return edges;
}

Places within(const OneEnd& ends, double edge, const Places& rods)
{
    Places found;
    std::copy_if(rods.begin(), rods.end(), std::back_inserter(found), [&](auto rod) {
        const double above = ends.weights[rod] - edge;
        return above >= 0 && above <= ends.tolerance + slack;
    });
    return found;
}

/// Adds up what rods sorted by their weight lose, from the first on.
std::vector<double> running_sum(const Places& rods, std::span<const double> removed)
{
    std::vector<double> sums{0.0};
    for (const auto rod : rods) {
        sums.push_back(sums.back() + removed[rod]);
    }
    return sums;
}

}  // namespace

std::vector<std::size_t> rods_left_alone(const OneEnd& big, const OneEnd& small,
                                         std::span<const double> removed)
{
    Places all(removed.size());
    std::iota(all.begin(), all.end(), std::size_t{0});
    if (all_near(big) && all_near(small)) {
        return all;
    }
    Places best;
    double spared = 0;
    for (const double big_edge : lower_edges(big, all)) {
        auto rods = within(big, big_edge, all);
        std::stable_sort(rods.begin(), rods.end(),
                         [&](auto a, auto b) { return small.weights[a] < small.weights[b]; });
        const auto sums = running_sum(rods, removed);
        const auto place_of = [&](auto end) {
            return static_cast<std::size_t>(end - rods.begin());
        };
        for (const double edge : lower_edges(small, rods)) {
            const auto first = std::partition_point(
                rods.begin(), rods.end(), [&](auto rod) { return small.weights[rod] < edge; });
            const auto last = std::partition_point(first, rods.end(), [&](auto rod) {
                return small.weights[rod] - edge <= small.tolerance + slack;
            });
            const double here = sums[place_of(last)] - sums[place_of(first)];
            if (here > spared + slack) {
                spared = here;
                best.assign(first, last);
            }
        }
    }
    return best;
}

}  // namespace enginewright::matching
