#pragma once

#include <cstddef>
#include <span>
#include <vector>

/// Rods that may stay as they are beside others that are ground to targets.
namespace enginewright::matching {

/// One end of a set of rods: its weights, where ground ones end up, how far apart all may lie; g.
struct OneEnd {
    std::span<const double> weights;
    double target = 0;
    double tolerance = 0;
};

/// The rods that stay, by place: of all choices that keep the finished set within both tolerances,
/// the one that spares the most metal. The targets count as ends of the set unless all rods stay.
///
/// Exact: a choice lies in a window of both tolerances about the targets, and some window with a
/// staying rod or the target on its lower edges holds it.
///
/// removed  what grinding to the targets takes off each rod, g
std::vector<std::size_t> rods_left_alone(const OneEnd& big, const OneEnd& small,
                                         std::span<const double> removed);

}  // namespace enginewright::matching
