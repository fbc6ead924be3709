#include "enginewright/crank_train.hpp"

#include "bind.hpp"
#include "blocks.hpp"
#include "crank_train_formulas.hpp"
#include "doc/crank_train.hpp"

namespace enginewright::bind {

namespace {

void bind_motion(py::module_& module)
{
    namespace text = doc::crank_train;
    const py::kw_only keyword_only;

    define(module, "piston_depth",
           by_blocks(crank_train::piston_depth, crank_train::formula::piston_depth),
           text::piston_depth, "angle"_a, keyword_only, "stroke"_a, "rod_length"_a,
           "pin_offset"_a = 0.0);
    define(module, "piston_velocity",
           by_blocks(crank_train::piston_velocity, crank_train::formula::piston_velocity),
           text::piston_velocity, "angle"_a, keyword_only, "stroke"_a, "rod_length"_a,
           "pin_offset"_a = 0.0, "speed"_a);
    define(module, "piston_acceleration",
           by_blocks(crank_train::piston_acceleration, crank_train::formula::piston_acceleration),
           text::piston_acceleration, "angle"_a, keyword_only, "stroke"_a, "rod_length"_a,
           "pin_offset"_a = 0.0, "speed"_a);
    define(module, "rod_angle", by_blocks(crank_train::rod_angle, crank_train::formula::rod_angle),
           text::rod_angle, "angle"_a, keyword_only, "stroke"_a, "rod_length"_a,
           "pin_offset"_a = 0.0);
    define(module, "rod_velocity",
           by_blocks(crank_train::rod_velocity, crank_train::formula::rod_velocity),
           text::rod_velocity, "angle"_a, keyword_only, "stroke"_a, "rod_length"_a,
           "pin_offset"_a = 0.0, "speed"_a);
    define(module, "rod_acceleration",
           by_blocks(crank_train::rod_acceleration, crank_train::formula::rod_acceleration),
           text::rod_acceleration, "angle"_a, keyword_only, "stroke"_a, "rod_length"_a,
           "pin_offset"_a = 0.0, "speed"_a);
    define(module, "swept_volume",
           by_blocks(crank_train::swept_volume, crank_train::formula::swept_volume),
           text::swept_volume, "angle"_a, keyword_only, "bore"_a, "stroke"_a, "rod_length"_a,
           "pin_offset"_a = 0.0);
}

}  // namespace

void bind_crank_train(py::module_ module)
{
    namespace text = doc::crank_train;
    const py::kw_only keyword_only;

    bind_record<crank_train::CrankTrainGeometry>(module, "CrankTrainGeometry",
                                                 text::CrankTrainGeometry);
    bind_record<crank_train::Dwell>(module, "Dwell", text::Dwell);
    bind_record<crank_train::PistonSpeed>(module, "PistonSpeed", text::PistonSpeed);
    bind_record<crank_train::Harmonics>(module, "Harmonics", text::Harmonics);
    bind_record<crank_train::RodClearance>(module, "RodClearance", text::RodClearance);

    bind_motion(module);
    define(module, "angle_at_depth", broadcast(crank_train::angle_at_depth), text::angle_at_depth,
           "depth"_a, keyword_only, "stroke"_a, "rod_length"_a, "pin_offset"_a = 0.0,
           "side"_a = "after");
    define(module, "stroke_from_travel", broadcast(crank_train::stroke_from_travel),
           text::stroke_from_travel, "travel"_a, "rod_length"_a, "pin_offset"_a = 0.0);
    define(module, "geometry", plain(crank_train::geometry), text::geometry, keyword_only,
           "stroke"_a, "rod_length"_a, "pin_offset"_a = 0.0);
    define(module, "dwell", plain(crank_train::dwell), text::dwell, "depth"_a, keyword_only,
           "stroke"_a, "rod_length"_a, "pin_offset"_a = 0.0);
    define(module, "piston_speed", plain(crank_train::piston_speed), text::piston_speed,
           keyword_only, "stroke"_a, "rod_length"_a, "pin_offset"_a = 0.0, "speed"_a);
    define(module, "acceleration_harmonics", without_gil(crank_train::acceleration_harmonics),
           text::acceleration_harmonics, keyword_only, "stroke"_a, "rod_length"_a,
           "pin_offset"_a = 0.0, "orders"_a = 8, "reference"_a = "tdc");
    define(module, "rod_bore_clearance", without_gil(crank_train::rod_bore_clearance),
           text::rod_bore_clearance, keyword_only, "bore"_a, "stroke"_a, "rod_length"_a,
           "pin_offset"_a = 0.0, "bore_bottom"_a, "rod_width"_a);
}

}  // namespace enginewright::bind
