#include "enginewright/crank_train.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "crank_train_formulas.hpp"
#include "numerics/roots.hpp"

namespace enginewright::crank_train {

using formula::degrees_of_radian;

double piston_depth(double angle, double stroke, double rod_length, double pin_offset)
{
    return formula::piston_depth(angle, stroke, rod_length, pin_offset);
}

double piston_velocity(double angle, double stroke, double rod_length, double pin_offset,
                       double speed)
{
    return formula::piston_velocity(angle, stroke, rod_length, pin_offset, speed);
}

double piston_acceleration(double angle, double stroke, double rod_length, double pin_offset,
                           double speed)
{
    return formula::piston_acceleration(angle, stroke, rod_length, pin_offset, speed);
}

double rod_angle(double angle, double stroke, double rod_length, double pin_offset)
{
    return formula::rod_angle(angle, stroke, rod_length, pin_offset);
}

double rod_velocity(double angle, double stroke, double rod_length, double pin_offset, double speed)
{
    return formula::rod_velocity(angle, stroke, rod_length, pin_offset, speed);
}

double rod_acceleration(double angle, double stroke, double rod_length, double pin_offset,
                        double speed)
{
    return formula::rod_acceleration(angle, stroke, rod_length, pin_offset, speed);
}

double swept_volume(double angle, double bore, double stroke, double rod_length, double pin_offset)
{
    return formula::swept_volume(angle, bore, stroke, rod_length, pin_offset);
}

double angle_at_depth(double depth, double stroke, double rod_length, double pin_offset, Side side)
{
    const auto arc = formula::arc_at_depth(depth, formula::train(stroke, rod_length, pin_offset));
    return side == Side::after ? arc.middle + arc.half : arc.middle - arc.half;
}

double stroke_from_travel(double travel, double rod_length, double pin_offset)
{
    formula::require_part("travel", travel, greatest_length);
    formula::require_part("rod_length", rod_length, formula::greatest_rod);
    require_length("pin_offset", pin_offset);
    const double e = std::abs(pin_offset);
    if (rod_length <= e) {
        refuse("rod_length", "above |pin_offset|, " + number_text(e) + " mm", rod_length);
    }
    // At this travel the rod, folded, would lie flat across the cylinder.
    const double bound = 2 * std::sqrt(rod_length * (rod_length - e));
    require_below("travel", travel, bound, "mm");
    const double flat = 4 * (rod_length - e) * (rod_length + e) - travel * travel;
    const double whole = (2 * rod_length - travel) * (2 * rod_length + travel);
    return travel * std::sqrt(std::min(1.0, flat / whole));
}

CrankTrainGeometry geometry(double stroke, double rod_length, double pin_offset)
{
    const auto t = formula::train(stroke, rod_length, pin_offset);
    const auto arc = formula::arc_at_depth(formula::travel(t), t);
    return {.crank_radius = t.radius,
            .travel = formula::travel(t),
            .rod_ratio = rod_length / stroke,
            .tdc_crank_angle = std::asin(t.sine) * degrees_of_radian,
            .bdc_angle = 180 + arc.middle,
            .largest_rod_angle =
                std::asin((t.radius + std::abs(pin_offset)) / rod_length) * degrees_of_radian,
            .wrist_height_tdc = t.reach,
            .wrist_height_bdc = formula::low_reach(t)};
}

Dwell dwell(double depth, double stroke, double rod_length, double pin_offset)
{
    const auto arc = formula::arc_at_depth(depth, formula::train(stroke, rod_length, pin_offset));
    return {.before = arc.middle - arc.half,
            .after = arc.middle + arc.half,
            .total = 2 * arc.half,
            .midpoint = arc.middle};
}

PistonSpeed piston_speed(double stroke, double rod_length, double pin_offset, double speed)
{
    const auto t = formula::train(stroke, rod_length, pin_offset);
    const double omega = formula::angular_speed(speed);
    const auto slope = [&](double angle) {
        return formula::depth_slope(formula::pose(angle, t), t);
    };
    const auto curvature = [&](double angle) {
        return formula::depth_curvature(formula::pose(angle, t), t);
    };
    const double bottom = 180 + formula::arc_at_depth(formula::travel(t), t).middle;
    const double down = numerics::brent_root(curvature, 0.0, bottom, 1e-12);
    const double up = numerics::brent_root(curvature, bottom - 360, 0.0, 1e-12);
    return {.mean = 2 * formula::travel(t) * speed / 60000,
            .peak_down = omega * slope(down) / 1000,
            .peak_down_angle = down,
            .peak_up = -omega * slope(up) / 1000,
            .peak_up_angle = up};
}

}  // namespace enginewright::crank_train
