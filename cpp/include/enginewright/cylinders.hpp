#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <variant>
#include <vector>

#include "enginewright/cylinders/deck.hpp"
#include "enginewright/cylinders/liners.hpp"
#include "enginewright/cylinders/pistons.hpp"
#include "enginewright/cylinders/roundness.hpp"
#include "enginewright/measure.hpp"
#include "enginewright/record.hpp"

/// Cylinder bores: size and shape, the oversize for a block, the sizes to finish to.
///
/// Lengths mm, on diameter unless it says radius. `uncertainty` is standard (k = 1), of one
/// reading, independent between readings; 0 = judged at face value, limits inclusive.
namespace enginewright::cylinders {

/// Diameters of one bore: a row a station, from the top; a column an axis.
using Grid = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// One figure for all cylinders, or one for each.
using OneOrEach = std::variant<double, std::vector<double>>;

/// How the diameter runs down a bore.
///
/// unknown    read at one station only: nothing can be said
/// parallel   ends and middle agree within the noise of the readings
/// barrel     the middle is larger than the ends
/// hourglass  the middle is smaller than the ends
/// tapered    one end is larger than the other, and that is the greater effect
enum class Shape { unknown, parallel, barrel, hourglass, tapered };

/// Where a bore has worn.
///
/// even      all round, or so little on one side that it does not matter
/// one side  on the face that takes the thrust; the bore's centre is to stay where it is
enum class WearSide { even, one_side };

/// What came of a reboring plan.
///
/// rebore          one step cleans every cylinder
/// needs sleeving  some cylinder is cleaned by no step that is allowed
enum class ReboreStatus { rebore, needs_sleeving };

/// What the bores need to be finished to their pistons.
///
/// possible        every bore can be bored and honed to its size
/// hone only       some bore is above its bored size already: the hone takes the rest
/// bore too large  some bore is above its finished size: its piston is too small for it
/// unchecked       no bores were given to compare with
enum class FinishStatus { possible, hone_only, bore_too_large, unchecked };

}  // namespace enginewright::cylinders

namespace enginewright {
template <>
inline constexpr Words<5> words<cylinders::Shape>{
    "shape", {"unknown", "parallel", "barrel", "hourglass", "tapered"}};
template <>
inline constexpr Words<2> words<cylinders::WearSide>{"wear_side", {"even", "one side"}};
template <>
inline constexpr Words<2> words<cylinders::ReboreStatus>{"status", {"rebore", "needs sleeving"}};
template <>
inline constexpr Words<4> words<cylinders::FinishStatus>{
    "status", {"possible", "hone only", "bore too large", "unchecked"}};
}  // namespace enginewright

namespace enginewright::cylinders {

/// Size and shape of one bore, with a verdict on each.
///
/// Stations and axes count from 0 in the fields and from 1 in the sentences. A figure that the
/// readings cannot give is None.
struct BoreForm {
    double minimum = 0;
    double maximum = 0;
    double mean = 0;
    int largest_station = 0;
    int largest_axis = 0;
    std::optional<double> ovality{};
    std::optional<int> ovality_station{};
    std::optional<double> taper{};
    std::optional<int> taper_axis{};
    std::optional<double> end_difference{};
    std::optional<double> barrel{};
    Shape shape = Shape::unknown;
    std::optional<double> wear{};
    std::optional<double> ridge{};
    Standing size_verdict = Standing::unlimited;
    Standing ovality_verdict = Standing::unlimited;
    Standing taper_verdict = Standing::unlimited;
    Standing ridge_verdict = Standing::unlimited;
    Standing verdict = Standing::unlimited;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using F = BoreForm;
        return std::tuple{
            Field{"minimum", "mm", &F::minimum, "smallest reading"},
            Field{"maximum", "mm", &F::maximum, "largest reading"},
            Field{"mean", "mm", &F::mean, "mean of all readings"},
            Field{"largest_station", "", &F::largest_station, "station of the largest reading"},
            Field{"largest_axis", "", &F::largest_axis, "axis of the largest reading"},
            Field{"ovality", "mm", &F::ovality, "greatest range over the axes of a station"},
            Field{"ovality_station", "", &F::ovality_station, "the station that has it"},
            Field{"taper", "mm", &F::taper, "greatest range over the stations of an axis"},
            Field{"taper_axis", "", &F::taper_axis, "the axis that has it"},
            Field{"end_difference", "mm", &F::end_difference,
                  "last station's mean less the first's; negative: wider at the top"},
            Field{"barrel", "mm", &F::barrel, "mean of the inner stations less that of the ends"},
            Field{"shape", "", &F::shape, "how the diameter runs down it"},
            Field{"wear", "mm", &F::wear, "largest reading less the original size"},
            Field{"ridge", "mm", &F::ridge, "step at the top of the ring travel, on radius"},
            Field{"size_verdict", "", &F::size_verdict, "smallest and largest against the limits"},
            Field{"ovality_verdict", "", &F::ovality_verdict, "ovality against its limit"},
            Field{"taper_verdict", "", &F::taper_verdict, "taper against its limit"},
            Field{"ridge_verdict", "", &F::ridge_verdict, "ridge against its limit"},
            Field{"verdict", "", &F::verdict, "the worst of the four"},
            Field{"reason", "", &F::reason, "why, when it is not within"},
            Field{"next", "", &F::next, "what to do next"},
        };
    }
    bool operator==(const BoreForm&) const = default;
};
static_assert(lists_every_member<BoreForm>);

/// Size and shape of one bore from diameters at stations and axes. Housings and liners too.
///
///     ovality = greatest over the stations of (greatest - least over the axes)
///     taper = greatest over the axes of (greatest - least over the stations)
///     end_difference = mean of the last station - mean of the first
///     barrel = mean of the inner stations' means - mean of the two end means
///     wear = maximum - original
///     ridge = (greatest of the first station - unworn_top) / 2
///
/// Read the first station below the ridge, where the top ring turns round. Ovality needs two axes,
/// taper two stations, barrel three, evenly spaced, the ridge the unworn size above it. A limit
/// whose figure cannot be formed is "unproven" and `next` says what to measure.
///
/// Shape: "parallel" while end_difference and barrel stay within noise = max(0.002, 2 u); else
/// "barrel" (positive) or "hourglass" where the barrel is the greater of the two, else "tapered".
///
/// readings       stations, from the top, by axes; mm, each above 0
/// lower, upper   limits of size, mm; none: no limit
/// original       size the bore was last finished to, mm; none: no wear
/// unworn_top     diameter above the ring travel, mm; none: no ridge
/// ovality_limit  mm, at least 0; none: no limit
/// taper_limit    mm, at least 0; none: no limit
/// ridge_limit    on radius, mm, at least 0; none: no limit
/// uncertainty    standard (k = 1), of one reading, mm; a difference carries root 2 of it
///
/// Source: definitions; the noise floor of 2 µm is common practice, no source.
///
/// >>> found = ew.cylinders.form([[86.081, 86.060], [86.040, 86.031], [86.012, 86.010]],
/// ...                           original=86.005, unworn_top=86.007)
/// >>> round(found.wear, 3), round(found.ridge, 3), found.shape
/// (0.076, 0.037, 'tapered')
BoreForm form(const Grid& readings, std::optional<double> lower = std::nullopt,
              std::optional<double> upper = std::nullopt,
              std::optional<double> original = std::nullopt,
              std::optional<double> unworn_top = std::nullopt,
              std::optional<double> ovality_limit = std::nullopt,
              std::optional<double> taper_limit = std::nullopt,
              std::optional<double> ridge_limit = std::nullopt, double uncertainty = 0.0);

/// A bore's form with the doubt of each figure.
struct DoubtfulForm {
    BoreForm form{};
    measure::Quantity minimum{};
    measure::Quantity maximum{};
    measure::Quantity mean{};
    std::optional<measure::Quantity> ovality{};
    std::optional<measure::Quantity> taper{};
    std::optional<measure::Quantity> end_difference{};
    std::optional<measure::Quantity> barrel{};
    std::optional<measure::Quantity> wear{};
    std::optional<measure::Quantity> ridge{};
};

/// The same from readings that carry their doubt: an error that two readings share (a setting
/// ring) leaves ovality, taper, barrel and ridge by itself and stays whole in the size.
///
/// readings  row by row, `axes` to a station
/// sources   the table that the readings' sources stand in
DoubtfulForm form_with_doubt(std::span<const measure::Quantity> readings, std::size_t axes,
                             std::optional<double> lower = std::nullopt,
                             std::optional<double> upper = std::nullopt,
                             const std::optional<measure::Quantity>& original = std::nullopt,
                             const std::optional<measure::Quantity>& unworn_top = std::nullopt,
                             std::optional<double> ovality_limit = std::nullopt,
                             std::optional<double> taper_limit = std::nullopt,
                             std::optional<double> ridge_limit = std::nullopt,
                             const measure::Sources& sources = measure::Sources::shared());

/// The cylinders that one oversize would leave to be sleeved.
///
/// An empty list means that the step cleans the whole block.
struct SleeveOption {
    double oversize = 0;
    double finish_bore = 0;
    std::vector<int> sleeve{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"oversize", "mm", &SleeveOption::oversize, "step"},
            Field{"finish_bore", "mm", &SleeveOption::finish_bore, "finished bore with that step"},
            Field{"sleeve", "", &SleeveOption::sleeve, "cylinders that it does not clean"},
        };
    }
    bool operator==(const SleeveOption&) const = default;
};
static_assert(lists_every_member<SleeveOption>);

/// The one oversize for a block, and what decides it.
///
/// Lists have one entry a cylinder, in the order given. Cylinders count from 0 in the fields and
/// from 1 in the sentences. Steps come back just as they were listed.
struct OversizePlan {
    std::optional<double> oversize{};
    std::optional<double> piston{};
    std::optional<double> finish_bore{};
    std::optional<double> bored_size{};
    int governing = 0;
    std::vector<double> cleanup_diameters{};
    std::vector<double> margin{};
    std::vector<double> stock_to_bore{};
    std::vector<std::optional<double>> oversize_by_cylinder{};
    std::vector<int> sleeve{};
    std::optional<double> oversize_without_sleeved{};
    std::vector<SleeveOption> sleeve_options{};
    int steps_left = 0;
    std::vector<std::string> warnings{};
    ReboreStatus status = ReboreStatus::rebore;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using P = OversizePlan;
        return std::tuple{
            Field{"oversize", "mm", &P::oversize, "step that cleans every cylinder"},
            Field{"piston", "mm", &P::piston, "piston of that step"},
            Field{"finish_bore", "mm", &P::finish_bore, "size to hone to"},
            Field{"bored_size", "mm", &P::bored_size, "size to bore to"},
            Field{"governing", "", &P::governing, "the cylinder that decides"},
            Field{"cleanup_diameters", "mm", &P::cleanup_diameters, "size at which each is clean"},
            Field{"margin", "mm", &P::margin, "bored size less clean-up size: to spare"},
            Field{"stock_to_bore", "mm", &P::stock_to_bore, "bored size less largest reading"},
            Field{"oversize_by_cylinder", "mm", &P::oversize_by_cylinder, "step for each alone"},
            Field{"sleeve", "", &P::sleeve, "cylinders that no allowed step cleans"},
            Field{"oversize_without_sleeved", "mm", &P::oversize_without_sleeved,
                  "step for the others when those are sleeved"},
            Field{"sleeve_options", "", &P::sleeve_options,
                  "for each allowed step the cylinders it would not clean"},
            Field{"steps_left", "", &P::steps_left, "allowed steps above the chosen one"},
            Field{"warnings", "", &P::warnings, "what to look at before the bar starts"},
            Field{"status", "", &P::status, "whether one step cleans the block"},
            Field{"reason", "", &P::reason, "what decides, and what would do with less"},
            Field{"next", "", &P::next, "what to bore and hone to"},
        };
    }
    bool operator==(const OversizePlan&) const = default;
};
static_assert(lists_every_member<OversizePlan>);

/// The first oversize that cleans every cylinder of a block.
///
/// With D0 the lesser of piston_standard + current_oversize + clearance and the smallest reading:
///
///     cleanup = maximum + 2 * damage_depth + clean_up                  ("even")
///     cleanup = 2 * maximum - D0 + 2 * damage_depth + clean_up         ("one side")
///     finish_bore = piston_standard + oversize + clearance
///     bored_size = finish_bore - hone_allowance
///
/// "one side" is a bore worn on one thrust face while its centre is kept. The step is the first
/// above current_oversize, with a finish_bore of at most largest_bore, whose bored_size is at least
/// every clean-up size. A cylinder that no allowed step cleans is to be sleeved; `sleeve_options`
/// shows what a smaller step costs in sleeves, since one bad cylinder need not cost the whole block
/// a step: fewer steps used now are more overhauls later. With "needs sleeving" the figures of one
/// common step are None or empty.
///
/// Warning: a margin below 2 u (4 u on one side), which the gauge cannot prove.
///
/// readings          one grid a cylinder, shapes may differ
/// piston_standard   size of the standard piston, mm, above 0
/// oversizes         the steps there are, mm, strictly rising, above 0
/// clearance         piston to bore, mm, at least 0
/// hone_allowance    left for the hone, mm, at least 0
/// clean_up          off the diameter beyond just clean, mm, at least 0
/// damage_depth      depth of scores on radius, mm, one or one a cylinder; none: 0
/// wear_side         "even" or "one side"
/// current_oversize  the step the block has now, mm, at least 0
/// largest_bore      greatest finished bore that the casting bears, mm; none: no limit
/// uncertainty       standard (k = 1), of one reading, mm
///
/// Source: geometry; allowances are common practice, no source.
///
/// >>> plan = ew.cylinders.oversize_plan([[[86.08, 86.05]], [[86.02, 86.02]]],
/// ...     piston_standard=85.96, oversizes=[0.25, 0.50, 1.00], clearance=0.04,
/// ...     hone_allowance=0.06, clean_up=0.05)
/// >>> plan.next
/// 'bore both to 86.190 mm, hone to 86.250 mm (0.250 over), cylinder 1 decides, 0.060 mm to spare'
OversizePlan oversize_plan(std::span<const Grid> readings, double piston_standard,
                           std::span<const double> oversizes, double clearance,
                           double hone_allowance = 0.0, double clean_up = 0.0,
                           const std::optional<OneOrEach>& damage_depth = std::nullopt,
                           WearSide wear_side = WearSide::even, double current_oversize = 0.0,
                           std::optional<double> largest_bore = std::nullopt,
                           double uncertainty = 0.0);

/// The sizes that bores are bored and honed to for the pistons in the box.
///
/// Lists have one entry a cylinder, in the order of the pistons; `stock` is empty without bores.
struct FinishBores {
    std::vector<double> finish_bore{};
    std::vector<double> bored_size{};
    std::vector<double> stock{};
    std::vector<int> too_large{};
    FinishStatus status = FinishStatus::possible;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using F = FinishBores;
        return std::tuple{
            Field{"finish_bore", "mm", &F::finish_bore, "size to hone each to"},
            Field{"bored_size", "mm", &F::bored_size, "size to bore each to"},
            Field{"stock", "mm", &F::stock, "finished size less the bore as it is"},
            Field{"too_large", "", &F::too_large, "bores that are larger than their finished size"},
            Field{"status", "", &F::status, "what the bores need"},
            Field{"reason", "", &F::reason, "why, when they are not simply bored and honed"},
            Field{"next", "", &F::next, "what to bore and hone to"},
        };
    }
    bool operator==(const FinishBores&) const = default;
};
static_assert(lists_every_member<FinishBores>);

/// Finished and bored sizes from the pistons as they measure, not as their box is marked.
///
///     finish_bore = piston + clearance
///     bored_size = finish_bore - hone_allowance
///     stock = finish_bore - bore
///
/// Status: "bore too large" where a bore is above its finished size; "hone only" where one is above
/// its bored size; "possible"; "unchecked" without bores.
///
/// pistons         measured diameters, cylinder by cylinder, mm, each above 0
/// clearance       piston to bore, mm, at least 0
/// bores           greatest reading of each bore, mm; none: not checked
/// hone_allowance  left for the hone, mm, at least 0
///
/// >>> ew.cylinders.finish_bores([86.21], 0.04, bores=[86.00], hone_allowance=0.05).next
/// 'cylinder 1: bore to 86.200 mm, hone to 86.250 mm'
FinishBores finish_bores(std::span<const double> pistons, double clearance,
                         const std::optional<std::vector<double>>& bores = std::nullopt,
                         double hone_allowance = 0.0);

}  // namespace enginewright::cylinders
