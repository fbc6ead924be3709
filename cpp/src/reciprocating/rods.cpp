#include <algorithm>
#include <cmath>
#include <limits>

#include "reciprocating/parts.hpp"

namespace enginewright::reciprocating {

RodSplit rod_split(double big_end, double small_end, std::optional<double> total, double allowed)
{
    require_weighed("big_end", big_end);
    require_weighed("small_end", small_end);
    require_mass("allowed", allowed);
    RodSplit split{.rotating = big_end, .reciprocating = small_end, .total = big_end + small_end};
    if (!total) {
        split.next = "weigh the whole rod too: the ends must add up to it";
        return split;
    }
    require_weighed("total", *total);
    split.closure = split.total - *total;
    // Weights are read in tenths; a closure of just the allowance may not fail by a rounding.
    const bool agrees = std::abs(*split.closure) <= allowed * (1 + 1e-12) + 1e-12 * split.total;
    split.status = agrees ? SplitStatus::agrees : SplitStatus::disagrees;
    if (!agrees) {
        split.reason = "the ends add up to " + fixed_text(split.total, 1) + " g, the rod weighs " +
                       fixed_text(*total, 1) + " g; " + fixed_text(allowed, 1) + " g is allowed";
        split.next = "hang the rod level, free its support, and weigh both ends again";
    }
    return split;
}

RodSplit rod_split_at_centre(double mass, double length, double centre_to_big)
{
    require_weighed("mass", mass);
    require_size("length", length);
    require_size("centre_to_big", centre_to_big);
    require_below("centre_to_big", centre_to_big, length, "mm");
    const double small = mass * (centre_to_big / length);
    return {.rotating = mass * ((length - centre_to_big) / length),
            .reciprocating = small,
            .total = mass,
            .next = "weigh both ends as a check where the rod can be hung"};
}

Bobweight bobweight(double rotating, double reciprocating, double factor, double rods_per_pin,
                    double oil)
{
    require_mass("rotating", rotating);
    require_mass("reciprocating", reciprocating);
    require_between("factor", factor, 0, 1);
    require_whole("rods_per_pin", rods_per_pin, 1);
    require_at_most("rods_per_pin", rods_per_pin, 2);
    require_mass("oil", oil);
    const double turning = rods_per_pin * rotating + oil;
    const double carried = rods_per_pin * factor * reciprocating;
    return {.mass = turning + carried, .rotating_part = turning, .reciprocating_part = carried};
}

namespace {

void require_pins(std::span<const double> throw_angles, std::span<const double> positions)
{
    require_readings("throw_angles", throw_angles, 1);
    require_readings("positions", positions, 1);
    if (positions.size() != throw_angles.size()) {
        refuse_all("positions", "hold one for each throw, " + std::to_string(throw_angles.size()) +
                                    ", got " + std::to_string(positions.size()));
    }
    for (std::size_t i = 0; i < positions.size(); ++i) {
        require_angle(element_name("throw_angles", i), throw_angles[i]);
        require_length(element_name("positions", i), positions[i]);
    }
}

}  // namespace

BobweightNeed bobweight_needed(std::span<const double> throw_angles,
                               std::span<const double> positions)
{
    require_pins(throw_angles, positions);
    const double middle = mean_of(positions);
    BobweightNeed need;
    for (std::size_t i = 0; i < positions.size(); ++i) {
        need.force_sum += unit_vector(throw_angles[i]);
        need.couple_sum += (positions[i] - middle) * unit_vector(throw_angles[i]);
    }
    const auto [front, rear] = std::ranges::minmax(positions);
    const double hardly = 1e-9 * static_cast<double>(positions.size());
    const bool force = std::abs(need.force_sum) > hardly;
    const bool couple = std::abs(need.couple_sum) > hardly * (rear - front);
    need.needed = force || couple;
    need.reason = force    ? NeedReason::force
                  : couple ? NeedReason::couple
                           : NeedReason::self_balanced;
    return need;
}

namespace {

constexpr std::string_view before_spin = "; set the tolerance before the first spin";

/// The tolerance of both planes; a missing one is refused with what to do.
std::vector<double> require_tolerance(const std::optional<OneOrEach>& tolerance)
{
    if (!tolerance) {
        refuse_all("tolerance", std::string("be above 0 g mm, got none").append(before_spin));
    }
    auto both = spread_over("tolerance", *tolerance, 2);
    for (std::size_t p = 0; p < both.size(); ++p) {
        if (!(both[p] > 0) || both[p] > greatest_unbalance) {
            refuse_all("tolerance",
                       (both[p] > 0 ? "be at most 1e15 g mm, got " : "be above 0 g mm, got ") +
                           number_text(both[p]) + " (plane " + std::to_string(p + 1) + ")" +
                           std::string(before_spin));
        }
    }
    return both;
}

}  // namespace

BobweightTolerance bobweight_tolerance(double crank_radius, std::span<const double> throw_angles,
                                       std::span<const double> positions,
                                       const std::optional<OneOrEach>& tolerance,
                                       std::span<const double> tolerance_planes, double share)
{
    require_size("crank_radius", crank_radius);
    require_pins(throw_angles, positions);
    const auto permitted = require_tolerance(tolerance);
    require_readings("tolerance_planes", tolerance_planes, 2);
    if (tolerance_planes.size() != 2) {
        refuse_all("tolerance_planes",
                   "hold two positions, got " + std::to_string(tolerance_planes.size()));
    }
    require_length("tolerance_planes[0]", tolerance_planes[0]);
    require_length("tolerance_planes[1]", tolerance_planes[1]);
    const double apart = tolerance_planes[1] - tolerance_planes[0];
    if (std::abs(apart) < 1e-6) {
        refuse("tolerance_planes", "two different places", tolerance_planes[1]);
    }
    require_positive("share", share);
    require_at_most("share", share, 1);
    BobweightTolerance best{.worst_case = std::numeric_limits<double>::max(),
                            .statistical = std::numeric_limits<double>::max()};
    for (std::size_t p = 0; p < 2; ++p) {
        double sum = 0;
        double squares = 0;
        for (const double z : positions) {
            const double s = (z - tolerance_planes[1 - p]) / apart;
            sum += std::abs(s);
            squares += s * s;
        }
        // All pins in the other plane: whatever their error, this one does not feel it.
        if (sum > 0) {
            const double spent = share * permitted[p] / crank_radius;
            best.worst_case = std::min(best.worst_case, spent / sum);
            best.statistical = std::min(best.statistical, spent / std::sqrt(squares));
        }
    }
    return best;
}

}  // namespace enginewright::reciprocating
