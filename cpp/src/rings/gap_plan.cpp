#include <algorithm>

#include "enginewright/rings.hpp"
#include "numerics/assignment.hpp"
#include "wording.hpp"

namespace enginewright::rings {

using wording::mm;
using wording::part;

namespace {

constexpr double slack = 1e-9;

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

/// Gaps, filing and finished gaps of the rings chosen.
void add_figures(GapPlan& plan, const Grid& grid)
{
    plan.total_filing = 0.0;
    for (std::size_t j = 0; j < plan.rings.size(); ++j) {
        const double gap = grid(plan.rings[j], static_cast<Eigen::Index>(j));
        plan.gaps.push_back(gap);
        plan.filing.push_back(std::max(0.0, plan.target - gap));
        plan.finished.push_back(gap + plan.filing.back());
        *plan.total_filing += plan.filing.back();
        if (above(gap, plan.upper)) {
            plan.too_large.push_back(static_cast<int>(j));
        }
    }
}

void add_spare_rings(GapPlan& plan, Eigen::Index rings)
{
    for (int i = 0; i < rings; ++i) {
        if (std::find(plan.rings.begin(), plan.rings.end(), i) == plan.rings.end()) {
            plan.spare.push_back(i);
        }
    }
}

void say_how_many_are_missing(GapPlan& plan, const Grid& grid)
{
    const Eigen::Index missing = grid.cols() - grid.rows();
    plan.reason = std::to_string(grid.rows()) + (grid.rows() == 1 ? " ring for " : " rings for ") +
                  std::to_string(grid.cols()) + " cylinders";
    plan.next = "find " + std::to_string(missing) + " more " + (missing == 1 ? "ring" : "rings") +
                " of this position";
}

}  // namespace

GapPlan gap_plan(const GapReadings& gaps, double target, std::optional<double> upper,
                 const std::optional<std::vector<double>>& bores,
                 std::optional<double> reference_bore)
{
    const Grid grid = gaps_in_bores(gaps, bores, reference_bore);
    require_size("target", target);
    require_ordered("target", target, "upper", upper, "mm");
    GapPlan plan{.target = target, .upper = upper};
    if (grid.rows() < grid.cols()) {
        plan.status = GapStatus::not_enough_rings;
        say_how_many_are_missing(plan, grid);
    } else {
        plan.rings = best_rings(grid, target, upper);
        add_figures(plan, grid);
        if (plan.too_large.empty()) {
            say_what_to_file(plan);
        } else {
            plan.status = GapStatus::ring_too_large;
            say_what_is_too_large(plan);
        }
    }
    add_spare_rings(plan, grid.rows());
    return plan;
}

}  // namespace enginewright::rings
