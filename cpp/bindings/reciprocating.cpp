#include "enginewright/reciprocating.hpp"

#include "bind.hpp"
#include "doc/reciprocating.hpp"

namespace enginewright::bind {

namespace {

namespace text = doc::reciprocating;

void bind_rods(py::module_& module)
{
    bind_record<reciprocating::RodSplit>(module, "RodSplit", text::RodSplit);
    bind_record<reciprocating::Bobweight>(module, "Bobweight", text::Bobweight);
    bind_record<reciprocating::BobweightNeed>(module, "BobweightNeed", text::BobweightNeed);
    bind_record<reciprocating::BobweightTolerance>(module, "BobweightTolerance",
                                                   text::BobweightTolerance);

    define(module, "rod_split", broadcast(reciprocating::rod_split), text::rod_split, "big_end"_a,
           "small_end"_a, "total"_a = py::none(), "allowed"_a = 1.0);
    define(module, "rod_split_at_centre", broadcast(reciprocating::rod_split_at_centre),
           text::rod_split_at_centre, "mass"_a, "length"_a, "centre_to_big"_a);
    define(module, "bobweight", broadcast(reciprocating::bobweight), text::bobweight, "rotating"_a,
           "reciprocating"_a, "factor"_a = 0.5, "rods_per_pin"_a = 1, "oil"_a = 0.0);
    define(module, "bobweight_needed", plain(reciprocating::bobweight_needed),
           text::bobweight_needed, "throw_angles"_a, "positions"_a);
    define(module, "bobweight_tolerance", plain(reciprocating::bobweight_tolerance),
           text::bobweight_tolerance, "crank_radius"_a, "throw_angles"_a, "positions"_a,
           "tolerance"_a, "tolerance_planes"_a, "share"_a = 0.1);
}

void bind_layouts(py::module_& module)
{
    auto layout =
        bind_record<reciprocating::EngineLayout>(module, "EngineLayout", text::EngineLayout);
    construct(layout, reciprocating::engine_layout, "throw_angle"_a, "bank_angle"_a, "position"_a,
              "crank_radius"_a, "rod_length"_a, "reciprocating"_a, "rotating"_a = 0.0,
              "offset"_a = 0.0, "counterweight"_a = py::tuple(),
              "counterweight_position"_a = py::tuple(), "name"_a = "");
    bind_record<reciprocating::Firing>(module, "Firing", text::Firing);

    define(module, "common_layout", plain(reciprocating::common_layout), text::common_layout,
           "name"_a, "spacing"_a, "crank_radius"_a, "rod_length"_a, "reciprocating"_a,
           "rotating"_a = 0.0, "bank"_a = py::none());
    define(module, "firing_intervals", plain(reciprocating::firing_intervals),
           text::firing_intervals, "throw_angles"_a, "bank_angles"_a, "firing_order"_a,
           "strokes"_a = 4);
}

}  // namespace

void bind_reciprocating(py::module_ module)
{
    bind_rods(module);
    bind_layouts(module);
    bind_record<reciprocating::Shaking>(module, "Shaking", text::Shaking);
    bind_record<reciprocating::ShakingAt>(module, "ShakingAt", text::ShakingAt);
    bind_record<reciprocating::BalanceFactor>(module, "BalanceFactor", text::BalanceFactor);

    define(module, "piston_harmonics", without_gil(reciprocating::piston_harmonics),
           text::piston_harmonics, "crank_radius"_a, "rod_length"_a, "offset"_a = 0.0,
           "orders"_a = 6);
    define(module, "shaking", without_gil(reciprocating::shaking), text::shaking, "layout"_a,
           "speed"_a, "orders"_a = 6, "reference"_a = py::none());
    define(module, "shaking_at", without_gil(reciprocating::shaking_at), text::shaking_at,
           "layout"_a, "speed"_a, "crank_angle"_a, "reference"_a = py::none());
    define(module, "balance_factor", without_gil(reciprocating::balance_factor),
           text::balance_factor, "layout"_a, "speed"_a, "along"_a = 1.0, "across"_a = 1.0,
           "direction"_a = 0.0);
}

}  // namespace enginewright::bind
