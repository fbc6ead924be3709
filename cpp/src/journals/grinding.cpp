#include "enginewright/journals/grinding.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "judging.hpp"
#include "wording.hpp"

namespace enginewright::journals {

using judging::slack;
using wording::mm;

OffsetGrind offset_grind(double journal, double finish_journal, double clean_up,
                         std::optional<double> offset)
{
    require_size("journal", journal);
    require_size("finish_journal", finish_journal);
    require_below("finish_journal", finish_journal, journal, "mm");
    require_length_at_least_zero("clean_up", clean_up);
    if (offset) {
        require_length("offset", *offset);
    }
    const double stock = (journal - finish_journal) / 2;
    OffsetGrind found{.offset = offset.value_or(std::max(0.0, stock - clean_up))};
    found.stroke_change = 2 * found.offset;
    found.thin_side = stock - std::abs(found.offset);
    found.thick_side = stock + std::abs(found.offset);
    if (found.thin_side < clean_up - slack) {
        found.status = OffsetStatus::does_not_clean_up;
        found.reason = "the thin side loses " + mm(found.thin_side) + ", " + mm(clean_up) +
                       " is wanted to clean it";
        found.next = "grind the pin to " + mm(journal - 2 * (clean_up + std::abs(found.offset))) +
                     " or smaller, or move it less";
        return found;
    }
    found.next = found.offset == 0
                     ? "the stroke stays as it is"
                     : "the piston " + std::string(found.offset > 0 ? "rises" : "falls short") +
                           " by " + mm(std::abs(found.offset)) +
                           ": check deck clearance and compression first";
    return found;
}

namespace {

bool above(double reading, double limit) { return reading > limit + 1e-12 * limit; }

/// How many of the first readings are above the limit.
int over_among(std::span<const double> readings, std::size_t first, double limit)
{
    const auto head = readings.first(std::min(first, readings.size()));
    return static_cast<int>(
        std::count_if(head.begin(), head.end(), [&](double each) { return above(each, limit); }));
}

void judge_by_sixteen_percent(SurfaceFinish& found, std::span<const double> readings, double limit)
{
    const int count = found.count;
    const int allowed = std::max(2, 16 * count / 100);
    const bool proven = !above(readings.front(), 0.7 * limit) ||
                        (count >= 3 && over_among(readings, 3, limit) == 0) ||
                        (count >= 6 && over_among(readings, 6, limit) <= 1) || count >= 12;
    if (found.over > allowed) {
        found.verdict = Standing::outside;
    } else if (proven) {
        found.verdict = Standing::within;
    } else {
        found.verdict = Standing::unproven;
        found.next_count = count < 3 && found.over == 0 ? 3 : count < 6 && found.over <= 1 ? 6 : 12;
    }
}

}  // namespace

SurfaceFinish surface_finish(std::span<const double> readings, double limit, FinishRule rule)
{
    require_readings("readings", readings, 1);
    for (std::size_t i = 0; i < readings.size(); ++i) {
        require_between(element_name("readings", i), readings[i], 0.0, greatest_length);
    }
    require_positive("limit", limit);
    require_at_most("limit", limit, greatest_length);
    SurfaceFinish found{.count = static_cast<int>(readings.size()),
                        .over = over_among(readings, readings.size(), limit),
                        .mean = std::accumulate(readings.begin(), readings.end(), 0.0) /
                                static_cast<double>(readings.size()),
                        .greatest = *std::max_element(readings.begin(), readings.end())};
    if (rule == FinishRule::maximum) {
        found.verdict = found.over > 0 ? Standing::outside : Standing::within;
    } else {
        judge_by_sixteen_percent(found, readings, limit);
    }
    const std::string over = std::to_string(found.over) + " of " + std::to_string(found.count) +
                             (found.count == 1 ? " reading is" : " readings are") + " above " +
                             fixed_text(limit, 3);
    if (found.verdict == Standing::outside) {
        found.reason = over + ", the greatest " + fixed_text(found.greatest, 3);
        found.next = "polish or grind again, then measure afresh";
    } else if (found.verdict == Standing::unproven) {
        found.reason = over + ": too few to decide";
        found.next = "take " + std::to_string(*found.next_count - found.count) + " more, " +
                     std::to_string(*found.next_count) + " in all";
    }
    return found;
}

namespace {

/// Distance of a point from a fillet of radius R between web (x = 0) and journal (y = 0).
double from_fillet(double radius, double x, double y)
{
    if (x < radius && y < radius) {
        return radius - std::hypot(radius - x, radius - y);
    }
    if (x >= radius && y >= radius) {
        return std::min(x, y);
    }
    return x >= radius ? y : x;
}

}  // namespace

FilletClearance fillet_clearance(double fillet_radius, double side_gap, double chamfer_axial,
                                 double chamfer_radial, double bearing_clearance)
{
    require_size("fillet_radius", fillet_radius);
    require_length_at_least_zero("side_gap", side_gap);
    require_length_at_least_zero("chamfer_axial", chamfer_axial);
    require_length_at_least_zero("chamfer_radial", chamfer_radial);
    require_length_at_least_zero("bearing_clearance", bearing_clearance);
    const double running = bearing_clearance / 2;
    FilletClearance found{
        .side_corner = from_fillet(fillet_radius, side_gap, running + chamfer_radial),
        .running_corner = from_fillet(fillet_radius, side_gap + chamfer_axial, running)};
    found.clearance = std::min(found.side_corner, found.running_corner);
    if (found.clearance <= 0) {
        found.status = FilletStatus::rides;
        found.reason = "the shell stands " + mm(-found.clearance) + " into the fillet at its " +
                       (found.running_corner < found.side_corner ? "running surface" : "end face");
        found.next =
            "grind the fillet to its smaller radius or chamfer the shell wider: a shell on "
            "the fillet runs hot at once";
    }
    return found;
}

}  // namespace enginewright::journals
