#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/balance/vectors.hpp"
#include "enginewright/record.hpp"

/// Unbalance carried from plane to plane, and told apart into static and couple.
namespace enginewright::balance {

/// How a vector at one position shows in two planes, by the lever rule.
///
///     share_1 = (z2 - position) / (z2 - z1),  share_2 = (position - z1) / (z2 - z1)
///
/// The shares add up to 1. Outside the pair one is negative and the other above 1: what overhangs
/// pulls the far plane the other way.
///
/// position  z of the vector, mm
/// planes    z1 and z2, mm, apart
///
/// Throws std::invalid_argument: planes in one place.
///
/// Source: lever rule.
///
/// >>> ew.balance.plane_share(450, [0, 360]).tolist()
/// [-0.25, 1.25]
std::array<double, 2> plane_share(double position, std::span<const double> planes);

/// Vectors at any positions as the two vectors that do the same in two planes, g mm.
///
///     planes_p = sum over i of unbalance_i * share_p(position_i)
///
/// Resultant force and moment stay as they are.
///
/// unbalance  one or more vectors, g mm
/// positions  z of each, mm
/// planes     two positions, mm, apart
///
/// Throws std::invalid_argument: lists of different length, planes in one place.
///
/// Source: lever rule.
///
/// >>> ew.balance.to_planes([100 + 0j], [450], planes=[0, 360]).tolist()
/// [(-25+0j), (125+0j)]
std::vector<Vector> to_planes(std::span<const Vector> unbalance, std::span<const double> positions,
                              std::span<const double> planes);

/// What kind of unbalance a rotor has.
enum class UnbalanceKind { balanced, static_, couple, dynamic };

}  // namespace enginewright::balance

namespace enginewright {
template <>
inline constexpr Words<4> words<balance::UnbalanceKind>{
    "kind", {"balanced", "static", "couple", "dynamic"}};
}  // namespace enginewright

namespace enginewright::balance {

/// The resultant of a rotor's unbalance and the couple that is left beside it.
struct StaticCouple {
    Vector static_{};
    double static_amount = 0;
    double static_angle = 0;
    Vector couple{};
    double couple_amount = 0;
    double couple_angle = 0;
    double couple_pair = 0;
    std::optional<UnbalanceKind> kind{};
    std::string reason{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"static", "g mm", &StaticCouple::static_, "sum of all vectors"},
            Field{"static_amount", "g mm", &StaticCouple::static_amount, "its length"},
            Field{"static_angle", "deg", &StaticCouple::static_angle, "its heavy side"},
            Field{"couple", "g mm²", &StaticCouple::couple, "sum of vectors times distance"},
            Field{"couple_amount", "g mm²", &StaticCouple::couple_amount, "its length"},
            Field{"couple_angle", "deg", &StaticCouple::couple_angle,
                  "heavy side of its rear half"},
            Field{"couple_pair", "g mm", &StaticCouple::couple_pair,
                  "equal and opposite at the outermost planes"},
            Field{"kind", "", &StaticCouple::kind, "which of the two is too big"},
            Field{"reason", "", &StaticCouple::reason, "what that means at the bench"},
        };
    }
    bool operator==(const StaticCouple&) const = default;
};
static_assert(lists_every_member<StaticCouple>);

/// Tells static unbalance from couple.
///
///     static = sum of u,  couple = sum of u * (z - centre),
///     couple_pair = |couple| / (greatest z - least z)
///
/// The static is too big above `permissible`, the couple when its pair is above half of that. A
/// rotor with couple alone stands still on knife edges while each end is out.
///
/// unbalance    one vector for each plane, g mm
/// planes       their positions, at least two, not all in one place, mm
/// centre       of mass, mm
/// permissible  residual of the whole rotor, g mm, above 0; None: `kind` is None
///
/// Throws std::invalid_argument.
///
/// Source: ISO 21940-2, static and couple unbalance.
///
/// >>> ends = ew.balance.vector([90, 60], [20, 200])
/// >>> ew.balance.static_couple(ends, [0, 300], centre=140, permissible=40).kind
/// 'couple'
StaticCouple static_couple(std::span<const Vector> unbalance, std::span<const double> planes,
                           double centre, std::optional<double> permissible = {});

}  // namespace enginewright::balance
