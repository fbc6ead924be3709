#pragma once

#include <Eigen/Core>
#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/balance/metal.hpp"
#include "enginewright/balance/tolerance.hpp"
#include "enginewright/balance/vectors.hpp"
#include "enginewright/record.hpp"

/// Correction plans: which counterweight, which angle, how deep, and how sure.
namespace enginewright::balance {

/// What is done at a site.
enum class SiteKind { drill, slug, grind, weight };

}  // namespace enginewright::balance

namespace enginewright {
template <>
inline constexpr Words<4> words<balance::SiteKind>{"kind", {"drill", "slug", "grind", "weight"}};
}  // namespace enginewright

namespace enginewright::balance {

/// A place where the machinist may work.
///
/// Settings are the multiples of `step` from `minimum_depth` to `maximum_depth`, for a drill only
/// those deeper than the hole already there; for a weight the masses in `sizes`. A drill or a grind
/// takes unbalance off along the angle, a slug or a weight puts it on.
///
/// name            of the site, not empty, once in a plan
/// kind            "drill", "slug" (setting = length of the slug), "grind" (setting = thickness
///                 off the rim) or "weight" (setting = mass bolted on)
/// angle           degrees
/// position        z of the entry face's centre, mm
/// radius          of the entry face (radial), of the hole's axis (axial), of the rim or of the
///                 weight's centre, mm, above 0
/// direction       of a hole: "radial" or "axial"
/// sense           way an axial hole runs: +1 towards the flywheel, -1 towards the front
/// diameter        of drill or slug, mm; they need it
/// point_angle     of the drill, degrees, 60 to 180
/// existing_depth  of the hole already there, tip, mm
/// minimum_depth   mm, at least 0
/// maximum_depth   mm: drill, slug (length), grind (thickness) need it; a radial hole ends before
///                 the axis
/// step            what can be held on the quill, mm, above 0
/// density         of the counterweight, g/cm³
/// slug_density    of the slug, g/cm³
/// width           of the rim, mm; a grind needs it
/// half_angle      of the ground arc, degrees; a grind needs it
/// sizes           masses at hand, g; a weight needs them
/// web             z of the two faces of the web that a radial hole must stay inside, mm
/// edge            least metal between the hole and a face of the web, mm, at least 0
///
/// Throws std::invalid_argument: the field by name.
///
/// >>> ew.balance.Site("A", "drill", angle=0, position=0, radius=80, diameter=12,
/// ...                 maximum_depth=20).step
/// 0.5
struct Site {
    std::string name{};
    SiteKind kind = SiteKind::drill;
    double angle = 0;
    double position = 0;
    double radius = 0;
    Direction direction = Direction::radial;
    int sense = 1;
    std::optional<double> diameter{};
    double point_angle = 118;
    double existing_depth = 0;
    double minimum_depth = 0;
    std::optional<double> maximum_depth{};
    double step = 0.5;
    double density = 7.85;
    double slug_density = 17;
    std::optional<double> width{};
    std::optional<double> half_angle{};
    std::vector<double> sizes{};
    std::optional<std::vector<double>> web{};
    double edge = 2;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"name", "", &Site::name, "of the site"},
            Field{"kind", "", &Site::kind, "what is done there"},
            Field{"angle", "deg", &Site::angle, "on the rotor"},
            Field{"position", "mm", &Site::position, "along the rotor"},
            Field{"radius", "mm", &Site::radius, "of the face, the hole's axis or the weight"},
            Field{"direction", "", &Site::direction, "of a hole"},
            Field{"sense", "", &Site::sense, "way an axial hole runs"},
            Field{"diameter", "mm", &Site::diameter, "of drill or slug"},
            Field{"point_angle", "deg", &Site::point_angle, "of the drill"},
            Field{"existing_depth", "mm", &Site::existing_depth, "of the hole already there"},
            Field{"minimum_depth", "mm", &Site::minimum_depth, "least setting"},
            Field{"maximum_depth", "mm", &Site::maximum_depth, "greatest setting"},
            Field{"step", "mm", &Site::step, "between settings"},
            Field{"density", "g/cm³", &Site::density, "of the counterweight"},
            Field{"slug_density", "g/cm³", &Site::slug_density, "of the slug"},
            Field{"width", "mm", &Site::width, "of the rim"},
            Field{"half_angle", "deg", &Site::half_angle, "of the ground arc"},
            Field{"sizes", "g", &Site::sizes, "weights at hand"},
            Field{"web", "mm", &Site::web, "faces that a radial hole stays inside"},
            Field{"edge", "mm", &Site::edge, "least metal to a face of the web"},
        };
    }
    bool operator==(const Site&) const = default;
};
static_assert(lists_every_member<Site>);

/// Refuses a site that cannot be: a missing or impossible field, by name.
///
/// Throws std::invalid_argument.
void require_site(const Site& site);

/// How far a plan gets.
enum class PlanStatus { nothing_to_do, reached, within_tolerance, not_reached };

/// What stands in the way of the target.
enum class PlanLimit { none, operations, depth, direction };

}  // namespace enginewright::balance

namespace enginewright {
template <>
inline constexpr Words<4> words<balance::PlanStatus>{
    "status", {"nothing to do", "reached", "within tolerance", "not reached"}};
template <>
inline constexpr Words<4> words<balance::PlanLimit>{"limit",
                                                    {"none", "operations", "depth", "direction"}};
}  // namespace enginewright

namespace enginewright::balance {

/// One thing to do at one site.
struct Operation {
    std::string site{};
    SiteKind kind = SiteKind::drill;
    double setting = 0;
    double angle = 0;
    double position = 0;
    double moment = 0;
    double mass = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"site", "", &Operation::site, "where"},
            Field{"kind", "", &Operation::kind, "what is done"},
            Field{"setting", "", &Operation::setting,
                  "depth of the tip, length or thickness, mm; mass of a weight, g"},
            Field{"angle", "deg", &Operation::angle, "on the rotor"},
            Field{"position", "mm", &Operation::position, "z at which it acts"},
            Field{"moment", "g mm", &Operation::moment, "put on; below 0: taken off"},
            Field{"mass", "g", &Operation::mass, "put on; below 0: taken off"},
        };
    }
    bool operator==(const Operation&) const = default;
};
static_assert(lists_every_member<Operation>);

/// What to do to a rotor, and what is left then.
struct CorrectionPlan {
    PlanStatus status = PlanStatus::nothing_to_do;
    PlanLimit limit = PlanLimit::none;
    std::string reason{};
    std::string next{};
    std::vector<Operation> operations{};
    std::vector<Vector> residual{};
    std::vector<double> ratio{};
    double worst = 0;
    std::vector<double> spread{};
    std::vector<double> probability{};
    double lower_bound = 0;
    bool optimal = true;
    std::vector<std::string> excluded{};
    std::vector<Vector> nominal_change{};
    double mass = 0;
    std::vector<Vector> unbalance{};
    std::vector<double> planes{};
    std::vector<double> tolerance{};
    std::vector<double> tolerance_planes{};
    double target = 0.5;
    int maximum_operations = 4;
    double wall = 2;
    std::vector<std::vector<Vector>> response{};
    double depth_error = 0.2;
    double angle_error = 1;
    double mass_error = 0.05;
    std::vector<double> uncertainty{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"status", "", &CorrectionPlan::status, "how far the plan gets"},
            Field{"limit", "", &CorrectionPlan::limit, "what stands in the way of the target"},
            Field{"reason", "", &CorrectionPlan::reason, "the figures behind it"},
            Field{"next", "", &CorrectionPlan::next, "what to do next"},
            Field{"operations", "", &CorrectionPlan::operations, "in the order of the sites"},
            Field{"residual", "g mm", &CorrectionPlan::residual, "left in the tolerance planes"},
            Field{"ratio", "", &CorrectionPlan::ratio, "residual over tolerance"},
            Field{"worst", "", &CorrectionPlan::worst, "greatest ratio"},
            Field{"spread", "g mm", &CorrectionPlan::spread,
                  "standard, per axis, of the residual, from the work's errors"},
            Field{"probability", "", &CorrectionPlan::probability,
                  "that the true residual will be within"},
            Field{"lower_bound", "", &CorrectionPlan::lower_bound,
                  "no plan of any number of operations has a lesser worst"},
            Field{"optimal", "", &CorrectionPlan::optimal, "whether the search was exhaustive"},
            Field{"excluded", "", &CorrectionPlan::excluded, "sites that may not be used"},
            Field{"nominal_change", "g mm", &CorrectionPlan::nominal_change,
                  "in the measuring planes, as planned"},
            Field{"mass", "g", &CorrectionPlan::mass, "put on in all; below 0: taken off"},
            Field{"unbalance", "g mm", &CorrectionPlan::unbalance, "before, measuring planes"},
            Field{"planes", "mm", &CorrectionPlan::planes, "measuring planes"},
            Field{"tolerance", "g mm", &CorrectionPlan::tolerance, "of each tolerance plane"},
            Field{"tolerance_planes", "mm", &CorrectionPlan::tolerance_planes, "bearing planes"},
            Field{"target", "", &CorrectionPlan::target, "share of the tolerance aimed for"},
            Field{"maximum_operations", "", &CorrectionPlan::maximum_operations, "allowed"},
            Field{"wall", "mm", &CorrectionPlan::wall, "least metal between holes"},
            Field{"response", "", &CorrectionPlan::response, "of the rotor to a change"},
            Field{"depth_error", "mm", &CorrectionPlan::depth_error, "standard, of a depth"},
            Field{"angle_error", "deg", &CorrectionPlan::angle_error, "standard, of an angle"},
            Field{"mass_error", "g", &CorrectionPlan::mass_error, "standard, of a weight"},
            Field{"uncertainty", "g mm", &CorrectionPlan::uncertainty,
                  "standard, per axis, of the vectors before, tolerance planes"},
        };
    }
    bool operator==(const CorrectionPlan&) const = default;
};
static_assert(lists_every_member<CorrectionPlan>);

/// The best plan of up to four operations, proven best.
///
/// A setting of moment m acts with
///
///     response * (plane_share(z, planes) * m * exp(i * angle))
///
/// in the measuring planes, carried to the tolerance planes by the lever rule. With the residual
/// over the tolerance in each plane, `worst` being the greater, the plan is the one with the fewest
/// operations that takes the worst to `target` or below, and of these the one of least worst; of
/// equal ones the one that moves less metal, then the first in the order of sites. Where the target
/// is out of reach: the least worst of all. At most one setting a site.
///
/// Four operations are enough: two vectors have four parts, and what the sites can reach at all
/// they reach with four of them. More help only where depths run out; then one plans, spins, and
/// plans again. The search is exhaustive: pair sums in a tree of boxes, pruned by bounds.
///
/// Two holes exclude each other when the least distance between their axes, both at greatest
/// depth, is below half the sum of their diameters and `wall`; a new hole that would break into one
/// already there is excluded, and so is a radial one too near the faces of its `web`. A wall far
/// below 0 switches this off, and the metal of crossing holes is then counted twice.
///
/// `spread` is what the work's own errors add, per axis; `lower_bound` what no plan undercuts.
/// Status "nothing to do", "reached", "within tolerance" (target missed), "not reached"; limit
/// "operations", "depth" (what is there is too shallow) or "direction" (no site on the side where
/// metal must go). No sites at all are an outcome, not an error.
///
/// The figures assume a rigid rotor: speed well below its first bending resonance.
///
/// unbalance           in the measuring planes, two vectors, g mm
/// planes              measuring planes, two positions, mm
/// sites               where work may be done
/// tolerance           one for both or one for each tolerance plane, g mm, above 0
/// tolerance_planes    two positions, mm; None: the measuring planes
/// target              share of the tolerance to aim for, above 0, at most 1
/// maximum_operations  1 to 4
/// wall                mm
/// response            2 by 2, from `learn_response`; None: as planned
/// depth_error         standard, mm, at least 0
/// angle_error         standard, degrees, at least 0
/// mass_error          standard, of a weight, g, at least 0
/// uncertainty         of `unbalance` in the tolerance planes, standard, per axis, g mm: one or two
///
/// Throws std::invalid_argument: a missing tolerance, an impossible site, two sites of one name,
///     more settings than can be searched.
///
/// Source: first principles; Carathéodory's theorem for the number of operations.
///
/// >>> sites = [ew.balance.Site(f"CW{i}", "drill", 90 * i, 0, 80, diameter=12, maximum_depth=20)
/// ...          for i in range(4)]
/// >>> plan = ew.balance.plan_correction([ew.balance.vector(500, 45), 0], [0, 360], sites, 60)
/// >>> [(step.site, step.setting) for step in plan.operations], plan.status
/// ([('CW0', 7.5), ('CW1', 7.5)], 'reached')
CorrectionPlan plan_correction(std::span<const Vector> unbalance, std::span<const double> planes,
                               const std::vector<Site>& sites, const OneOrEach& tolerance,
                               const std::optional<std::vector<double>>& tolerance_planes = {},
                               double target = 0.5, int maximum_operations = 4, double wall = 2.0,
                               const std::optional<Eigen::MatrixXcd>& response = std::nullopt,
                               double depth_error = 0.2, double angle_error = 1.0,
                               double mass_error = 0.05, const OneOrEach& uncertainty = 0.0);

/// What comes of a plan when the work has its errors.
struct PlanSimulation {
    std::vector<double> probability{};
    double probability_both = 0;
    std::vector<Vector> mean{};
    std::vector<double> spread{};
    std::vector<double> worst_95{};
    int draws = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"probability", "", &PlanSimulation::probability, "within, each plane"},
            Field{"probability_both", "", &PlanSimulation::probability_both, "within in both"},
            Field{"mean", "g mm", &PlanSimulation::mean, "residual, tolerance planes"},
            Field{"spread", "g mm", &PlanSimulation::spread, "standard, per axis"},
            Field{"worst_95", "g mm", &PlanSimulation::worst_95,
                  "amount that 95 % of the outcomes keep below"},
            Field{"draws", "", &PlanSimulation::draws, "outcomes drawn"},
        };
    }
    bool operator==(const PlanSimulation&) const = default;
};
static_assert(lists_every_member<PlanSimulation>);

/// Plays a plan out many times with errors of depth, angle and mass.
///
/// Through the exact formulas of metal, so that it also shows what `spread` leaves out: a hole
/// cannot become shallower than it was. Errors are normal; the same seed gives the same figures on
/// every machine.
///
/// plan   of `plan_correction`
/// sites  those that it was made for
/// draws  100 to 1 000 000
/// seed   at least 0
///
/// Throws std::invalid_argument: a site of the plan that is not among the sites.
///
/// >>> site = ew.balance.Site("A", "drill", 0, 0, 80, diameter=12, maximum_depth=20)
/// >>> plan = ew.balance.plan_correction([500, 0], [0, 360], [site], 60)
/// >>> ew.balance.simulate_plan(plan, [site], draws=1000).probability_both
/// 1.0
PlanSimulation simulate_plan(const CorrectionPlan& plan, const std::vector<Site>& sites,
                             int draws = 20000, std::int64_t seed = 1);

/// Outcomes of a plan in the tolerance planes, draw by draw: what the figure of a plan shows.
///
/// plan   of `plan_correction`
/// sites  those that it was made for
/// draws  100 to 1 000 000
/// seed   at least 0
///
/// >>> site = ew.balance.Site("A", "drill", 0, 0, 80, diameter=12, maximum_depth=20)
/// >>> plan = ew.balance.plan_correction([500, 0], [0, 360], [site], 60)
/// >>> ew.balance.plan_outcomes(plan, [site], draws=100).shape
/// (100, 2)
std::vector<std::vector<Vector>> plan_outcomes(const CorrectionPlan& plan,
                                               const std::vector<Site>& sites, int draws = 20000,
                                               std::int64_t seed = 1);

/// The sites that are left once a plan was carried out.
///
/// A drilled site stays, with the hole as deep as it was made; ground, slugged and weighted sites
/// are used up.
///
/// plan     of `plan_correction`
/// sites    those that it was made for
/// as_made  depths that were really drilled, by the site's name, mm; None: as planned
///
/// Throws std::invalid_argument: a site that the plan does not drill, a hole shallower than before.
///
/// >>> site = ew.balance.Site("A", "drill", 0, 0, 80, diameter=12, maximum_depth=20)
/// >>> plan = ew.balance.plan_correction([500, 0], [0, 360], [site], 60)
/// >>> ew.balance.apply_plan(plan, [site], as_made={"A": 8.2})[0].existing_depth
/// 8.2
std::vector<Site> apply_plan(const CorrectionPlan& plan, const std::vector<Site>& sites,
                             const std::optional<std::map<std::string, double>>& as_made = {});

}  // namespace enginewright::balance
