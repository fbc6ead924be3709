#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <tuple>
#include <variant>
#include <vector>

#include "enginewright/measure.hpp"
#include "enginewright/record.hpp"

/// Piston rings: end gaps, the clearances of a ring in its groove, and which ring goes where.
///
/// Lengths mm, areas mm², temperatures °C, expansions 1/K; parts are measured at 20 °C. An end gap
/// is read with the ring pushed square down the bore, at the smallest place that the ring passes.
namespace enginewright::rings {

/// Rings by bores: the gap of each ring tried in each bore, mm.
using Grid = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// One gap a ring, all read in one bore; or a gap for each ring in each bore.
using GapReadings = std::variant<std::vector<double>, Grid>;

/// One figure for all, or one for each.
using OneOrEach = std::variant<double, std::vector<double>>;

/// End gap of a ring carried from one bore to another, mm.
///
/// The ring keeps its own length while the bore's circumference changes:
///
///     gap_new = gap + pi * (bore_new - bore)
///
/// A negative answer means that the ends overlap by that much: the ring must be filed.
///
/// gap       end gap, ring square in `bore`, mm; any finite number
/// bore      diameter the gap was read in, mm, above 0
/// bore_new  diameter the ring will run in, mm, above 0
///
/// Source: circumference of a circle; at the bench, "three and a bit of gap for one of bore".
///
/// >>> round(ew.rings.gap_at_bore(0.30, bore=86.00, bore_new=86.25), 4)
/// 1.0854
double gap_at_bore(double gap, double bore, double bore_new);

/// End gap at 20 °C whose ends just touch when ring and bore are hot, mm.
///
/// The floor below which no gap may go, not a gap to fit. With a and T of ring (r) and bore (b):
///
///     gap = max(0, pi * bore * (1 - (1 + a_b (T_b - 20)) / (1 + a_r (T_r - 20))))
///
/// It is 0 where the wall opens more than the ring grows.
///
/// bore              diameter at 20 °C, mm, above 0
/// ring_temperature  °C, above -273.15
/// bore_temperature  °C, above -273.15
/// ring_expansion    of the ring's iron or steel, 1/K, 0 to 0.001
/// bore_expansion    of the block or liner, 1/K, 0 to 0.001
///
/// Source: linear expansion of the ring's length and of the bore's circumference.
///
/// >>> round(ew.rings.thermal_gap(86, 220, 120, ring_expansion=11.4e-6, bore_expansion=11.4e-6), 3)
/// 0.307
double thermal_gap(double bore, double ring_temperature, double bore_temperature,
                   double ring_expansion, double bore_expansion);

/// End gap left when ring and bore are hot, mm; negative when the ends butt by that much.
///
///     hot = pi * bore * (1 + a_b (T_b - 20)) - (pi * bore - cold_gap) * (1 + a_r (T_r - 20))
///
/// bore              diameter at 20 °C, mm, above 0
/// cold_gap          end gap at 20 °C, mm, below the bore's circumference
/// ring_temperature  °C, above -273.15
/// bore_temperature  °C, above -273.15
/// ring_expansion    1/K, 0 to 0.001
/// bore_expansion    1/K, 0 to 0.001
///
/// Source: linear expansion of the ring's length and of the bore's circumference.
///
/// >>> hot = ew.rings.hot_gap(86, 0.30, 220, 120, ring_expansion=11.4e-6, bore_expansion=21.5e-6)
/// >>> round(hot, 3)
/// 0.266
double hot_gap(double bore, double cold_gap, double ring_temperature, double bore_temperature,
               double ring_expansion, double bore_expansion);

/// How a figure came to be known, said beside every rule.
enum class Provenance { published, common_practice, from_memory, measured_here };

/// Which half of a gap rule gave the gap: so much for each mm of bore, or its least gap.
enum class DecidedBy { bore, least };

/// What came of a plan of rings and bores.
enum class GapStatus { planned, ring_too_large, not_enough_rings };

}  // namespace enginewright::rings

namespace enginewright {
template <>
inline constexpr Words<4> words<rings::Provenance>{
    "provenance", {"published", "common practice", "from memory", "measured here"}};
template <>
inline constexpr Words<2> words<rings::DecidedBy>{"decided_by", {"bore", "least"}};
template <>
inline constexpr Words<3> words<rings::GapStatus>{
    "status", {"planned", "ring too large", "not enough rings"}};
}  // namespace enginewright

namespace enginewright::rings {

/// A rule of the trade for an end gap: so much for each mm of bore, but never under a least.
///
///     gap = max(per_bore * bore, least)
///
/// The shop makes its own and passes them to `gap_by_rule`.
///
/// duty        what the engine is for, any words, not empty
/// position    which ring, any words, not empty
/// per_bore    gap for 1 mm of bore (the same figure in inches), 0 to 0.05
/// least       mm, at least 0; not 0 together with per_bore
/// provenance  "published", "common practice", "from memory" or "measured here"
/// source      where it stands: sheet, book, own trials
///
/// >>> mine = ew.rings.GapRule("hill climb", "top", 0.0058, provenance="measured here")
/// >>> ew.rings.gap_by_rule(86.0, "top", "hill climb", rules=[mine]).provenance
/// 'measured here'
struct GapRule {
    std::string duty{};
    std::string position{};
    double per_bore = 0;
    double least = 0;
    Provenance provenance = Provenance::common_practice;
    std::string source{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"duty", "", &GapRule::duty, "what the engine is for"},
            Field{"position", "", &GapRule::position, "which ring"},
            Field{"per_bore", "", &GapRule::per_bore, "gap for each mm of bore"},
            Field{"least", "mm", &GapRule::least, "the gap is never smaller"},
            Field{"provenance", "", &GapRule::provenance, "how the rule came to be known"},
            Field{"source", "", &GapRule::source, "where the rule stands"},
        };
    }
    bool operator==(const GapRule&) const = default;
};
static_assert(lists_every_member<GapRule>);

/// Refuses a rule that cannot be: empty words, figures out of range, no figure at all.
///
/// Throws std::invalid_argument.
void require_rule(const GapRule& rule);

/// The rules that come with the library: six duties, each for top ring, second ring and oil rail.
///
/// Starting points for petrol engines where the piston or ring maker gives nothing. The second ring
/// is wider than the top one in each duty, so that no pressure is trapped between the two.
///
/// Source: common practice, no source.
///
/// >>> len(ew.rings.gap_rules())
/// 18
std::vector<GapRule> gap_rules();

/// An end gap by a rule of the trade, with the rule that gave it.
struct RuleGap {
    double gap = 0;
    std::string duty{};
    std::string position{};
    double per_bore = 0;
    double least = 0;
    DecidedBy decided_by = DecidedBy::bore;
    Provenance provenance = Provenance::common_practice;
    std::string source{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"gap", "mm", &RuleGap::gap, "least end gap to fit"},
            Field{"duty", "", &RuleGap::duty, "what the engine is for"},
            Field{"position", "", &RuleGap::position, "which ring"},
            Field{"per_bore", "", &RuleGap::per_bore, "gap for each mm of bore"},
            Field{"least", "mm", &RuleGap::least, "the gap is never smaller"},
            Field{"decided_by", "", &RuleGap::decided_by, "the half of the rule that counts here"},
            Field{"provenance", "", &RuleGap::provenance, "how the rule came to be known"},
            Field{"source", "", &RuleGap::source, "where the rule stands"},
        };
    }
    bool operator==(const RuleGap&) const = default;
};
static_assert(lists_every_member<RuleGap>);

/// End gap for a bore by a rule of the trade.
///
/// The first rule with this duty and position counts, so `[mine, *gap_rules()]` puts the shop's own
/// rules before the shipped ones. `decided_by` is "bore" when the bore's share is at least `least`.
///
/// bore      finished diameter, mm, above 0
/// position  "top", "second", "oil rail", or as the rules have it
/// duty      "road, naturally aspirated" and so on, or as the rules have it
/// rules     the rules that count; none given: the shipped ones
///
/// Throws std::invalid_argument, with the words there are: no rules, a duty that nobody has, a
///     position that the duty has not.
///
/// Source: common practice, no source.
///
/// >>> round(ew.rings.gap_by_rule(86.0, "top", "road, naturally aspirated").gap, 3)
/// 0.344
RuleGap gap_by_rule(double bore, std::string_view position, std::string_view duty,
                    const std::optional<std::vector<GapRule>>& rules = std::nullopt);

/// Side clearance of a ring in its groove, mm; negative when it does not go in.
///
///     side_clearance = groove_width - ring_width
///
/// groove_width  axial width of the groove, mm, above 0
/// ring_width    axial width of the ring, mm, above 0
///
/// >>> round(ew.rings.side_clearance(1.53, 1.49), 3)
/// 0.04
double side_clearance(double groove_width, double ring_width);

/// Clearance behind a ring that is flush with the wall, mm; negative when it stands proud.
///
///     back_clearance = (bore - groove_root_diameter) / 2 - radial_thickness
///
/// A ring that stands proud of its groove seizes.
///
/// bore                  mm, above 0
/// groove_root_diameter  of the piston at the bottom of the groove, mm, below the bore
/// radial_thickness      of the ring, mm, above 0
///
/// >>> round(ew.rings.back_clearance(86.0, 77.4, 3.75), 3)
/// 0.55
double back_clearance(double bore, double groove_root_diameter, double radial_thickness);

/// How the second ring's gap stands to the top ring's.
struct SecondRing {
    double difference = 0;
    double ratio = 0;
    double least_difference = 0;
    Standing verdict = Standing::unlimited;
    double file_second = 0;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"difference", "mm", &SecondRing::difference, "second gap less top gap"},
            Field{"ratio", "", &SecondRing::ratio, "second gap over top gap"},
            Field{"least_difference", "mm", &SecondRing::least_difference, "wanted at least"},
            Field{"verdict", "", &SecondRing::verdict, "where the difference stands"},
            Field{"file_second", "mm", &SecondRing::file_second, "to file off the second ring"},
            Field{"reason", "", &SecondRing::reason, "why, when it is not within"},
            Field{"next", "", &SecondRing::next, "what to do next"},
        };
    }
    bool operator==(const SecondRing&) const = default;
};
static_assert(lists_every_member<SecondRing>);

/// Whether the second ring's gap is wide enough beside the top ring's.
///
/// A second ring that is tighter than the top one holds pressure between the two and lifts the top
/// ring off its groove.
///
///     difference = second_gap - top_gap
///     file_second = max(0, least_difference - difference), and 0 when the verdict is "within"
///
/// top_gap           end gap of the top ring, mm, above 0
/// second_gap        end gap of the second ring, same bore, mm, at least 0
/// least_difference  wanted at least, mm, at least 0
/// uncertainty       standard (k = 1), of each gap, mm; the difference carries root 2 of it
///
/// Source: two thou of difference: common practice, no source.
///
/// >>> ew.rings.second_ring(0.40, 0.42).next
/// 'file 0.030 mm off the ends of the second ring'
SecondRing second_ring(double top_gap, double second_gap, double least_difference = 0.05,
                       double uncertainty = 0.0);

/// Judges a record again with the doubt of each of its figures: for readings that carry it.
void judge_again(SecondRing& found, std::span<const measure::FieldDoubt> doubts);

/// Openings at the ring gaps, one behind the other.
struct LeakArea {
    std::vector<double> areas{};
    double series_area = 0;
    double equivalent_diameter = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"areas", "mm²", &LeakArea::areas, "opening at each ring's gap"},
            Field{"series_area", "mm²", &LeakArea::series_area, "one opening that leaks as all do"},
            Field{"equivalent_diameter", "mm", &LeakArea::equivalent_diameter,
                  "round hole of that area"},
        };
    }
    bool operator==(const LeakArea&) const = default;
};
static_assert(lists_every_member<LeakArea>);

/// The opening that a piston's ring gaps leave, for comparing builds.
///
///     area_i = gap_i * (bore - land_i) / 2
///     series_area = 1 / sqrt(sum of 1 / area_i²), 0 when any is 0
///     equivalent_diameter = sqrt(4 * series_area / pi)
///
/// It is no flow: the gaps are cold ones, and choking is left out.
///
/// gaps           end gaps, top ring first, mm, each at least 0
/// bore           mm, above 0
/// land_diameter  piston diameter at the lands, one or one a gap, mm, below the bore
///
/// Source: orifices in series, squares of pressure drops add.
///
/// >>> round(ew.rings.leak_area([0.40, 0.50], 86.0, [85.4, 85.5]).series_area, 4)
/// 0.0866
LeakArea leak_area(std::span<const double> gaps, double bore, const OneOrEach& land_diameter);

/// Which ring goes into which bore, and how much comes off its ends.
struct GapPlan {
    std::vector<int> rings{};
    std::vector<double> gaps{};
    std::vector<double> filing{};
    std::vector<double> finished{};
    std::optional<double> total_filing{};
    std::vector<int> too_large{};
    std::vector<int> spare{};
    double target = 0;
    std::optional<double> upper{};
    GapStatus status = GapStatus::planned;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"rings", "", &GapPlan::rings, "the ring of each bore"},
            Field{"gaps", "mm", &GapPlan::gaps, "its gap in that bore, as it comes"},
            Field{"filing", "mm", &GapPlan::filing, "to file off its ends"},
            Field{"finished", "mm", &GapPlan::finished, "its gap when filed"},
            Field{"total_filing", "mm", &GapPlan::total_filing, "filing of all rings"},
            Field{"too_large", "", &GapPlan::too_large, "bores whose gap is above the upper limit"},
            Field{"spare", "", &GapPlan::spare, "rings left over"},
            Field{"target", "mm", &GapPlan::target, "gap to file to"},
            Field{"upper", "mm", &GapPlan::upper, "largest gap allowed"},
            Field{"status", "", &GapPlan::status, "whether every bore has a ring that fits"},
            Field{"reason", "", &GapPlan::reason, "why not, when not"},
            Field{"next", "", &GapPlan::next, "what to file and fit"},
        };
    }
    bool operator==(const GapPlan&) const = default;
};
static_assert(lists_every_member<GapPlan>);

/// Which ring to fit in which bore, for rings of one position.
///
/// Metal can be filed off a ring's ends but not put on, so the choice comes first. Best is, in this
/// order: fewest gaps above `upper`; least filing in all; least gap over the target in all (which
/// ring stays over when there are spares); then the list `rings` that comes first in dictionary
/// order. The choice is exact; gaps that differ by less than 1e-9 mm count as equal.
///
/// With one gap a ring, all read in one bore, the gap in another follows as in `gap_at_bore`. A gap
/// may be negative: the ends overlap. With fewer rings than bores nothing is assigned.
///
/// gaps            one a ring, read in `reference_bore`; or rings by bores, each tried in each, mm
/// target          gap to file to, mm, above 0
/// upper           largest gap allowed, mm, at least `target`; none: no limit
/// bores           finished diameters, mm; just with one gap a ring
/// reference_bore  ring gauge or cylinder that the gaps were read in, mm; just with one gap a ring
///
/// >>> plan = ew.rings.gap_plan([0.30, 0.45, 0.38], target=0.35, bores=[86.00, 86.00, 86.00],
/// ...                          reference_bore=86.00)
/// >>> plan.rings, round(plan.total_filing, 3)
/// ((0, 1, 2), 0.05)
/// >>> plan.next
/// 'file 0.050 mm off ring 1 for cylinder 1; the others go in as they are'
GapPlan gap_plan(const GapReadings& gaps, double target, std::optional<double> upper = std::nullopt,
                 const std::optional<std::vector<double>>& bores = std::nullopt,
                 std::optional<double> reference_bore = std::nullopt);

}  // namespace enginewright::rings
