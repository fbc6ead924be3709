#pragma once

#include <complex>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <tuple>
#include <vector>

#include "enginewright/reciprocating/rods.hpp"
#include "enginewright/record.hpp"

/// Layouts: where the cylinders of an engine stand, and when they fire.
namespace enginewright::reciprocating {

/// An engine as its cylinders: one figure of each list a cylinder.
///
/// A single figure in place of a list holds for all cylinders.
///
/// throw_angle            of the cylinder's crankpin, degrees clockwise seen from the front
/// bank_angle             of the cylinder, degrees clockwise from up
/// position               of the cylinder along the crank, mm from the front
/// crank_radius           half the stroke, mm, above 0
/// rod_length             between the centres of its eyes, mm, above crank_radius + |offset|
/// reciprocating          mass that goes with the piston, g, at least 0
/// rotating               mass that turns with the pin, g, at least 0
/// offset                 of the wrist pin's path, mm, positive towards the pin's swing after the
/// top counterweight          vectors, g mm, in the crank's frame: pointing to the heavy side
/// counterweight_position of each, mm from the front
/// name                   for the page
///
/// >>> twin = ew.reciprocating.EngineLayout([0, 0], [45, -45], 0.0, 45.0, 150.0, 600.0)
/// >>> twin.throw_angle
/// array([0., 0.])
struct EngineLayout {
    std::vector<double> throw_angle{};
    std::vector<double> bank_angle{};
    std::vector<double> position{};
    std::vector<double> crank_radius{};
    std::vector<double> rod_length{};
    std::vector<double> reciprocating{};
    std::vector<double> rotating{};
    std::vector<double> offset{};
    std::vector<std::complex<double>> counterweight{};
    std::vector<double> counterweight_position{};
    std::string name{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"throw_angle", "deg", &EngineLayout::throw_angle, "of each cylinder's crankpin"},
            Field{"bank_angle", "deg", &EngineLayout::bank_angle, "of each cylinder"},
            Field{"position", "mm", &EngineLayout::position, "of each cylinder along the crank"},
            Field{"crank_radius", "mm", &EngineLayout::crank_radius, "half the stroke"},
            Field{"rod_length", "mm", &EngineLayout::rod_length, "centre to centre"},
            Field{"reciprocating", "g", &EngineLayout::reciprocating, "goes with the piston"},
            Field{"rotating", "g", &EngineLayout::rotating, "turns with the pin"},
            Field{"offset", "mm", &EngineLayout::offset, "of the wrist pin's path"},
            Field{"counterweight", "g mm", &EngineLayout::counterweight,
                  "vectors to the heavy side, in the crank's frame"},
            Field{"counterweight_position", "mm", &EngineLayout::counterweight_position,
                  "of each counterweight along the crank"},
            Field{"name", "", &EngineLayout::name, "of the layout"},
        };
    }
    bool operator==(const EngineLayout&) const = default;
};
static_assert(lists_every_member<EngineLayout>);

/// The layout from figures that hold for one cylinder or for all: spread and checked.
///
/// Throws std::invalid_argument.
EngineLayout engine_layout(OneOrEach throw_angle, OneOrEach bank_angle, OneOrEach position,
                           OneOrEach crank_radius, OneOrEach rod_length, OneOrEach reciprocating,
                           OneOrEach rotating, OneOrEach offset,
                           std::vector<std::complex<double>> counterweight,
                           const OneOrEach& counterweight_position, std::string name);

/// Checks a layout that somebody has filled in by hand.
///
/// Throws std::invalid_argument.
void require_layout(const EngineLayout& layout);

/// A layout that has a name: "inline 4", "flat twin", "cross-plane V8", ...
///
/// Names: single; inline 2, 360; inline 2, 180; inline 3; inline 4; inline 5; inline 6; flat twin;
/// flat 4; flat 6; V-twin (give `bank`); V6, 60 (offset pins); cross-plane V8; flat-plane V8.
///
/// name           one of these
/// spacing        from cylinder to cylinder along the crank, mm, above 0; 0 for those side by side
/// crank_radius   half the stroke, mm
/// rod_length     centre to centre, mm
/// reciprocating  mass that goes with each piston, g
/// rotating       mass that turns with each rod's big end, g
/// bank           angle between the two cylinders of a V-twin, degrees, above 0 to 180
///
/// Source: from memory: Norton, Design of Machinery; Taylor, The Internal Combustion Engine.
///
/// >>> six = ew.reciprocating.common_layout("inline 6", 100, 40, 160, 500)
/// >>> six.throw_angle
/// array([  0., 120., 240., 240., 120.,   0.])
EngineLayout common_layout(std::string_view name, double spacing, double crank_radius,
                           double rod_length, double reciprocating, double rotating,
                           std::optional<double> bank);

/// Whether an order of firing can be.
enum class FiringStatus { possible, impossible_order };

}  // namespace enginewright::reciprocating

namespace enginewright {
template <>
inline constexpr Words<2> words<reciprocating::FiringStatus>{"status",
                                                             {"possible", "impossible order"}};
}  // namespace enginewright

namespace enginewright::reciprocating {

/// How far apart the cylinders fire.
struct Firing {
    std::vector<double> intervals{};
    bool even = false;
    std::optional<double> spread{};
    FiringStatus status = FiringStatus::possible;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"intervals", "deg", &Firing::intervals,
                  "from each cylinder of the order to the next, the last to the first"},
            Field{"even", "", &Firing::even, "whether all are equal"},
            Field{"spread", "deg", &Firing::spread, "greatest departure from the even interval"},
            Field{"status", "", &Firing::status, "whether one cycle holds the order"},
            Field{"reason", "", &Firing::reason, "why, when it does not"},
            Field{"next", "", &Firing::next, "what to do next"},
        };
    }
    bool operator==(const Firing&) const = default;
};
static_assert(lists_every_member<Firing>);

/// Intervals between the firing strokes of an order, degrees of crank.
///
/// Each piston is at the top once a turn, at (bank - throw) mod 360. From one cylinder of the order
/// to the next is the remainder of a turn; whole turns that a cycle of 180 strokes still lacks go,
/// one by one, to the shortest interval: the most even engine that the crank allows. Offset pins do
/// not enter.
///
/// throw_angles  one a cylinder, degrees
/// bank_angles   one a cylinder or one for all, degrees
/// firing_order  the cylinders, counted from 1, each once
/// strokes       2 or 4
///
/// Source: top dead centres in the order of firing; 270 and 450 degrees of the right-angle V-twin
/// from memory.
///
/// >>> ew.reciprocating.firing_intervals([0, 0], [45, -45], [1, 2]).intervals
/// array([270., 450.])
Firing firing_intervals(std::span<const double> throw_angles, const OneOrEach& bank_angles,
                        const std::vector<int>& firing_order, int strokes);

}  // namespace enginewright::reciprocating
