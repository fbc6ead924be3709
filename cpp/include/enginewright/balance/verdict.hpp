#pragma once

#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/balance/tolerance.hpp"
#include "enginewright/balance/vectors.hpp"
#include "enginewright/measure.hpp"
#include "enginewright/record.hpp"

/// Verdicts on a residual, and what it does to the bearings.
namespace enginewright::balance {

/// Probability that the true residual is at most the tolerance, 0 to 1.
///
/// A vector read as `amount` with a standard uncertainty per axis: its length follows the law of
/// Rice, because the error has two axes. Near nothing the length read is always too long.
///
/// amount       read, g mm, at least 0
/// uncertainty  standard, per axis, g mm, above 0
/// tolerance    g mm, above 0
///
/// Throws std::invalid_argument: a missing tolerance among them.
///
/// Source: S. O. Rice, Mathematical Analysis of Random Noise, 1944.
///
/// >>> round(ew.balance.probability_within(30, 10, 40), 4)
/// 0.8035
double probability_within(double amount, double uncertainty, std::optional<double> tolerance);

/// What a residual is worth, plane by plane.
struct ResidualVerdict {
    std::vector<Standing> verdict{};
    std::vector<double> probability{};
    std::vector<double> ratio{};
    Standing overall = Standing::unlimited;
    int worst_plane = 0;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"verdict", "", &ResidualVerdict::verdict, "of each plane"},
            Field{"probability", "", &ResidualVerdict::probability,
                  "that the true residual is within"},
            Field{"ratio", "", &ResidualVerdict::ratio, "amount over tolerance"},
            Field{"overall", "", &ResidualVerdict::overall, "of the rotor"},
            Field{"worst_plane", "", &ResidualVerdict::worst_plane,
                  "greatest ratio, from 0: work there first"},
            Field{"reason", "", &ResidualVerdict::reason, "the figures behind it"},
            Field{"next", "", &ResidualVerdict::next, "what to do next"},
        };
    }
    bool operator==(const ResidualVerdict&) const = default;
};
static_assert(lists_every_member<ResidualVerdict>);

/// Verdict on a residual in each plane.
///
/// Guarded as all verdicts of the library: within when the probability of being within reaches the
/// level, outside when that of the opposite does, else unproven. Overall outside if a plane is,
/// else unproven if one is, else within.
///
/// residual     one vector for each plane, g mm
/// tolerance    one for all or one for each plane, g mm, above 0
/// uncertainty  standard, per axis, g mm: one for all or one for each; 0: the figure is exact
/// level        probability asked for, above 0.5 and below 1
///
/// Throws std::invalid_argument: a missing tolerance among them.
///
/// Source: ISO 14253-1 decision rule, with the law of Rice for the length of a vector.
///
/// >>> ew.balance.residual_verdict([30, 45, 60], tolerance=50, uncertainty=4).verdict
/// ('within', 'unproven', 'outside')
ResidualVerdict residual_verdict(std::span<const Vector> residual, const OneOrEach& tolerance,
                                 const OneOrEach& uncertainty = 0.0, double level = 0.95);

/// Forces of an unbalance in the two bearings.
struct BearingForce {
    std::vector<Vector> force{};
    std::vector<double> amount{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"force", "N", &BearingForce::force, "turning with the rotor, at each bearing"},
            Field{"amount", "N", &BearingForce::amount, "its size"},
        };
    }
    bool operator==(const BearingForce&) const = default;
};
static_assert(lists_every_member<BearingForce>);

/// Forces that unbalance puts on the bearings, turning with the rotor, N.
///
///     force = 1e-6 * omega² * to_planes(unbalance, positions, bearings)
///
/// A rigid rotor: speed well below the first bending resonance.
///
/// unbalance  one or more vectors, g mm
/// positions  z of each, mm
/// bearings   two positions, mm, apart
/// speed      rpm, above 0
///
/// >>> ew.balance.bearing_force([80], [100], bearings=[0, 400],
/// speed=6000).amount.round(1).tolist() [23.7, 7.9]
BearingForce bearing_force(std::span<const Vector> unbalance, std::span<const double> positions,
                           std::span<const double> bearings, double speed);

}  // namespace enginewright::balance
