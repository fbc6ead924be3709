#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/record.hpp"

/// Bearing shells: which grades go where, and whether a shell sits as it should.
namespace enginewright::journals {

/// What came of choosing shells.
///
/// selected               every bearing has its clearance
/// not all within limits  the best choice leaves some bearing outside its limits
/// not enough shells      the shelf does not fill every bearing
enum class ShellStatus { selected, not_all_within, not_enough };

/// Whether a pair of shells is held by its housing.
///
/// seated    the halves stand proud and are pressed together
/// no crush  nothing presses them home
enum class CrushStatus { seated, no_crush };

/// Whether a free shell springs into its housing.
///
/// springs in         wider than the housing, as it should be
/// too little spread  wider, but by less than is wanted
/// no spread          it would fall out
enum class SpreadStatus { springs_in, too_little, none };

}  // namespace enginewright::journals

namespace enginewright {
template <>
inline constexpr Words<3> words<journals::ShellStatus>{
    "status", {"selected", "not all within limits", "not enough shells"}};
template <>
inline constexpr Words<2> words<journals::CrushStatus>{"status", {"seated", "no crush"}};
template <>
inline constexpr Words<3> words<journals::SpreadStatus>{
    "status", {"springs in", "too little spread", "no spread"}};
}  // namespace enginewright

namespace enginewright::journals {

/// Which shell halves go into which bearing.
///
/// `first`, `second` and `clearances` have one entry a bearing, `stock_left` and `to_order` one a
/// grade in the order of `grades`; with a second stock that of the first comes before it. Bearings
/// count from 0 in `outside` and from 1 in the sentences.
struct ShellSelection {
    std::vector<std::string> grades{};
    std::vector<std::string> first{};
    std::vector<std::string> second{};
    std::vector<double> clearances{};
    std::vector<int> outside{};
    std::optional<double> worst_deviation{};
    std::optional<double> total_deviation{};
    std::vector<int> stock_left{};
    std::vector<int> to_order{};
    bool optimal = true;
    ShellStatus status = ShellStatus::selected;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using S = ShellSelection;
        return std::tuple{
            Field{"grades", "", &S::grades, "the grades by wall, thinnest first"},
            Field{"first", "", &S::first, "grade of the first half of each bearing"},
            Field{"second", "", &S::second, "grade of the second half of each bearing"},
            Field{"clearances", "mm", &S::clearances, "clearance of each bearing"},
            Field{"outside", "", &S::outside, "bearings outside their limits"},
            Field{"worst_deviation", "mm", &S::worst_deviation, "greatest distance to the target"},
            Field{"total_deviation", "mm", &S::total_deviation, "sum of the distances"},
            Field{"stock_left", "", &S::stock_left, "halves left on the shelf"},
            Field{"to_order", "", &S::to_order, "halves that a full shelf would have given"},
            Field{"optimal", "", &S::optimal, "whether no choice is better"},
            Field{"status", "", &S::status, "what came of it"},
            Field{"reason", "", &S::reason, "why, when it is not simply selected"},
            Field{"next", "", &S::next, "which halves to take"},
        };
    }
    bool operator==(const ShellSelection&) const = default;
};
static_assert(lists_every_member<ShellSelection>);

/// The shell halves for a set of bearings from what lies on the shelf.
///
///     clearance = housing_bore - wall of first - wall of second - journal
///
/// A bearing takes two halves at most `grade_step` apart in the list of grades, the first never the
/// thicker. With `second_stock` (grooved uppers and plain lowers do not mix) the first comes from
/// stock and the second from second_stock, and either may be the thicker.
///
/// Wanted, in this order: fewest clearances outside their limits, least greatest distance to the
/// target, least sum of distances; among equals the lowest grades from bearing 1 on. Exact: the
/// search proves that no choice is better, unless `optimal` is False. `to_order` lists the halves
/// that the best choice from an endless shelf needs beyond this one.
///
/// housing_bores  cap bolted up, without shells, mm, one a bearing, at most 24
/// journals       diameters, mm, one a bearing
/// grades         name of each grade and its wall at the crown, mm
/// stock          name of each grade and its single halves on the shelf; left out: none
/// lower, upper   limits of the clearance, mm
/// target         clearance to aim at, mm, within the limits; none: their middle
/// grade_step     grades that two halves of one bearing may lie apart, at least 0
/// second_stock   halves for the second place; none: both come from `stock`
///
/// Source: exact search over the stock (a table walked place by place); derived.
///
/// >>> fitted = ew.journals.select_shells([53.720, 53.726], [50.790, 50.786],
/// ...     {"1": 1.440, "2": 1.445, "3": 1.450}, {"1": 2, "2": 2, "3": 2},
/// ...     lower=0.030, upper=0.050)
/// >>> fitted.first, fitted.second, fitted.stock_left
/// (('2', '3'), ('2', '3'), (2, 0, 0))
ShellSelection select_shells(
    std::span<const double> housing_bores, std::span<const double> journals,
    const std::map<std::string, double>& grades, const std::map<std::string, int>& stock,
    double lower, double upper, std::optional<double> target = std::nullopt, int grade_step = 1,
    const std::optional<std::map<std::string, int>>& second_stock = std::nullopt);

/// How firmly a pair of shells is pressed into its housing.
struct ShellCrush {
    double crush_per_shell = 0;
    double strain = 0;
    double hoop_stress = 0;
    double seating_pressure = 0;
    CrushStatus status = CrushStatus::seated;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using C = ShellCrush;
        return std::tuple{
            Field{"crush_per_shell", "mm", &C::crush_per_shell, "each half stands proud by"},
            Field{"strain", "", &C::strain, "the shells are squeezed by, round the circle"},
            Field{"hoop_stress", "MPa", &C::hoop_stress, "pressure along the shell"},
            Field{"seating_pressure", "MPa", &C::seating_pressure, "shell against housing"},
            Field{"status", "", &C::status, "whether the shells are held"},
            Field{"reason", "", &C::reason, "why, when they are not"},
            Field{"next", "", &C::next, "what to do next"},
        };
    }
    bool operator==(const ShellCrush&) const = default;
};
static_assert(lists_every_member<ShellCrush>);

/// Crush of a pair of shells from the gap that one loosened side shows.
///
///     crush_per_shell = parting_gap / 2
///     strain = parting_gap / (π (housing_bore - wall))
///     hoop_stress = modulus * strain
///     seating_pressure = 2 * hoop_stress * wall / housing_bore
///
/// Tighten one side, leave the other finger tight and feel the gap at its parting line. Thin ring
/// in a rigid housing. Without crush the shell works, frets and turns.
///
/// parting_gap   at one parting line, the other side tight, mm, at least 0
/// housing_bore  mm, at least 0.001
/// wall          mm, above 0, less than half the housing bore
/// modulus       of the shell's back, MPa, above 0, at most 1e9
///
/// Source: thin-walled cylinder; derived.
///
/// >>> round(ew.journals.shell_crush(0.10, 53.72, 1.445).seating_pressure, 2)
/// 6.78
ShellCrush shell_crush(double parting_gap, double housing_bore, double wall,
                       double modulus = 207000.0);

/// Whether a free shell stays in its housing while the engine is put together.
struct ShellSpread {
    double spread = 0;
    SpreadStatus status = SpreadStatus::springs_in;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using S = ShellSpread;
        return std::tuple{
            Field{"spread", "mm", &S::spread, "free width less housing bore"},
            Field{"status", "", &S::status, "whether it springs in"},
            Field{"reason", "", &S::reason, "why, when it does not"},
            Field{"next", "", &S::next, "what to do next"},
        };
    }
    bool operator==(const ShellSpread&) const = default;
};
static_assert(lists_every_member<ShellSpread>);

/// Spread of a shell: how much wider it is, free, than its housing.
///
///     spread = free_width - housing_bore
///
/// A shell that has been hot loses its spread, falls out of the cap and leaves its back without
/// contact. A negative spread rejects it.
///
/// free_width    across the parting faces of the free half, mm, above 0
/// housing_bore  mm, above 0
/// least         least spread wanted, mm, at least 0
///
/// Source: definition; that a shell without spread is rejected is common practice, no source.
///
/// >>> ew.journals.shell_spread(53.70, 53.72).status
/// 'no spread'
ShellSpread shell_spread(double free_width, double housing_bore, double least = 0.0);

}  // namespace enginewright::journals
