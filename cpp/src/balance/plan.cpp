#include "enginewright/balance/plan.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <set>

#include "balance/bounds.hpp"
#include "balance/plan_parts.hpp"
#include "enginewright/balance/planes.hpp"
#include "numerics/angles.hpp"
#include "numerics/bounded_least_squares.hpp"
#include "numerics/exact_choice.hpp"
#include "numerics/rice.hpp"

namespace enginewright::balance {

using numerics::TwoPlanes;

Carriage::Carriage(std::span<const double> planes, std::span<const double> tolerance_planes,
                   const std::optional<Eigen::MatrixXcd>& response)
    : planes_{planes[0], planes[1]}
{
    const auto first = plane_share(planes[0], tolerance_planes);
    const auto second = plane_share(planes[1], tolerance_planes);
    Eigen::Matrix2cd share;
    share << first[0], second[0], first[1], second[1];
    to_tolerance_ = share;
    answered_ = response ? Eigen::Matrix2cd(share * *response) : share;
}

Eigen::Vector2cd Carriage::nominal(const Site& site, const MetalMoment& metal) const
{
    const Vector e = numerics::unit_vector(site.angle);
    const double length = planes_[1] - planes_[0];
    const double along = site.sense * metal.lever;
    // Shares are linear in z, so the lever of an axial hole adds to its moment.
    return {e * (metal.moment * (planes_[1] - site.position) - along) / length,
            e * (metal.moment * (site.position - planes_[0]) + along) / length};
}

Eigen::Vector2cd Carriage::effect(const Site& site, const MetalMoment& metal) const
{
    return answered_ * nominal(site, metal);
}

namespace {

// About ninety sites of forty settings: what four operations search through in some seconds.
constexpr std::size_t most_pairs = 6'000'000;
constexpr std::size_t most_options = 20'000;

/// The sites in figures: what may be done, and what stands beside what.
struct Bench {
    std::vector<std::vector<Setting>> settings{};  ///< by site; none for an excluded one
    std::vector<numerics::Option> options{};
    std::vector<std::pair<std::size_t, std::size_t>> at{};  ///< site and setting of each option
    numerics::Neighbours neighbours{0};
    std::vector<std::string> excluded{};
};

TwoPlanes scaled(const Eigen::Vector2cd& vector, const std::vector<double>& tolerance)
{
    return {vector[0].real() / tolerance[0], vector[0].imag() / tolerance[0],
            vector[1].real() / tolerance[1], vector[1].imag() / tolerance[1]};
}

void require_sites(const std::vector<Site>& sites)
{
    std::set<std::string_view> names;
    for (const auto& site : sites) {
        require_site(site);
        if (!names.insert(site.name).second) {
            refuse_all("sites", "have a name each, got " + site.name + " twice");
        }
    }
}

/// A new hole must not break into one that is already there.
bool meets_old_hole(const std::vector<Site>& sites, std::size_t own, double wall)
{
    const Site& site = sites[own];
    if (!is_hole(site) || site.existing_depth > 0) {
        return false;
    }
    for (std::size_t i = 0; i < sites.size(); ++i) {
        if (i != own && is_hole(sites[i]) && sites[i].existing_depth > 0 &&
            too_near(site, greatest_depth(site), sites[i], sites[i].existing_depth, wall)) {
            return true;
        }
    }
    return false;
}

Bench bench_of(const std::vector<Site>& sites, const Carriage& carriage,
               const std::vector<double>& tolerance, double wall)
{
    Bench bench{.settings = std::vector<std::vector<Setting>>(sites.size()),
                .neighbours = numerics::Neighbours(static_cast<int>(sites.size()))};
    for (std::size_t i = 0; i < sites.size(); ++i) {
        if (too_near_edge(sites[i]) || meets_old_hole(sites, i, wall)) {
            bench.excluded.push_back(sites[i].name);
            continue;
        }
        bench.settings[i] = settings_of(sites[i]);
        for (std::size_t k = 0; k < bench.settings[i].size(); ++k) {
            const auto& metal = bench.settings[i][k].metal;
            bench.options.push_back({.effect = scaled(carriage.effect(sites[i], metal), tolerance),
                                     .cost = metal.mass,
                                     .place = static_cast<int>(i)});
            bench.at.emplace_back(i, k);
        }
        for (std::size_t j = 0; j < i; ++j) {
            if (is_hole(sites[i]) && is_hole(sites[j]) &&
                too_near(sites[i], greatest_depth(sites[i]), sites[j], greatest_depth(sites[j]),
                         wall)) {
                bench.neighbours.exclude(static_cast<int>(i), static_cast<int>(j));
            }
        }
    }
    return bench;
}

void require_searchable(const Bench& bench, int maximum_operations)
{
    if (bench.options.size() > most_options) {
        refuse_all("sites", "make at most " + std::to_string(most_options) + " settings, got " +
                                std::to_string(bench.options.size()) +
                                "; take a coarser step or fewer sites");
    }
    if (maximum_operations > 2) {
        const auto pairs = numerics::pair_count(bench.options, bench.neighbours);
        if (pairs > most_pairs) {
            refuse_all("sites", "make at most " + std::to_string(most_pairs) +
                                    " pairs of settings, got " + std::to_string(pairs) +
                                    "; take a coarser step, fewer sites or two operations");
        }
    }
}

/// Columns of what the sites can do at all, and how far each may be gone along.
struct Reach {
    Eigen::MatrixXd columns{};
    Eigen::VectorXd upper{};
    Eigen::VectorXd start{};
};

void add_column(Reach& reach, const TwoPlanes& unit, double least, double greatest)
{
    const Eigen::Map<const Eigen::Vector4d> column(unit.data());
    if (column.isZero(0)) {
        return;
    }
    const Eigen::Index n = reach.columns.cols();
    reach.columns.conservativeResize(4, n + 1);
    reach.upper.conservativeResize(n + 1);
    reach.columns.col(n) = column;
    // Short slugs lighten their side: the range then begins below nothing.
    reach.start += std::min(least, 0.0) * column;
    reach.upper[n] = std::max(greatest, 0.0) - std::min(least, 0.0);
}

Reach reach_of(const std::vector<Site>& sites, const Bench& bench, const Carriage& carriage,
               const std::vector<double>& tolerance)
{
    Reach reach{.columns = Eigen::MatrixXd(4, 0), .upper = {}, .start = Eigen::Vector4d::Zero()};
    for (std::size_t i = 0; i < sites.size(); ++i) {
        const auto& settings = bench.settings[i];
        if (settings.empty()) {
            continue;
        }
        const double sign =
            sites[i].kind == SiteKind::drill || sites[i].kind == SiteKind::grind ? -1 : 1;
        const auto range = [&](double MetalMoment::* part) {
            double least = 0;
            double greatest = 0;
            for (const auto& setting : settings) {
                least = std::min(least, sign * (setting.metal.*part));
                greatest = std::max(greatest, sign * (setting.metal.*part));
            }
            return std::pair(least, greatest);
        };
        const auto moment = range(&MetalMoment::moment);
        add_column(reach, scaled(carriage.effect(sites[i], {.moment = sign}), tolerance),
                   moment.first, moment.second);
        const auto lever = range(&MetalMoment::lever);
        if (lever.first != lever.second) {
            add_column(reach, scaled(carriage.effect(sites[i], {.lever = sign}), tolerance),
                       lever.first, lever.second);
        }
    }
    return reach;
}

struct Floors {
    double bounded = 0;
    double unbounded = 0;
};

/// What no plan undercuts: max(|a|, |b|) >= sqrt((|a|² + |b|²) / 2).
Floors floors_of(const Reach& reach, const TwoPlanes& start)
{
    const Eigen::Map<const Eigen::Vector4d> r(start.data());
    const Eigen::VectorXd goal = -(r + Eigen::Vector4d(reach.start));
    if (reach.columns.cols() == 0) {
        return {goal.norm() / std::numbers::sqrt2, goal.norm() / std::numbers::sqrt2};
    }
    const auto bounded = numerics::bounded_least_squares(reach.columns, goal, reach.upper);
    const Eigen::VectorXd without =
        Eigen::VectorXd::Constant(reach.upper.size(), std::numeric_limits<double>::infinity());
    const auto unbounded = numerics::bounded_least_squares(reach.columns, -r, without);
    return {bounded.floor / std::numbers::sqrt2, unbounded.distance / std::numbers::sqrt2};
}

Operation operation_of(const Site& site, const Setting& setting)
{
    const auto& metal = setting.metal;
    const double depth = metal.moment != 0 ? metal.lever / metal.moment : 0.0;
    return {.site = site.name,
            .kind = site.kind,
            .setting = setting.setting,
            .angle = numerics::turned_once(site.angle),
            .position = site.position + site.sense * depth,
            .moment = metal.moment,
            .mass = metal.mass};
}

/// Variance per axis that the errors of one operation add in each tolerance plane.
std::array<double, 2> variance_of(const CorrectionPlan& plan, const Carriage& carriage,
                                  const Site& site, const MetalMoment& metal)
{
    const double error = site.kind == SiteKind::weight ? plan.mass_error : plan.depth_error;
    const double moment = std::abs(metal.slope) * error;
    const double turned = metal.moment * numerics::radians(plan.angle_error);
    std::array<double, 2> variance{};
    if (metal.moment == 0) {
        return variance;
    }
    const Eigen::Vector2cd effect = carriage.effect(site, metal);
    for (std::size_t p = 0; p < 2; ++p) {
        const double coefficient =
            std::abs(effect[static_cast<Eigen::Index>(p)]) / std::abs(metal.moment);
        variance[p] = coefficient * coefficient * (moment * moment + turned * turned) / 2;
    }
    return variance;
}

void carry_out(CorrectionPlan& plan, const numerics::Choice& choice, const Bench& bench,
               const std::vector<Site>& sites, const Carriage& carriage)
{
    Eigen::Vector2cd left = carriage.start(plan.unbalance);
    Eigen::Vector2cd change = Eigen::Vector2cd::Zero();
    std::array<double, 2> variance{};
    for (const int chosen : choice.options) {
        const auto [at, k] = bench.at[static_cast<std::size_t>(chosen)];
        const auto& setting = bench.settings[at][k];
        plan.operations.push_back(operation_of(sites[at], setting));
        plan.mass += setting.metal.mass;
        left += carriage.effect(sites[at], setting.metal);
        change += carriage.nominal(sites[at], setting.metal);
        const auto more = variance_of(plan, carriage, sites[at], setting.metal);
        variance = {variance[0] + more[0], variance[1] + more[1]};
    }
    for (std::size_t p = 0; p < 2; ++p) {
        const Vector residual = left[static_cast<Eigen::Index>(p)];
        const double spread = std::sqrt(plan.uncertainty[p] * plan.uncertainty[p] + variance[p]);
        const double amount = std::abs(residual);
        plan.residual.push_back(residual);
        plan.ratio.push_back(amount / plan.tolerance[p]);
        plan.spread.push_back(spread);
        plan.probability.push_back(spread > 0
                                       ? numerics::rice_cdf(amount, spread, plan.tolerance[p])
                                       : (amount <= plan.tolerance[p] ? 1.0 : 0.0));
        plan.nominal_change.push_back(change[static_cast<Eigen::Index>(p)]);
    }
    plan.worst = std::max(plan.ratio[0], plan.ratio[1]);
    plan.optimal = choice.exhaustive;
}

void judge(CorrectionPlan& plan, const Floors& floors)
{
    plan.lower_bound = floors.bounded;
    if (plan.worst <= plan.target) {
        plan.status = plan.operations.empty() ? PlanStatus::nothing_to_do : PlanStatus::reached;
        return;
    }
    plan.status = plan.worst <= 1 ? PlanStatus::within_tolerance : PlanStatus::not_reached;
    if (floors.bounded <= plan.target) {
        plan.limit = PlanLimit::operations;
    } else {
        plan.limit = floors.unbounded <= plan.target ? PlanLimit::depth : PlanLimit::direction;
    }
}

void require_errors(double depth_error, double angle_error, double mass_error)
{
    require_between("depth_error", depth_error, 0, 1000, "mm");
    require_between("angle_error", angle_error, 0, 360, "deg");
    require_between("mass_error", mass_error, 0, greatest_mass, "g");
}

Eigen::MatrixXcd response_of(const std::optional<Eigen::MatrixXcd>& response)
{
    Eigen::MatrixXcd matrix = response.value_or(Eigen::MatrixXcd::Identity(2, 2));
    if (matrix.rows() != 2 || matrix.cols() != 2) {
        refuse_all("response", "be 2 by 2, got " + std::to_string(matrix.rows()) + " by " +
                                   std::to_string(matrix.cols()));
    }
    for (Eigen::Index i = 0; i < 4; ++i) {
        const Vector each = matrix(i / 2, i % 2);
        require_between("response", std::hypot(each.real(), each.imag()), 0, 1e6);
    }
    return matrix;
}

}  // namespace

CorrectionPlan plan_correction(std::span<const Vector> unbalance, std::span<const double> planes,
                               const std::vector<Site>& sites, const OneOrEach& tolerance,
                               const std::optional<std::vector<double>>& tolerance_planes,
                               double target, int maximum_operations, double wall,
                               const std::optional<Eigen::MatrixXcd>& response, double depth_error,
                               double angle_error, double mass_error, const OneOrEach& uncertainty)
{
    require_count("unbalance", unbalance.size(), 2, "vectors");
    require_vectors("unbalance", unbalance);
    require_plane_pair("planes", planes);
    const auto bearings =
        tolerance_planes.value_or(std::vector<double>(planes.begin(), planes.end()));
    require_plane_pair("tolerance_planes", bearings);
    require_positive("target", target);
    require_at_most("target", target, 1);
    require_between("maximum_operations", maximum_operations, 1, 4);
    require_length("wall", wall);
    require_errors(depth_error, angle_error, mass_error);
    CorrectionPlan plan{.unbalance = {unbalance.begin(), unbalance.end()},
                        .planes = {planes.begin(), planes.end()},
                        .tolerance = each_tolerance(tolerance, 2),
                        .tolerance_planes = bearings,
                        .target = target,
                        .maximum_operations = maximum_operations,
                        .wall = wall,
                        .depth_error = depth_error,
                        .angle_error = angle_error,
                        .mass_error = mass_error,
                        .uncertainty = each_uncertainty("uncertainty", uncertainty, 2)};
    const Eigen::MatrixXcd answer = response_of(response);
    plan.response = {{answer(0, 0), answer(0, 1)}, {answer(1, 0), answer(1, 1)}};
    require_sites(sites);
    const Carriage carriage(planes, bearings, answer);
    const Bench bench = bench_of(sites, carriage, plan.tolerance, wall);
    require_searchable(bench, maximum_operations);
    const TwoPlanes start = scaled(carriage.start(plan.unbalance), plan.tolerance);
    const auto choice =
        numerics::best_choice(start, bench.options, bench.neighbours, target, maximum_operations);
    plan.excluded = bench.excluded;
    carry_out(plan, choice, bench, sites, carriage);
    judge(plan, floors_of(reach_of(sites, bench, carriage, plan.tolerance), start));
    say(plan, sites);
    return plan;
}

}  // namespace enginewright::balance
