#pragma once

#include <Eigen/Core>
#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <variant>
#include <vector>

#include "enginewright/journals/grinding.hpp"
#include "enginewright/journals/shells.hpp"
#include "enginewright/journals/straightness.hpp"
#include "enginewright/journals/thrust.hpp"
#include "enginewright/measure.hpp"
#include "enginewright/record.hpp"

/// Crankshaft journals: size and shape, the one undersize that cleans a whole set, clearances.
///
/// Lengths mm, on diameter unless it says radius. `uncertainty` is standard (k = 1), of one
/// reading, independent between readings; 0 = judged at face value, limits inclusive.
namespace enginewright::journals {

/// Diameters of one journal: a row a station, from the front; a column an axis.
using Grid = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// One figure for all journals, or one for each.
using OneOrEach = std::variant<double, std::vector<double>>;

/// How the diameter runs along a journal.
///
/// unknown    read at one station only: nothing can be said
/// parallel   ends and middle agree within the noise of the readings
/// barrel     the middle is larger than the ends
/// hourglass  the middle is smaller than the ends
/// tapered    one end is larger than the other, and that is the greater effect
enum class Shape { unknown, parallel, barrel, hourglass, tapered };

/// The measure in which a range of undersizes is cut.
///
/// metric  quarters of a millimetre
/// inch    tens of thou
enum class System { metric, inch };

/// Where a journal has worn.
///
/// even      all round, or so little on one side that it does not matter
/// one side  on the flank that carries the load; the throw is to stay as it is
enum class WearSide { even, one_side };

/// What came of a regrinding plan.
///
/// regrind            one step cleans every journal
/// no undersize left  none of the steps listed does: build up, or another crank
enum class RegrindStatus { regrind, no_undersize_left };

}  // namespace enginewright::journals

namespace enginewright {
template <>
inline constexpr Words<5> words<journals::Shape>{
    "shape", {"unknown", "parallel", "barrel", "hourglass", "tapered"}};
template <>
inline constexpr Words<2> words<journals::System>{"system", {"metric", "inch"}};
template <>
inline constexpr Words<2> words<journals::WearSide>{"wear_side", {"even", "one side"}};
template <>
inline constexpr Words<2> words<journals::RegrindStatus>{"status",
                                                         {"regrind", "no undersize left"}};
}  // namespace enginewright

namespace enginewright::journals {

/// Size and shape of one journal, with a verdict on each.
///
/// Stations and axes count from 0 in the fields and from 1 in the sentences. A figure that the
/// readings cannot give is None.
struct JournalForm {
    double minimum = 0;
    double maximum = 0;
    double mean = 0;
    std::optional<double> ovality{};
    std::optional<int> ovality_station{};
    std::optional<double> taper{};
    std::optional<int> taper_axis{};
    std::optional<double> end_difference{};
    std::optional<double> barrel{};
    Shape shape = Shape::unknown;
    std::optional<double> wear{};
    Standing size_verdict = Standing::unlimited;
    Standing ovality_verdict = Standing::unlimited;
    Standing taper_verdict = Standing::unlimited;
    Standing verdict = Standing::unlimited;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using F = JournalForm;
        return std::tuple{
            Field{"minimum", "mm", &F::minimum, "smallest reading"},
            Field{"maximum", "mm", &F::maximum, "largest reading"},
            Field{"mean", "mm", &F::mean, "mean of all readings"},
            Field{"ovality", "mm", &F::ovality, "greatest range over the axes of a station"},
            Field{"ovality_station", "", &F::ovality_station, "the station that has it"},
            Field{"taper", "mm", &F::taper, "greatest range over the stations of an axis"},
            Field{"taper_axis", "", &F::taper_axis, "the axis that has it"},
            Field{"end_difference", "mm", &F::end_difference,
                  "last station's mean less the first's"},
            Field{"barrel", "mm", &F::barrel, "mean of the inner stations less that of the ends"},
            Field{"shape", "", &F::shape, "how the diameter runs along it"},
            Field{"wear", "mm", &F::wear, "size last finished to less the smallest reading"},
            Field{"size_verdict", "", &F::size_verdict, "smallest and largest against the limits"},
            Field{"ovality_verdict", "", &F::ovality_verdict, "ovality against its limit"},
            Field{"taper_verdict", "", &F::taper_verdict, "taper against its limit"},
            Field{"verdict", "", &F::verdict, "the worst of the three"},
            Field{"reason", "", &F::reason, "why, when it is not within"},
            Field{"next", "", &F::next, "what to do next"},
        };
    }
    bool operator==(const JournalForm&) const = default;
};
static_assert(lists_every_member<JournalForm>);

/// Size and shape of one journal from diameters at stations and axes.
///
///     ovality = greatest over the stations of (greatest - least over the axes)
///     taper = greatest over the axes of (greatest - least over the stations)
///     end_difference = mean of the last station - mean of the first
///     barrel = mean of the inner stations' means - mean of the two end means
///     wear = current_size - minimum
///
/// Ovality needs two axes, taper two stations, barrel three, evenly spaced. A limit whose figure
/// cannot be formed is "unproven" and `next` says what to measure.
///
/// Shape: "parallel" while end_difference and barrel stay within noise = max(0.002, 2 u); else
/// "barrel" (positive) or "hourglass" where the barrel is the greater of the two, else "tapered".
///
/// Noise makes ovality and taper read high, never low. Two-point readings do not see three lobes.
///
/// readings       stations, from the front, by axes; mm, each above 0
/// lower, upper   limits of size, mm; none: no limit
/// ovality_limit  mm, at least 0; none: no limit
/// taper_limit    mm, at least 0; none: no limit
/// current_size   top of the band the journal was last finished to, mm; none: no wear
/// uncertainty    standard (k = 1), of one reading, mm; a difference carries root 2 of it
///
/// Source: definitions; the noise floor of 2 µm is common practice, no source.
///
/// >>> found = ew.journals.form([[50.762, 50.771], [50.755, 50.768], [50.764, 50.772]],
/// ...                          ovality_limit=0.010)
/// >>> round(found.ovality, 3), found.ovality_station, found.shape, found.verdict
/// (0.013, 1, 'hourglass', 'outside')
JournalForm form(const Grid& readings, std::optional<double> lower = std::nullopt,
                 std::optional<double> upper = std::nullopt,
                 std::optional<double> ovality_limit = std::nullopt,
                 std::optional<double> taper_limit = std::nullopt,
                 std::optional<double> current_size = std::nullopt, double uncertainty = 0.0);

/// A journal's form with the doubt of each figure.
struct DoubtfulForm {
    JournalForm form{};
    measure::Quantity minimum{};
    measure::Quantity maximum{};
    measure::Quantity mean{};
    std::optional<measure::Quantity> ovality{};
    std::optional<measure::Quantity> taper{};
    std::optional<measure::Quantity> end_difference{};
    std::optional<measure::Quantity> barrel{};
    std::optional<measure::Quantity> wear{};
};

/// The same from readings that carry their doubt: an error that two readings share (a setting
/// ring) leaves ovality, taper and barrel by itself and stays whole in the size.
///
/// readings  row by row, `axes` to a station
/// sources   the table that the readings' sources stand in
DoubtfulForm form_with_doubt(std::span<const measure::Quantity> readings, std::size_t axes,
                             std::optional<double> lower = std::nullopt,
                             std::optional<double> upper = std::nullopt,
                             std::optional<double> ovality_limit = std::nullopt,
                             std::optional<double> taper_limit = std::nullopt,
                             const std::optional<measure::Quantity>& current_size = std::nullopt,
                             const measure::Sources& sources = measure::Sources::shared());

/// The usual six undersizes, mm: quarters of a millimetre, or ten to sixty thou.
///
/// system  "metric": 0.25 to 1.50 by 0.25; "inch": 0.254 to 1.524 by 0.254
///
/// Source: common practice, no source.
///
/// >>> ew.journals.undersizes("inch")
/// (0.254, 0.508, 0.762, 1.016, 1.27, 1.524)
std::array<double, 6> undersizes(System system = System::metric);

/// The one undersize for a set of journals, and what decides it.
///
/// Lists have one entry a journal, in the order given. Journals count from 0 in the fields and from
/// 1 in the sentences. Steps come back just as they were listed.
struct RegrindPlan {
    std::optional<double> undersize{};
    std::optional<double> target{};
    std::optional<double> finish_lower{};
    std::optional<double> finish_upper{};
    int governing = 0;
    std::vector<double> cleanup_diameters{};
    std::vector<double> margin{};
    std::vector<double> stock_least{};
    std::vector<double> stock_most{};
    std::vector<std::optional<double>> undersize_by_journal{};
    std::optional<double> undersize_without_governing{};
    std::optional<double> tight_undersize{};
    std::optional<double> tight_diameter{};
    int steps_left = 0;
    double remaining = 0;
    std::optional<double> case_left{};
    std::vector<std::string> warnings{};
    RegrindStatus status = RegrindStatus::regrind;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using P = RegrindPlan;
        return std::tuple{
            Field{"undersize", "mm", &P::undersize, "step that cleans every journal"},
            Field{"target", "mm", &P::target, "size to aim at"},
            Field{"finish_lower", "mm", &P::finish_lower, "least finished size"},
            Field{"finish_upper", "mm", &P::finish_upper, "greatest finished size"},
            Field{"governing", "", &P::governing, "the journal that decides"},
            Field{"cleanup_diameters", "mm", &P::cleanup_diameters, "size at which each is clean"},
            Field{"margin", "mm", &P::margin, "clean-up size less target: to spare, or missing"},
            Field{"stock_least", "mm", &P::stock_least, "smallest reading less target"},
            Field{"stock_most", "mm", &P::stock_most, "largest reading less target"},
            Field{"undersize_by_journal", "mm", &P::undersize_by_journal, "step for each alone"},
            Field{"undersize_without_governing", "mm", &P::undersize_without_governing,
                  "step for the rest: what building up the governing journal saves"},
            Field{"tight_undersize", "mm", &P::tight_undersize,
                  "smaller step that does when all are finished low in the band"},
            Field{"tight_diameter", "mm", &P::tight_diameter,
                  "greatest finished size with that step"},
            Field{"steps_left", "", &P::steps_left, "steps listed above the chosen one"},
            Field{"remaining", "mm", &P::remaining, "last step less the chosen one"},
            Field{"case_left", "mm", &P::case_left, "hard case left, on radius"},
            Field{"warnings", "", &P::warnings, "what to look at before the wheel starts"},
            Field{"status", "", &P::status, "whether a step is left"},
            Field{"reason", "", &P::reason, "what decides, and what would do with less"},
            Field{"next", "", &P::next, "what to grind to"},
        };
    }
    bool operator==(const RegrindPlan&) const = default;
};
static_assert(lists_every_member<RegrindPlan>);

/// The first undersize that cleans every journal of a set.
///
/// With D0 the greater of standard_upper - current_undersize and the journal's largest reading:
///
///     cleanup = minimum - 2 * damage_depth - grinding_allowance               ("even")
///     cleanup = 2 * minimum - D0 - 2 * damage_depth - grinding_allowance      ("one side")
///     target = standard_lower - undersize + aim * (standard_upper - standard_lower)
///
/// "one side" is a pin worn on one flank while the throw is kept: the worn side lies D0 - minimum
/// inside the old circle, so twice that comes off. The step is the first above current_undersize
/// whose target is at most every clean-up size. Whether to grind at all is `form`'s question.
///
/// `tight_undersize` is the first step whose finish_lower would still clean all, when that is not
/// the chosen one: it does if every journal is finished at tight_diameter or under. `case_left`
/// counts from the case of the new crank. With "no undersize left", margin is to the last step
/// allowed; the figures that need a step are None or empty.
///
/// Warnings, in this order: a journal larger than its last band allows (check the stamp); a step
/// through the case; a margin below 2 u (4 u on one side), which the gauge cannot prove.
///
/// readings            one grid a journal, shapes may differ
/// standard_lower      least size of the new journal, mm, above 0
/// standard_upper      greatest size of the new journal, mm
/// undersizes          the steps there are, mm, strictly rising, the last below standard_lower
/// grinding_allowance  off the diameter beyond just clean, mm, at least 0
/// aim                 where in the band to aim: 0 its lower end, 1 its upper
/// damage_depth        depth of scores on radius, mm, one or one a journal; none: 0
/// wear_side           "even" or "one side"
/// current_undersize   the step the crank has now, mm, at least 0
/// case_depth          hard case of the new crank, on radius, mm; none: not hardened
/// uncertainty         standard (k = 1), of one reading, mm
///
/// Source: geometry; aim and allowances are common practice, no source.
///
/// >>> plan = ew.journals.regrind_plan([[[50.70, 50.72]], [[50.79, 50.79]]], standard_lower=50.78,
/// ...     standard_upper=50.80, undersizes=ew.journals.undersizes(), grinding_allowance=0.05)
/// >>> plan.next
/// 'grind both to 50.530-50.550 mm (0.250 under), journal 1 decides, 0.110 mm to spare'
RegrindPlan regrind_plan(std::span<const Grid> readings, double standard_lower,
                         double standard_upper, std::span<const double> undersizes,
                         double grinding_allowance = 0.0, double aim = 0.5,
                         const std::optional<OneOrEach>& damage_depth = std::nullopt,
                         WearSide wear_side = WearSide::even, double current_undersize = 0.0,
                         std::optional<double> case_depth = std::nullopt, double uncertainty = 0.0);

/// Diametral clearance of a bearing from its parts, mm; negative: the shells pinch the journal.
///
///     clearance = housing_bore - wall - second_wall - journal
///
/// housing_bore  cap bolted up, without shells, mm, above 0
/// wall          thickness of a shell at its crown, mm, above 0
/// journal       diameter, mm, above 0
/// second_wall   of the other shell, mm; none: `wall` again
///
/// >>> round(ew.journals.bearing_clearance(53.72, 1.445, 50.79, 1.450), 3)
/// 0.035
double bearing_clearance(double housing_bore, double wall, double journal,
                         std::optional<double> second_wall = std::nullopt);

/// A bearing's clearance with its doubt and its verdict.
///
/// The three shares add up to 1 and say whose reading to repeat when the verdict is "unproven": it
/// does not pay to measure the journal again while the walls make most of the doubt.
struct ClearanceFinding {
    double clearance = 0;
    double uncertainty = 0;
    std::optional<double> lower{};
    std::optional<double> upper{};
    std::optional<double> margin{};
    double share_housing = 0;
    double share_walls = 0;
    double share_journal = 0;
    Standing verdict = Standing::unlimited;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using F = ClearanceFinding;
        return std::tuple{
            Field{"clearance", "mm", &F::clearance, "on diameter; negative: pinched"},
            Field{"uncertainty", "mm", &F::uncertainty, "standard (k = 1)"},
            Field{"lower", "mm", &F::lower, "lower limit"},
            Field{"upper", "mm", &F::upper, "upper limit"},
            Field{"margin", "mm", &F::margin, "distance to the nearer limit, + inside"},
            Field{"share_housing", "", &F::share_housing, "the housing's share of the variance"},
            Field{"share_walls", "", &F::share_walls, "the shells' share"},
            Field{"share_journal", "", &F::share_journal, "the journal's share"},
            Field{"verdict", "", &F::verdict, "where the clearance stands"},
            Field{"reason", "", &F::reason, "why, when it is not within"},
            Field{"next", "", &F::next, "what to do next"},
        };
    }
    bool operator==(const ClearanceFinding&) const = default;
};
static_assert(lists_every_member<ClearanceFinding>);

/// A bearing's clearance judged against its limits, with the doubt of every part.
///
///     u² = u_housing² + walls² + u_journal²
///
/// One wall read once and used for both halves carries one error twice: walls = 2 * u_wall. Two
/// walls that were both read: walls = hypot(u_wall, u_second_wall).
///
/// housing_bore              cap bolted up, without shells, mm, above 0
/// wall                      thickness of a shell at its crown, mm, above 0
/// journal                   diameter, mm, above 0
/// second_wall               of the other shell, mm; none: `wall` again
/// uncertainty_housing       standard (k = 1), mm
/// uncertainty_wall          standard (k = 1), mm
/// uncertainty_second_wall   standard (k = 1), mm, just with a second wall; none: as the first
/// uncertainty_journal       standard (k = 1), mm
/// lower, upper              limits of the clearance, mm; none: no limit
///
/// Source: JCGM 100:2008, 5.2.2: fully correlated inputs add linearly.
///
/// >>> found = ew.journals.judge_clearance(53.72, 1.445, 50.79, lower=0.025, upper=0.065,
/// ...     uncertainty_housing=0.004, uncertainty_wall=0.002, uncertainty_journal=0.003)
/// >>> round(found.clearance, 3), round(found.uncertainty, 4), found.verdict
/// (0.04, 0.0064, 'within')
ClearanceFinding judge_clearance(double housing_bore, double wall, double journal,
                                 std::optional<double> second_wall = std::nullopt,
                                 double uncertainty_housing = 0.0, double uncertainty_wall = 0.0,
                                 std::optional<double> uncertainty_second_wall = std::nullopt,
                                 double uncertainty_journal = 0.0,
                                 std::optional<double> lower = std::nullopt,
                                 std::optional<double> upper = std::nullopt);

/// A bearing's clearance with its sources of doubt.
struct DoubtfulClearance {
    ClearanceFinding finding{};
    measure::Quantity clearance{};
};

/// The same from parts that carry their doubt; what two of them share drops out or adds up.
///
/// A part's share is its covariance with the clearance over the clearance's variance: the shares
/// add up to 1, and one may be negative where parts share an error.
///
/// second_wall  none: `wall` again, with the same error
/// sources      the table that the parts' sources stand in
DoubtfulClearance judge_clearance_with_doubt(
    const measure::Quantity& housing_bore, const measure::Quantity& wall,
    const measure::Quantity& journal,
    const std::optional<measure::Quantity>& second_wall = std::nullopt,
    std::optional<double> lower = std::nullopt, std::optional<double> upper = std::nullopt,
    const measure::Sources& sources = measure::Sources::shared());

/// Limits of a bearing clearance by a rule of the trade.
struct ClearanceRule {
    double lower = 0;
    double upper = 0;
    std::string provenance{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"lower", "mm", &ClearanceRule::lower, "least clearance"},
            Field{"upper", "mm", &ClearanceRule::upper, "greatest clearance"},
            Field{"provenance", "", &ClearanceRule::provenance, "how the rule came to be known"},
        };
    }
    bool operator==(const ClearanceRule&) const = default;
};
static_assert(lists_every_member<ClearanceRule>);

/// Limits of the clearance as shares of the journal's diameter, where the maker gives nothing.
///
/// journal_diameter  mm, above 0
/// least_share       of the diameter, 0 to 1
/// greatest_share    of the diameter, least_share to 1
///
/// Source: three quarters of a thou to one thou for each inch: common practice, no source.
///
/// >>> round(ew.journals.clearance_by_rule(50.8).lower, 4)
/// 0.0381
ClearanceRule clearance_by_rule(double journal_diameter, double least_share = 0.00075,
                                double greatest_share = 0.0010);

}  // namespace enginewright::journals
