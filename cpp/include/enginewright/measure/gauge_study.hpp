#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "enginewright/record.hpp"

/// Studies of a gauge in the hands that use it: parts by people by repeats.
namespace enginewright::measure {

/// Whether a gauge is good enough for its task.
enum class Fitness { fit, marginal, unfit };

/// What is done with the interaction of parts and people.
///
/// "auto": kept when the F test shows it, else pooled with the repeatability; "keep" and "pool"
/// force it.
enum class Interaction { automatic, keep, pool };

}  // namespace enginewright::measure

namespace enginewright {
template <>
inline constexpr Words<3> words<measure::Fitness>{"status", {"fit", "marginal", "unfit"}};
template <>
inline constexpr Words<3> words<measure::Interaction>{"interaction", {"auto", "keep", "pool"}};
}  // namespace enginewright

namespace enginewright::measure {

/// One row of the analysis of variance.
struct StudyRow {
    std::string name{};
    int degrees_of_freedom = 0;
    double sum_of_squares = 0;
    double mean_square = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"name", "", &StudyRow::name, "what varies"},
            Field{"degrees_of_freedom", "", &StudyRow::degrees_of_freedom, "of this row"},
            Field{"sum_of_squares", "", &StudyRow::sum_of_squares, "of the differences"},
            Field{"mean_square", "", &StudyRow::mean_square, "sum over degrees of freedom"},
        };
    }
    bool operator==(const StudyRow&) const = default;
};
static_assert(lists_every_member<StudyRow>);

/// What a gauge, the people and the parts each add to the readings. Standard deviations.
///
/// - `repeatability` is one person's on one part; with the degrees of freedom of its row in `table`
///   it goes onto the gauge's card.
/// - `reproducibility` is what people add: `operator` and `interaction` together.
/// - `gauge` is repeatability and reproducibility together, `total` the gauge and the parts.
/// - `contribution` are shares of the total variance, which add up; `study` are shares of the total
///   deviation, which do not. Both by name.
/// - `tolerance_share` = 6 * gauge / tolerance; None without a tolerance.
/// - `categories` is how many sizes of part the gauge tells apart: floor(sqrt(2) * part / gauge);
///   None when the gauge showed no scatter at all.
///
/// Source: two-way random analysis of variance; D. C. Montgomery, Introduction to Statistical
/// Quality Control, gauge and measurement system capability; bounds 0.10 and 0.30 common practice.
struct GaugeStudy {
    Fitness status = Fitness::unfit;
    int parts = 0;
    int operators = 0;
    int repeats = 0;
    double repeatability = 0;
    double operator_ = 0;
    double interaction = 0;
    double reproducibility = 0;
    double gauge = 0;
    double part = 0;
    double total = 0;
    std::map<std::string, double> contribution{};
    std::map<std::string, double> study{};
    std::optional<double> tolerance_share{};
    std::optional<int> categories{};
    bool pooled = false;
    std::vector<StudyRow> table{};
    std::string reason{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"status", "", &GaugeStudy::status, "whether the gauge is good enough"},
            Field{"parts", "", &GaugeStudy::parts, "how many parts"},
            Field{"operators", "", &GaugeStudy::operators, "how many people"},
            Field{"repeats", "", &GaugeStudy::repeats, "how many readings each"},
            Field{"repeatability", "", &GaugeStudy::repeatability, "one person on one part"},
            Field{"operator", "", &GaugeStudy::operator_, "between people"},
            Field{"interaction", "", &GaugeStudy::interaction, "of people with parts"},
            Field{"reproducibility", "", &GaugeStudy::reproducibility, "all that people add"},
            Field{"gauge", "", &GaugeStudy::gauge, "all but the parts"},
            Field{"part", "", &GaugeStudy::part, "between parts"},
            Field{"total", "", &GaugeStudy::total, "gauge and parts together"},
            Field{"contribution", "", &GaugeStudy::contribution, "shares of the variance"},
            Field{"study", "", &GaugeStudy::study, "shares of the deviation"},
            Field{"tolerance_share", "", &GaugeStudy::tolerance_share, "6 gauge over tolerance"},
            Field{"categories", "", &GaugeStudy::categories, "sizes that it tells apart"},
            Field{"pooled", "", &GaugeStudy::pooled, "interaction counted as repeatability"},
            Field{"table", "", &GaugeStudy::table, "analysis of variance"},
            Field{"reason", "", &GaugeStudy::reason, "why, in one sentence"},
        };
    }
    bool operator==(const GaugeStudy&) const = default;
};
static_assert(lists_every_member<GaugeStudy>);

/// A crossed study of a gauge: every person measures every part the same number of times.
///
/// What goes wrong: a micrometer is called good because one man repeats himself with it. Three
/// people, ten journals that cover what comes through the door, twice or three times each, without
/// seeing one another's figures: then it shows what the gauge adds and what the people add.
///
/// With p parts, o people, r repeats, means by part, by person, by both:
///
///     SS_part        = o r sum (y_i - y)^2             MS = SS / (p - 1)
///     SS_operator    = p r sum (y_j - y)^2             MS = SS / (o - 1)
///     SS_interaction = r sum (y_ij - y_i - y_j + y)^2  MS = SS / ((p - 1) (o - 1))
///     SS_repeat      = sum (y_ijk - y_ij)^2            MS = SS / (p o (r - 1))
///
///     repeatability^2 = MS_repeat               interaction^2 = (MS_interaction - MS_repeat) / r
///     operator^2 = (MS_operator - MS_interaction) / (p r)
///     part^2     = (MS_part - MS_interaction) / (o r)
///
/// Variances below 0 count as 0. When the interaction is pooled, the pooled mean square stands for
/// both MS_interaction and MS_repeat. The status is that of `tolerance_share`, or of the gauge's
/// share of the deviation without a tolerance: up to 0.10 "fit", up to 0.30 "marginal", above
/// "unfit".
///
/// readings      parts x people x repeats, at least 2 of each
/// tolerance     width between the limits of the task, in the unit of the readings, above 0
/// significance  of the F test that keeps the interaction, above 0 and below 1
/// interaction   "auto", "keep" or "pool"
///
/// Throws std::invalid_argument: fewer than 2 of anything; a figure not finite; no difference
/// anywhere and no tolerance to judge by; readings more than 1e150 apart.
///
/// Source: two-way random analysis of variance with the formulas above; bounds 0.10 and 0.30
/// common practice.
///
/// >>> readings = [[[59.981, 59.982], [59.982, 59.982]],
/// ...             [[59.969, 59.970], [59.970, 59.971]],
/// ...             [[59.990, 59.990], [59.990, 59.991]]]
/// >>> study = ew.measure.gauge_study(readings, tolerance=0.020)
/// >>> study.status, round(study.tolerance_share, 3), study.categories
/// ('marginal', 0.201, 21)
GaugeStudy gauge_study(std::span<const double> readings, std::size_t parts, std::size_t operators,
                       std::size_t repeats, std::optional<double> tolerance = {},
                       double significance = 0.25,
                       Interaction interaction = Interaction::automatic);

}  // namespace enginewright::measure
