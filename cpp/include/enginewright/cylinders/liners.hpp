#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/measure.hpp"
#include "enginewright/record.hpp"

/// Liners: how they stand over the deck, the shims beneath them, the fit of dry ones.
namespace enginewright::cylinders {

/// Heights over the deck: a row a liner, a column a place round its flange.
using Heights = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// What came of choosing shims.
///
/// selected             every liner stands right
/// cut the counterbore  some liner stands too high with every stack that lifts it enough
/// no shim selection    too low, too few shims, or steps between neighbours
enum class ShimStatus { selected, cut_the_counterbore, no_selection };

/// Whether a dry liner has its interference in its bore.
///
/// fits            it has
/// cut bore        too much: the bore is to be cut
/// bore too large  too little
enum class DryLinerStatus { fits, cut_bore, bore_too_large };

}  // namespace enginewright::cylinders

namespace enginewright {
template <>
inline constexpr Words<3> words<cylinders::ShimStatus>{
    "status", {"selected", "cut the counterbore", "no shim selection"}};
template <>
inline constexpr Words<3> words<cylinders::DryLinerStatus>{"status",
                                                           {"fits", "cut bore", "bore too large"}};
}  // namespace enginewright

namespace enginewright::cylinders {

/// How liners stand over the deck.
///
/// Lists have one entry a liner; `neighbour` and its verdicts one less, from each to the next.
/// Liners count from 0 in the fields and from 1 in the sentences.
struct LinerStanding {
    std::vector<double> mean{};
    std::vector<double> least{};
    std::vector<double> greatest{};
    std::vector<double> variation{};
    std::vector<double> tilt{};
    std::vector<double> high_side{};
    std::vector<double> slope{};
    std::vector<double> warp{};
    std::vector<double> neighbour{};
    double spread = 0;
    std::vector<Standing> height_verdicts{};
    std::vector<Standing> within_verdicts{};
    std::vector<Standing> neighbour_verdicts{};
    Standing verdict = Standing::unlimited;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using L = LinerStanding;
        return std::tuple{
            Field{"mean", "mm", &L::mean, "mean height over the deck"},
            Field{"least", "mm", &L::least, "least height read"},
            Field{"greatest", "mm", &L::greatest, "greatest height read"},
            Field{"variation", "mm", &L::variation, "greater of tilt and range of readings"},
            Field{"tilt", "mm", &L::tilt, "across the full diameter of the flange"},
            Field{"high_side", "degrees", &L::high_side, "where the flange stands highest"},
            Field{"slope", "", &L::slope, "tilt over the diameter"},
            Field{"warp", "mm", &L::warp, "range that tilt does not explain"},
            Field{"neighbour", "mm", &L::neighbour, "difference of means to the next liner"},
            Field{"spread", "mm", &L::spread, "range of the means"},
            Field{"height_verdicts", "", &L::height_verdicts, "least and greatest of each"},
            Field{"within_verdicts", "", &L::within_verdicts, "variation of each"},
            Field{"neighbour_verdicts", "", &L::neighbour_verdicts, "steps to the next"},
            Field{"verdict", "", &L::verdict, "the worst of all"},
            Field{"reason", "", &L::reason, "why, when it is not within"},
            Field{"next", "", &L::next, "what to do next"},
        };
    }
    bool operator==(const LinerStanding&) const = default;
};
static_assert(lists_every_member<LinerStanding>);

/// Standing of liners over the deck: height, tilt, warp, and steps between neighbours. mm.
///
/// A mean that is right says nothing of a flange that is tilted. By least squares for each liner:
///
///     height = mean + (tilt / 2) cos(angle - high_side)
///     slope = tilt / (2 radius)
///     variation = the greater of tilt and the range of the readings
///
/// Clamp the liners as the head would. One call a gasket: neighbours are next in the list.
///
/// readings         a row a liner, a column an angle, mm, + over the deck
/// angle            where they were read, degrees, at least 3 different ones
/// radius           of the flange where it was read, mm, above 0
/// lower, upper     limits of every height, mm; none: no limit
/// within_limit     of the variation within one liner, mm, at least 0; none: no limit
/// neighbour_limit  of the step between two means, mm, at least 0; none: no limit
/// uncertainty      standard (k = 1), of one reading, mm
///
/// Source: harmonic analysis by least squares; derived.
///
/// >>> found = ew.cylinders.liner_standing([[0.05, 0.06, 0.07, 0.06], [0.08, 0.08, 0.08, 0.08]],
/// ...     angle=[0, 90, 180, 270], radius=55, lower=0.03, upper=0.10, neighbour_limit=0.03)
/// >>> f"{found.tilt[0]:.3f} mm at {found.high_side[0]:.0f}", found.verdict
/// ('0.020 mm at 180', 'within')
LinerStanding liner_standing(const Heights& readings, std::span<const double> angle, double radius,
                             std::optional<double> lower = std::nullopt,
                             std::optional<double> upper = std::nullopt,
                             std::optional<double> within_limit = std::nullopt,
                             std::optional<double> neighbour_limit = std::nullopt,
                             double uncertainty = 0.0);

/// The shims under one liner; sizes rising, bit for bit as they were listed.
struct ShimStack {
    std::vector<double> sizes{};
    double total = 0;
    double height = 0;

    static constexpr auto fields()
    {
        using S = ShimStack;
        return std::tuple{
            Field{"sizes", "mm", &S::sizes, "shims, thinnest first"},
            Field{"total", "mm", &S::total, "of the shims together"},
            Field{"height", "mm", &S::height, "of the liner on them, over the deck"},
        };
    }
    bool operator==(const ShimStack&) const = default;
};
static_assert(lists_every_member<ShimStack>);

/// Which shims go under which liner.
///
/// Lists have one entry a liner, in the order given; `stock_left` and `to_order` one a size, in the
/// order of `sizes`, and none where shims are plenty.
struct LinerShims {
    std::vector<ShimStack> liners{};
    std::vector<double> heights{};
    std::vector<double> shim_total{};
    std::vector<double> neighbour{};
    std::optional<double> worst_deviation{};
    std::optional<double> total_deviation{};
    std::vector<int> stock_left{};
    std::vector<int> to_order{};
    std::vector<int> unreachable{};
    std::vector<double> cut{};
    bool optimal = true;
    ShimStatus status = ShimStatus::selected;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using L = LinerShims;
        return std::tuple{
            Field{"liners", "", &L::liners, "the stack under each liner"},
            Field{"heights", "mm", &L::heights, "each liner over the deck on its shims"},
            Field{"shim_total", "mm", &L::shim_total, "thickness of each stack"},
            Field{"neighbour", "mm", &L::neighbour, "step from each liner to the next"},
            Field{"worst_deviation", "mm", &L::worst_deviation, "greatest distance to the target"},
            Field{"total_deviation", "mm", &L::total_deviation, "sum of the distances"},
            Field{"stock_left", "", &L::stock_left, "shims left of each size"},
            Field{"to_order", "", &L::to_order, "shims that a full shelf would have given"},
            Field{"unreachable", "", &L::unreachable, "liners that no stack brings right"},
            Field{"cut", "mm", &L::cut, "depth to take off each counterbore"},
            Field{"optimal", "", &L::optimal, "whether no choice is better"},
            Field{"status", "", &L::status, "what came of it"},
            Field{"reason", "", &L::reason, "why, when it is not simply selected"},
            Field{"next", "", &L::next, "which shims to fit"},
        };
    }
    bool operator==(const LinerShims&) const = default;
};
static_assert(lists_every_member<LinerShims>);

/// The shims that bring a row of liners to height, from what is in the drawer.
///
///     height = height without shims + shims
///
/// Wanted, in this order: least greatest distance to the target, least sum of distances, fewest
/// shims; among equals the thinner stacks from liner 1 on. Every liner lies within its limits and
/// neighbours differ by no more than theirs. Exact, unless `optimal` is False.
///
/// A liner that no stack brings inside even alone is `unreachable`; where it stands too high on
/// every stack that lifts it enough, `cut` is the least depth off its counterbore that lets one
/// fit.
///
/// heights          over the deck without shims, mm, one a liner, at most 24
/// sizes            the shims there are, mm, each above 0, all different, at most 24
/// stock            pieces of each size; none: plenty
/// lower, upper     limits of the height, mm
/// target           mm, within the limits; none: their middle
/// neighbour_limit  of the step between neighbours, mm, at least 0; none: no limit
/// most             shims under one liner, 1 to 4
///
/// Source: exact search over the stock (a table walked place by place); derived.
///
/// >>> plan = ew.cylinders.liner_shims([-0.03, 0.01], [0.05, 0.08], [2, 1], lower=0.03,
/// ...                                 upper=0.08, target=0.055, neighbour_limit=0.03)
/// >>> plan.heights.round(3).tolist(), plan.stock_left
/// ([0.05, 0.06], (1, 0))
LinerShims liner_shims(std::span<const double> heights, std::span<const double> sizes,
                       const std::optional<std::vector<int>>& stock, double lower, double upper,
                       std::optional<double> target = std::nullopt,
                       std::optional<double> neighbour_limit = std::nullopt, int most = 2);

/// A dry liner and its bore.
struct DryLinerFit {
    double interference = 0;
    double bore_for_target = 0;
    double stock = 0;
    DryLinerStatus status = DryLinerStatus::fits;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using D = DryLinerFit;
        return std::tuple{
            Field{"interference", "mm", &D::interference, "liner less bore, on diameter"},
            Field{"bore_for_target", "mm", &D::bore_for_target, "bore that gives the target"},
            Field{"stock", "mm", &D::stock, "to take out of the bore, on diameter"},
            Field{"status", "", &D::status, "whether it has its interference"},
            Field{"reason", "", &D::reason, "why, when it has not"},
            Field{"next", "", &D::next, "what to do next"},
        };
    }
    bool operator==(const DryLinerFit&) const = default;
};
static_assert(lists_every_member<DryLinerFit>);

/// Interference of a dry liner in its bore, and the bore to cut for it. mm on diameter.
///
///     interference = liner_outside - bore
///     bore_for_target = liner_outside - target
///     stock = bore_for_target - bore
///
/// liner_outside  diameter, mm, above 0
/// bore           as it is, mm, above 0
/// target         interference to aim at, mm, within the limits
/// lower, upper   limits of the interference, mm; none: 0.0005 either side of the target
///
/// Source: definition.
///
/// >>> found = ew.cylinders.dry_liner_fit(90.06, 89.90, target=0.05)
/// >>> round(found.stock, 3), found.status
/// (0.11, 'cut bore')
DryLinerFit dry_liner_fit(double liner_outside, double bore, double target,
                          std::optional<double> lower = std::nullopt,
                          std::optional<double> upper = std::nullopt);

}  // namespace enginewright::cylinders
