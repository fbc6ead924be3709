#include "enginewright/rings.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>

#include "numerics/assignment.hpp"
#include "wording.hpp"

namespace enginewright::rings {

using std::numbers::pi;
using std::numbers::sqrt2;
using wording::mm;
using wording::part;

namespace {

constexpr double slack = 1e-9;

void require_temperature(std::string_view name, double value)
{
    require_finite(name, value);
    if (value <= -273.15) {
        refuse(name, "above -273.15 °C", value);
    }
    // Nothing solid is left far below this; without a bound the growth would overflow.
    require_at_most(name, value, 10000.0, "°C");
}

void require_expansion(std::string_view name, double value)
{
    require_between(name, value, 0.0, 0.001, "1/K");
}

double growth(double expansion, double temperature) { return 1 + expansion * (temperature - 20); }

void require_hot_ring(double bore, double ring_temperature, double bore_temperature,
                      double ring_expansion, double bore_expansion)
{
    require_size("bore", bore);
    require_temperature("ring_temperature", ring_temperature);
    require_temperature("bore_temperature", bore_temperature);
    require_expansion("ring_expansion", ring_expansion);
    require_expansion("bore_expansion", bore_expansion);
}

}  // namespace

double gap_at_bore(double gap, double bore, double bore_new)
{
    require_length("gap", gap);
    require_size("bore", bore);
    require_size("bore_new", bore_new);
    return gap + pi * (bore_new - bore);
}

double thermal_gap(double bore, double ring_temperature, double bore_temperature,
                   double ring_expansion, double bore_expansion)
{
    require_hot_ring(bore, ring_temperature, bore_temperature, ring_expansion, bore_expansion);
    return std::max(0.0, pi * bore *
                             (1 - growth(bore_expansion, bore_temperature) /
                                      growth(ring_expansion, ring_temperature)));
}

double hot_gap(double bore, double cold_gap, double ring_temperature, double bore_temperature,
               double ring_expansion, double bore_expansion)
{
    require_hot_ring(bore, ring_temperature, bore_temperature, ring_expansion, bore_expansion);
    require_length("cold_gap", cold_gap);
    require_below("cold_gap", cold_gap, pi * bore, "mm");
    return pi * bore * growth(bore_expansion, bore_temperature) -
           (pi * bore - cold_gap) * growth(ring_expansion, ring_temperature);
}

namespace {

struct DutyRule {
    std::string_view duty;
    double top;
    double second;
};

// Common practice, no source: gap for each mm of bore.
constexpr std::array<DutyRule, 6> shipped{{
    {"road, naturally aspirated", 0.0040, 0.0045},
    {"warm road, naturally aspirated", 0.0045, 0.0050},
    {"competition, naturally aspirated", 0.0055, 0.0060},
    {"road, supercharged", 0.0050, 0.0055},
    {"competition, supercharged", 0.0065, 0.0070},
    {"competition, nitrous oxide", 0.0070, 0.0075},
}};

// Common practice, no source: fifteen thou for the rails of an oil ring, rounded as sheets print
// it.
constexpr double oil_rail_least = 0.38;

constexpr std::string_view shipped_source =
    "rule of thumb for petrol engines; the piston and ring maker's figure goes before it";

/// The words of a list, each once, in the order they come; quoted where one holds a comma itself.
std::string told_apart(const std::vector<std::string>& list)
{
    std::vector<std::string> once;
    bool quote = false;
    for (const auto& each : list) {
        if (std::find(once.begin(), once.end(), each) == once.end()) {
            once.push_back(each);
            quote = quote || each.find(',') != std::string::npos;
        }
    }
    if (quote) {
        for (auto& each : once) {
            each = "'" + each + "'";
        }
    }
    return wording::joined(once, ", ");
}

const GapRule& find_rule(std::string_view position, std::string_view duty,
                         const std::vector<GapRule>& rules)
{
    std::vector<std::string> duties;
    std::vector<std::string> positions;
    for (const auto& rule : rules) {
        duties.push_back(rule.duty);
        if (rule.duty != duty) {
            continue;
        }
        if (rule.position == position) {
            return rule;
        }
        positions.push_back(rule.position);
    }
    if (positions.empty()) {
        refuse_word("duty", told_apart(duties), duty);
    }
    refuse_word("position", told_apart(positions), position);
}

}  // namespace

void require_rule(const GapRule& rule)
{
    if (rule.duty.empty()) {
        refuse_all("duty", "hold a word, got ''");
    }
    if (rule.position.empty()) {
        refuse_all("position", "hold a word, got ''");
    }
    require_between("per_bore", rule.per_bore, 0.0, 0.05);
    require_length_at_least_zero("least", rule.least);
    if (rule.per_bore == 0 && rule.least == 0) {
        refuse("per_bore", "above 0 where least is 0 mm", rule.per_bore);
    }
}

std::vector<GapRule> gap_rules()
{
    std::vector<GapRule> rules;
    for (const auto& [duty, top, second] : shipped) {
        const std::string name(duty);
        const auto add = [&](const char* position, double per_bore, double least) {
            rules.push_back({.duty = name,
                             .position = position,
                             .per_bore = per_bore,
                             .least = least,
                             .provenance = Provenance::common_practice,
                             .source = std::string(shipped_source)});
        };
        add("top", top, 0.0);
        add("second", second, 0.0);
        add("oil rail", 0.0, oil_rail_least);
    }
    return rules;
}

RuleGap gap_by_rule(double bore, std::string_view position, std::string_view duty,
                    const std::optional<std::vector<GapRule>>& rules)
{
    require_size("bore", bore);
    static const std::vector<GapRule> standard = gap_rules();
    const auto& those = rules ? *rules : standard;
    if (those.empty()) {
        refuse_all("rules", "hold at least 1 rule, got 0");
    }
    const GapRule& rule = find_rule(position, duty, those);
    require_rule(rule);
    const double by_bore = rule.per_bore * bore;
    const bool bore_decides = by_bore >= rule.least;
    return {.gap = bore_decides ? by_bore : rule.least,
            .duty = rule.duty,
            .position = rule.position,
            .per_bore = rule.per_bore,
            .least = rule.least,
            .decided_by = bore_decides ? DecidedBy::bore : DecidedBy::least,
            .provenance = rule.provenance,
            .source = rule.source};
}

double side_clearance(double groove_width, double ring_width)
{
    require_size("groove_width", groove_width);
    require_size("ring_width", ring_width);
    return groove_width - ring_width;
}

double back_clearance(double bore, double groove_root_diameter, double radial_thickness)
{
    require_size("bore", bore);
    require_size("groove_root_diameter", groove_root_diameter);
    require_below("groove_root_diameter", groove_root_diameter, bore, "mm");
    require_size("radial_thickness", radial_thickness);
    return (bore - groove_root_diameter) / 2 - radial_thickness;
}

namespace {

/// Verdict and words from the figures that stand in the record already.
void judge_second(SecondRing& found, double uncertainty, double degrees_of_freedom)
{
    const auto judged = measure::judge(found.difference, uncertainty, degrees_of_freedom,
                                       found.least_difference, std::nullopt);
    found.verdict = judged.verdict;
    found.reason.clear();
    found.next.clear();
    if (judged.verdict == Standing::within) {
        found.file_second = 0;
        return;
    }
    found.file_second = std::max(0.0, found.least_difference - found.difference);
    found.reason = "the second gap is " + mm(std::abs(found.difference)) +
                   (found.difference < 0 ? " smaller than" : " larger than") + " the top one, " +
                   mm(found.least_difference) + " larger is wanted";
    if (judged.verdict == Standing::unproven) {
        found.reason += ", not proven with ±" + mm(judged.expanded);
        found.next = "measure both gaps again";
    } else {
        found.next = "file " + mm(found.file_second) + " off the ends of the second ring";
    }
}

}  // namespace

SecondRing second_ring(double top_gap, double second_gap, double least_difference,
                       double uncertainty)
{
    require_size("top_gap", top_gap);
    require_length_at_least_zero("second_gap", second_gap);
    require_length_at_least_zero("least_difference", least_difference);
    require_length_at_least_zero("uncertainty", uncertainty);
    SecondRing found{.difference = second_gap - top_gap,
                     .ratio = second_gap / top_gap,
                     .least_difference = least_difference};
    judge_second(found, sqrt2 * uncertainty, measure::infinite_freedom);
    return found;
}

void judge_again(SecondRing& found, std::span<const measure::FieldDoubt> doubts)
{
    const auto doubt = measure::doubt_of(doubts, "difference");
    judge_second(found, doubt.standard_uncertainty, doubt.degrees_of_freedom);
}

LeakArea leak_area(std::span<const double> gaps, double bore, const OneOrEach& land_diameter)
{
    require_readings("gaps", gaps, 1);
    require_size("bore", bore);
    const auto* each = std::get_if<std::vector<double>>(&land_diameter);
    if (each != nullptr && each->size() != gaps.size()) {
        refuse_all("land_diameter", "hold one diameter or " + std::to_string(gaps.size()) +
                                        ", one a gap, got " + std::to_string(each->size()));
    }
    LeakArea result;
    double resistance = 0;
    for (std::size_t i = 0; i < gaps.size(); ++i) {
        require_length_at_least_zero(element_name("gaps", i), gaps[i]);
        const double land = each != nullptr ? (*each)[i] : std::get<double>(land_diameter);
        const std::string name =
            each != nullptr ? element_name("land_diameter", i) : "land_diameter";
        require_size(name, land);
        require_below(name, land, bore, "mm");
        result.areas.push_back(gaps[i] * (bore - land) / 2);
        resistance += 1 / (result.areas.back() * result.areas.back());
    }
    result.series_area = 1 / std::sqrt(resistance);
    result.equivalent_diameter = std::sqrt(4 * result.series_area / pi);
    return result;
}

namespace {

void require_grid(const Grid& gaps)
{
    if (gaps.size() == 0) {
        refuse_all("gaps", "hold at least 1 ring and 1 bore, got " + std::to_string(gaps.rows()) +
                               " by " + std::to_string(gaps.cols()));
    }
    for (Eigen::Index i = 0; i < gaps.rows(); ++i) {
        for (Eigen::Index j = 0; j < gaps.cols(); ++j) {
            require_length(element_name(element_name("gaps", static_cast<std::size_t>(i)),
                                        static_cast<std::size_t>(j)),
                           gaps(i, j));
        }
    }
}

/// Gap of each ring in each bore from one reading a ring.
Grid carried_to_bores(const std::vector<double>& gaps,
                      const std::optional<std::vector<double>>& bores,
                      std::optional<double> reference_bore)
{
    require_readings("gaps", gaps, 1);
    if (!bores) {
        refuse_all("bores", "be given with one gap a ring, got None");
    }
    if (!reference_bore) {
        refuse_all("reference_bore", "be given with one gap a ring, got None");
    }
    require_readings("bores", *bores, 1);
    require_size("reference_bore", *reference_bore);
    for (std::size_t j = 0; j < bores->size(); ++j) {
        require_size(element_name("bores", j), (*bores)[j]);
    }
    Grid grid(static_cast<Eigen::Index>(gaps.size()), static_cast<Eigen::Index>(bores->size()));
    for (std::size_t i = 0; i < gaps.size(); ++i) {
        require_length(element_name("gaps", i), gaps[i]);
        for (std::size_t j = 0; j < bores->size(); ++j) {
            grid(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)) =
                gap_at_bore(gaps[i], *reference_bore, (*bores)[j]);
        }
    }
    return grid;
}

Grid gaps_in_bores(const GapReadings& gaps, const std::optional<std::vector<double>>& bores,
                   std::optional<double> reference_bore)
{
    if (const auto* one_each = std::get_if<std::vector<double>>(&gaps)) {
        return carried_to_bores(*one_each, bores, reference_bore);
    }
    if (bores) {
        refuse_all("bores", "be left out where each ring was tried in each bore, got " +
                                std::to_string(bores->size()) + " sizes");
    }
    if (reference_bore) {
        refuse_all("reference_bore", "be left out where each ring was tried in each bore, got " +
                                         number_text(*reference_bore));
    }
    const auto& grid = std::get<Grid>(gaps);
    require_grid(grid);
    return grid;
}

bool above(double gap, const std::optional<double>& upper) { return upper && gap > *upper + slack; }

/// The ring of each bore: fewest above the limit, least filing, least over the target.
std::vector<int> best_rings(const Grid& gaps, double target, const std::optional<double>& upper)
{
    const auto per_bore = gaps.transpose();
    std::vector<numerics::CostTable> wishes;
    if (upper) {
        wishes.emplace_back(
            per_bore.unaryExpr([&](double gap) { return above(gap, upper) ? 1.0 : 0.0; }));
    }
    wishes.emplace_back(
        per_bore.unaryExpr([&](double gap) { return std::max(0.0, target - gap); }));
    wishes.emplace_back(
        per_bore.unaryExpr([&](double gap) { return std::max(0.0, gap - target); }));
    const auto assigned = numerics::assign(wishes);
    return {assigned.columns.begin(), assigned.columns.end()};
}

/// "ring 2 for cylinder 1".
std::string pair_of(const GapPlan& plan, std::size_t bore, std::string_view between)
{
    return part("ring", plan.rings[bore]) + std::string(between) +
           part("cylinder", static_cast<int>(bore));
}

void say_what_is_too_large(GapPlan& plan)
{
    std::vector<std::string> gaps;
    for (const int bore : plan.too_large) {
        gaps.push_back(part("cylinder", bore) + " gets " +
                       mm(plan.gaps[static_cast<std::size_t>(bore)]));
    }
    plan.reason = wording::joined(gaps, ", ") + " at best, " + mm(*plan.upper) + " is allowed";
    plan.next = (plan.too_large.size() == 1 ? "find a ring with a smaller gap for "
                                            : "find rings with a smaller gap for ") +
                wording::parts("cylinder", plan.too_large);
}

void say_what_to_file(GapPlan& plan)
{
    std::vector<std::string> filed;
    std::vector<std::string> moved;
    bool others = false;
    for (std::size_t j = 0; j < plan.rings.size(); ++j) {
        if (plan.filing[j] > slack) {
            filed.push_back(mm(plan.filing[j]) + " off " + pair_of(plan, j, " for "));
            continue;
        }
        others = true;
        if (plan.rings[j] != static_cast<int>(j)) {
            moved.push_back(pair_of(plan, j, " in "));
        }
    }
    if (!filed.empty()) {
        plan.next = "file " + wording::joined(filed, ", ");
        if (others) {
            plan.next += "; the others go in as they are";
        }
    } else if (!moved.empty()) {
        plan.next = "fit the rings as they are";
    }
    // Which ring goes where needs no words while each stays in the cylinder of its own number.
    if (!moved.empty()) {
        plan.next += ": " + wording::joined(moved, ", ");
    }
}

}  // namespace

GapPlan gap_plan(const GapReadings& gaps, double target, std::optional<double> upper,
                 const std::optional<std::vector<double>>& bores,
                 std::optional<double> reference_bore)
{
    const Grid grid = gaps_in_bores(gaps, bores, reference_bore);
    require_size("target", target);
    require_ordered("target", target, "upper", upper, "mm");
    const auto rings = static_cast<std::size_t>(grid.rows());
    const auto cylinders = static_cast<std::size_t>(grid.cols());
    GapPlan plan{.target = target, .upper = upper};
    std::vector<bool> used(rings, false);
    if (rings < cylinders) {
        plan.status = GapStatus::not_enough_rings;
        const std::size_t missing = cylinders - rings;
        plan.reason = std::to_string(rings) + (rings == 1 ? " ring for " : " rings for ") +
                      std::to_string(cylinders) + " cylinders";
        plan.next = "find " + std::to_string(missing) + " more " +
                    (missing == 1 ? "ring" : "rings") + " of this position";
    } else {
        plan.rings = best_rings(grid, target, upper);
        plan.total_filing = 0.0;
        for (std::size_t j = 0; j < cylinders; ++j) {
            const double gap = grid(plan.rings[j], static_cast<Eigen::Index>(j));
            used[static_cast<std::size_t>(plan.rings[j])] = true;
            plan.gaps.push_back(gap);
            plan.filing.push_back(std::max(0.0, target - gap));
            plan.finished.push_back(gap + plan.filing.back());
            *plan.total_filing += plan.filing.back();
            if (above(gap, upper)) {
                plan.too_large.push_back(static_cast<int>(j));
            }
        }
    }
    for (std::size_t i = 0; i < rings; ++i) {
        if (!used[i]) {
            plan.spare.push_back(static_cast<int>(i));
        }
    }
    if (!plan.too_large.empty()) {
        plan.status = GapStatus::ring_too_large;
        say_what_is_too_large(plan);
    } else if (plan.status == GapStatus::planned) {
        say_what_to_file(plan);
    }
    return plan;
}

}  // namespace enginewright::rings
