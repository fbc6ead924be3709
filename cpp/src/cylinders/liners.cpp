#include "enginewright/cylinders/liners.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "judging.hpp"
#include "numerics/harmonics.hpp"
#include "turns.hpp"
#include "wording.hpp"

namespace enginewright::cylinders {

using Eigen::Index;
using judging::slack;
using std::numbers::sqrt2;
using wording::mm;
using wording::part;

namespace {

std::string liner(std::size_t i) { return part("liner", static_cast<int>(i)); }

void require_heights_limits(std::optional<double> lower, std::optional<double> upper)
{
    if (lower) {
        require_length("lower", *lower);
    }
    if (upper) {
        require_length("upper", *upper);
    }
    require_ordered("lower", lower, "upper", upper, "mm");
}

/// Mean, tilt and warp of each liner.
void add_shapes(LinerStanding& found, const numerics::HarmonicFit& fit, const Heights& readings,
                double radius)
{
    const Eigen::MatrixXd columns = readings.transpose();
    const Eigen::MatrixXd coefficients = fit.coefficients(columns);
    const Eigen::MatrixXd residuals = fit.residuals(columns, coefficients);
    for (Index i = 0; i < readings.rows(); ++i) {
        const auto row = readings.row(i);
        const double a = coefficients(1, i);
        const double b = coefficients(2, i);
        const double tilt = 2 * std::hypot(a, b);
        found.mean.push_back(coefficients(0, i));
        found.least.push_back(row.minCoeff());
        found.greatest.push_back(row.maxCoeff());
        found.tilt.push_back(tilt);
        found.variation.push_back(std::max(tilt, row.maxCoeff() - row.minCoeff()));
        found.high_side.push_back(
            tilt < turns::no_length ? 0.0 : turns::in_range(turns::degrees(std::atan2(b, a)), 360));
        found.slope.push_back(tilt / (2 * radius));
        found.warp.push_back(residuals.col(i).maxCoeff() - residuals.col(i).minCoeff());
    }
    for (std::size_t i = 1; i < found.mean.size(); ++i) {
        found.neighbour.push_back(std::abs(found.mean[i - 1] - found.mean[i]));
    }
    const auto [low, high] = std::minmax_element(found.mean.begin(), found.mean.end());
    found.spread = *high - *low;
}

std::string next_for(const LinerStanding& found, const judging::JudgedSet& within)
{
    if (found.verdict == Standing::unproven) {
        return "read again with a better gauge";
    }
    if (found.verdict != Standing::outside) {
        return {};
    }
    if (within.verdict == Standing::outside) {
        return "clean the flange seat and try the liner turned; then true the counterbore, "
               "before any shim";
    }
    return "choose shims, or cut the counterbores";
}

}  // namespace

LinerStanding liner_standing(const Heights& readings, std::span<const double> angle, double radius,
                             std::optional<double> lower, std::optional<double> upper,
                             std::optional<double> within_limit,
                             std::optional<double> neighbour_limit, double uncertainty)
{
    turns::require_readings("readings", readings, angle.size(), "a liner", 1);
    const auto fit = turns::fitted("angle", angle, 1);
    require_size("radius", radius);
    require_at_least("radius", radius, 0.001, "mm");
    require_heights_limits(lower, upper);
    turns::require_limit("within_limit", within_limit, "mm");
    turns::require_limit("neighbour_limit", neighbour_limit, "mm");
    require_length_at_least_zero("uncertainty", uncertainty);
    LinerStanding found;
    add_shapes(found, fit, readings, radius);
    const std::size_t liners = found.mean.size();
    const std::vector<double> u(liners, uncertainty);
    const std::vector<double> u_within(liners, sqrt2 * uncertainty);
    const std::vector<double> u_step(liners,
                                     sqrt2 * uncertainty * std::sqrt(fit.cofactors()(0, 0)));
    const auto least = judging::judge_set(
        found.least, u, lower, upper, [](std::size_t i) { return "lowest place of " + liner(i); });
    const auto greatest = judging::judge_set(found.greatest, u, lower, upper, [](std::size_t i) {
        return "highest place of " + liner(i);
    });
    const auto within =
        judging::judge_set(found.variation, u_within, std::nullopt, within_limit,
                           [](std::size_t i) { return "variation of " + liner(i); });
    const auto step = judging::judge_set(
        found.neighbour, u_step, std::nullopt, neighbour_limit, [](std::size_t i) {
            return "step from liner " + std::to_string(i + 1) + " to " + std::to_string(i + 2);
        });
    for (std::size_t i = 0; i < liners; ++i) {
        found.height_verdicts.push_back(measure::worst({least.verdicts[i], greatest.verdicts[i]}));
    }
    found.within_verdicts = within.verdicts;
    found.neighbour_verdicts = step.verdicts;
    found.verdict = judging::worst_of({&least, &greatest, &within, &step});
    found.reason = judging::reasons_of({&least, &greatest, &within, &step});
    found.next = next_for(found, within);
    return found;
}

DryLinerFit dry_liner_fit(double liner_outside, double bore, double target,
                          std::optional<double> lower, std::optional<double> upper)
{
    constexpr double usual = 0.0005;
    require_size("liner_outside", liner_outside);
    require_size("bore", bore);
    require_length("target", target);
    require_heights_limits(lower, upper);
    const double least = lower.value_or(target - usual);
    const double greatest = upper.value_or(target + usual);
    if (lower) {
        require_at_least("target", target, *lower, "mm");
    }
    if (upper) {
        require_at_most("target", target, *upper, "mm");
    }
    DryLinerFit found{.interference = liner_outside - bore,
                      .bore_for_target = liner_outside - target};
    found.stock = found.bore_for_target - bore;
    if (found.interference > greatest + slack) {
        found.status = DryLinerStatus::cut_bore;
        found.reason = "interference " + mm(found.interference) + ", " + mm(greatest) + " allowed";
        found.next = "cut the bore to " + mm(found.bore_for_target) + ", " + mm(found.stock) +
                     " out on diameter";
    } else if (found.interference < least - slack) {
        found.status = DryLinerStatus::bore_too_large;
        found.reason = "interference " + mm(found.interference) + ", " + mm(least) + " at least";
        found.next = "find a liner of " + mm(bore + target) + " outside, or bore for the next size";
    }
    return found;
}

}  // namespace enginewright::cylinders
