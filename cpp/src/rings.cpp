#include "enginewright/rings.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "rings_formulas.hpp"
#include "wording.hpp"

namespace enginewright::rings {

using std::numbers::pi;
using std::numbers::sqrt2;
using wording::mm;

double gap_at_bore(double gap, double bore, double bore_new)
{
    return formula::gap_at_bore(gap, bore, bore_new);
}

double thermal_gap(double bore, double ring_temperature, double bore_temperature,
                   double ring_expansion, double bore_expansion)
{
    return formula::thermal_gap(bore, ring_temperature, bore_temperature, ring_expansion,
                                bore_expansion);
}

double hot_gap(double bore, double cold_gap, double ring_temperature, double bore_temperature,
               double ring_expansion, double bore_expansion)
{
    return formula::hot_gap(bore, cold_gap, ring_temperature, bore_temperature, ring_expansion,
                            bore_expansion);
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
            each.insert(each.begin(), '\'');
            each.push_back('\'');
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
    return formula::side_clearance(groove_width, ring_width);
}

double back_clearance(double bore, double groove_root_diameter, double radial_thickness)
{
    return formula::back_clearance(bore, groove_root_diameter, radial_thickness);
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
        // Rounded up: less would leave the gap too small.
        const double least = std::ceil(found.file_second * 1000 - 1e-6) / 1000;
        found.next = "file " + mm(least) + " off the ends of the second ring";
    }
}

}  // namespace

SecondRing second_ring(double top_gap, double second_gap, double least_difference,
                       double uncertainty)
{
    require_size("top_gap", top_gap);
    // Anything less is no gap, and the ratio would overflow.
    require_at_least("top_gap", top_gap, 1e-9, "mm");
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

}  // namespace enginewright::rings
