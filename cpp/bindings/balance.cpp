#include "enginewright/balance.hpp"

#include "bind.hpp"
#include "doc/balance.hpp"

namespace enginewright::bind {

using balance::OneOrEach;
using balance::Vector;
using Positions = std::variant<double, std::vector<double>>;

/// A tolerance: one figure or one for each plane, in which nothing may be missing.
struct Tolerance {
    OneOrEach value{};
};

template <>
struct Argument<Tolerance> {
    Tolerance tolerance;
    Argument(py::handle given, std::string_view name)
    {
        if (given.is_none()) {
            balance::refuse_tolerance("None");
        }
        if (PyList_Check(given.ptr()) || PyTuple_Check(given.ptr())) {
            std::size_t plane = 0;
            for (const auto each : py::reinterpret_borrow<py::object>(given)) {
                if (each.is_none()) {
                    balance::refuse_tolerance("None", plane);
                }
                ++plane;
            }
        }
        tolerance.value = Argument<OneOrEach>(given, name).get();
    }
    const Tolerance& get() const { return tolerance; }
};

/// An influence record, or a bare matrix.
template <>
struct Argument<balance::AnyInfluence> {
    balance::AnyInfluence value;
    Argument(py::handle given, std::string_view name)
    {
        if (rows_of<balance::Influence>(given) != nullptr) {
            value = Argument<balance::Influence>(given, name).get();
        } else {
            value = Argument<Eigen::MatrixXcd>(given, name).get();
        }
    }
    const balance::AnyInfluence& get() const { return value; }
};

/// Depths by the name of a site.
template <>
struct Argument<std::map<std::string, double>> {
    std::map<std::string, double> value;
    Argument(py::handle given, std::string_view name)
    {
        if (!PyDict_Check(given.ptr())) {
            refuse_type(name, "a dict", given);
        }
        for (const auto [key, each] : py::reinterpret_borrow<py::dict>(given)) {
            const auto site = take_text(key, name);
            value[site] = take_number(each, std::string(name) + "[" + site + "]");
        }
    }
    const std::map<std::string, double>& get() const { return value; }
};

namespace {

std::vector<double> listed(const Positions& positions)
{
    if (const auto* one = std::get_if<double>(&positions)) {
        return {*one};
    }
    return std::get<std::vector<double>>(positions);
}

std::vector<Vector> to_planes(const std::vector<Vector>& unbalance, const Positions& positions,
                              std::span<const double> planes)
{
    return balance::to_planes(unbalance, listed(positions), planes);
}

balance::BearingForce bearing_force(const std::vector<Vector>& unbalance,
                                    const Positions& positions, std::span<const double> bearings,
                                    double speed)
{
    return balance::bearing_force(unbalance, listed(positions), bearings, speed);
}

/// Shares of any shape of positions: the two planes are the last axis.
struct PlaneShare {
    static constexpr std::size_t count = 2;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        const auto positions = take_array(given[0], signature.name(0));
        const Argument<std::span<const double>> planes(given[1], signature.name(1));
        std::vector<py::ssize_t> shape(positions.shape(), positions.shape() + positions.ndim());
        shape.push_back(2);
        py::array_t<double> shares(shape);
        double* out = shares.mutable_data();
        for (py::ssize_t i = 0; i < positions.size(); ++i) {
            const auto share = balance::plane_share(positions.data()[i], planes.get());
            out = std::copy(share.begin(), share.end(), out);
        }
        return shares;
    }
};

/// One column of readings, or one for each plane: then a record of columns.
struct IndexBalance {
    static constexpr std::size_t count = 2;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        const auto readings = take_complex_array(given[0], signature.name(0));
        const Argument<std::span<const double>> angles(given[1], signature.name(1));
        if (readings.ndim() < 1 || readings.ndim() > 2) {
            refuse_all(signature.name(0),
                       "have one or two dimensions, got " + std::to_string(readings.ndim()));
        }
        const py::ssize_t planes = readings.ndim() == 2 ? readings.shape(1) : 1;
        Rows<balance::Indexed> rows;
        for (py::ssize_t p = 0; p < planes; ++p) {
            std::vector<Vector> column;
            for (py::ssize_t j = 0; j < readings.shape(0); ++j) {
                column.push_back(readings.data()[j * planes + p]);
            }
            rows.rows.push_back(balance::index_balance(column, angles.get()));
        }
        if (readings.ndim() == 2) {
            rows.shape = {planes};
        }
        return give_rows(std::move(rows));
    }
};

balance::CorrectionPlaneTolerance correction_plane_tolerance(
    const Tolerance& tolerance, std::span<const double> tolerance_planes,
    std::span<const double> correction_planes)
{
    return balance::correction_plane_tolerance(tolerance.value, tolerance_planes,
                                               correction_planes);
}

balance::ResidualVerdict residual_verdict(std::span<const Vector> residual,
                                          const Tolerance& tolerance, const OneOrEach& uncertainty,
                                          double level)
{
    return balance::residual_verdict(residual, tolerance.value, uncertainty, level);
}

balance::Stage made_stage(std::string name, std::vector<Vector> found,
                          std::optional<std::vector<Vector>> left, double uncertainty,
                          std::optional<Tolerance> tolerance, bool removable)
{
    balance::Stage stage{.name = std::move(name),
                         .found = std::move(found),
                         .left = std::move(left),
                         .uncertainty = uncertainty,
                         .removable = removable};
    if (tolerance) {
        const auto* one = std::get_if<double>(&tolerance->value);
        stage.tolerance = one != nullptr ? std::vector<double>(2, *one)
                                         : std::get<std::vector<double>>(tolerance->value);
    }
    balance::require_stage(stage);
    return stage;
}

balance::Site made_site(std::string name, balance::SiteKind kind, double angle, double position,
                        double radius, balance::Direction direction, int sense,
                        std::optional<double> diameter, double point_angle, double existing_depth,
                        double minimum_depth, std::optional<double> maximum_depth, double step,
                        double density, double slug_density, std::optional<double> width,
                        std::optional<double> half_angle, std::vector<double> sizes,
                        std::optional<std::vector<double>> web, double edge)
{
    balance::Site site{.name = std::move(name),
                       .kind = kind,
                       .angle = angle,
                       .position = position,
                       .radius = radius,
                       .direction = direction,
                       .sense = sense,
                       .diameter = diameter,
                       .point_angle = point_angle,
                       .existing_depth = existing_depth,
                       .minimum_depth = minimum_depth,
                       .maximum_depth = maximum_depth,
                       .step = step,
                       .density = density,
                       .slug_density = slug_density,
                       .width = width,
                       .half_angle = half_angle,
                       .sizes = std::move(sizes),
                       .web = std::move(web),
                       .edge = edge};
    balance::require_site(site);
    return site;
}

balance::CorrectionPlan plan_correction(
    std::span<const Vector> unbalance, std::span<const double> planes,
    const std::vector<balance::Site>& sites, const Tolerance& tolerance,
    const std::optional<std::vector<double>>& tolerance_planes, double target,
    int maximum_operations, double wall, const std::optional<Eigen::MatrixXcd>& response,
    double depth_error, double angle_error, double mass_error, const OneOrEach& uncertainty)
{
    return balance::plan_correction(unbalance, planes, sites, tolerance.value, tolerance_planes,
                                    target, maximum_operations, wall, response, depth_error,
                                    angle_error, mass_error, uncertainty);
}

balance::BalanceRecord made_record(std::vector<double> planes, Tolerance tolerance,
                                   std::optional<std::vector<double>> tolerance_planes,
                                   double uncertainty, double level, double prior, std::string name)
{
    return balance::balance_record(planes, tolerance.value, tolerance_planes, uncertainty, level,
                                   prior, std::move(name));
}

void bind_balance_record(py::module_& module)
{
    namespace text = doc::balance;
    using Record = balance::BalanceRecord;
    using Bound = Rows<Record>;
    auto record = bind_record<Record>(module, "BalanceRecord", text::BalanceRecord);
    construct(record, made_record, "planes"_a, "tolerance"_a, "tolerance_planes"_a = py::none(),
              "uncertainty"_a = 0.0, "level"_a = 0.95, "prior"_a = 0.2, "name"_a = "");
    const auto one = [](const Bound& self) -> const Record& {
        if (!self.single()) {
            throw py::type_error("a record of columns is no single job");
        }
        return self.rows.front();
    };
    record.def(
        "with_run",
        [one](const Bound& self, const py::object& reading, const py::object& uncertainty,
              const py::object& note) {
            return balance::with_run(
                one(self), Argument<std::span<const Vector>>(reading, "reading").get(),
                Argument<std::optional<double>>(uncertainty, "uncertainty").get(),
                take_text(note, "note"));
        },
        "reading"_a, "uncertainty"_a = py::none(), "note"_a = "", text::with_run);
    record.def(
        "with_correction",
        [one](const Bound& self, const py::object& change, const py::object& note) {
            return balance::with_correction(
                one(self), Argument<std::span<const Vector>>(change, "change").get(),
                take_text(note, "note"));
        },
        "change"_a, "note"_a = "", text::with_correction);
    record.def(
        "response", [one](const Bound& self) { return balance::response(one(self)); },
        text::response);
    record.def(
        "predicted", [one](const Bound& self) { return give(balance::predicted(one(self))); },
        text::predicted);
    record.def(
        "rows",
        [one](const Bound& self) {
            py::list list;
            for (auto& row : balance::rows(one(self))) {
                list.append(as_dict(Rows<balance::BalanceRow>(std::move(row))));
            }
            return list;
        },
        text::rows);
    record.def(
        "verdict", [one](const Bound& self) { return balance::verdict(one(self)); }, text::verdict);
    record.def(
        "to_json", [one](const Bound& self) { return balance::to_json(one(self)); }, text::to_json);
    record.def_static(
        "from_json",
        [](const py::object& json) { return balance::record_from_json(take_text(json, "text")); },
        "text"_a, text::record_from_json);
}

void bind_balance_records(py::module_& module)
{
    namespace text = doc::balance;
    const py::none none;
    bind_record<balance::Split>(module, "Split", text::Split);
    bind_record<balance::Grade>(module, "Grade", text::Grade);
    bind_record<balance::ToleranceSplit>(module, "ToleranceSplit", text::ToleranceSplit);
    bind_record<balance::CorrectionPlaneTolerance>(module, "CorrectionPlaneTolerance",
                                                   text::CorrectionPlaneTolerance);
    bind_record<balance::StaticCouple>(module, "StaticCouple", text::StaticCouple);
    bind_record<balance::PlaneReading>(module, "PlaneReading", text::PlaneReading);
    bind_record<balance::Runs>(module, "Runs", text::Runs);
    bind_record<balance::Indexed>(module, "Indexed", text::Indexed);
    bind_record<balance::Traverse>(module, "Traverse", text::Traverse);
    bind_record<balance::Influence>(module, "Influence", text::Influence);
    bind_record<balance::Correction>(module, "Correction", text::Correction);
    bind_record<balance::ResidualVerdict>(module, "ResidualVerdict", text::ResidualVerdict);
    bind_record<balance::BearingForce>(module, "BearingForce", text::BearingForce);
    auto stage = bind_record<balance::Stage>(module, "Stage", text::Stage);
    construct(stage, made_stage, "name"_a, "found"_a, "left"_a = none, "uncertainty"_a = 0.0,
              "tolerance"_a = none, "removable"_a = true);
    bind_record<balance::StageFinding>(module, "StageFinding", text::StageFinding);
    bind_record<balance::Hole>(module, "Hole", text::Hole);
    bind_record<balance::HoleDepth>(module, "HoleDepth", text::HoleDepth);
    bind_record<balance::Slug>(module, "Slug", text::Slug);
    bind_record<balance::Ground>(module, "Ground", text::Ground);
    auto site = bind_record<balance::Site>(module, "Site", text::Site);
    construct(site, made_site, "name"_a, "kind"_a, "angle"_a, "position"_a, "radius"_a,
              "direction"_a = "radial", "sense"_a = 1, "diameter"_a = none, "point_angle"_a = 118.0,
              "existing_depth"_a = 0.0, "minimum_depth"_a = 0.0, "maximum_depth"_a = none,
              "step"_a = 0.5, "density"_a = 7.85, "slug_density"_a = 17.0, "width"_a = none,
              "half_angle"_a = none, "sizes"_a = py::tuple(), "web"_a = none, "edge"_a = 2.0);
    bind_record<balance::Operation>(module, "Operation", text::Operation);
    bind_record<balance::CorrectionPlan>(module, "CorrectionPlan", text::CorrectionPlan);
    bind_record<balance::PlanSimulation>(module, "PlanSimulation", text::PlanSimulation);
    bind_record<balance::Response>(module, "Response", text::Response);
    bind_record<balance::BalanceEntry>(module, "BalanceEntry", text::BalanceEntry);
    bind_balance_record(module);
}

void bind_vectors_and_tolerance(py::module_& module)
{
    namespace text = doc::balance;
    define(module, "vector", broadcast(balance::vector), text::vector, "amount"_a, "angle"_a,
           "spot"_a = "heavy");
    define(module, "amount_of", broadcast(balance::amount_of), text::amount_of, "vector"_a);
    define(module, "angle_of", broadcast(balance::angle_of), text::angle_of, "vector"_a);
    define(module, "unbalance", broadcast(balance::unbalance), text::unbalance, "mass"_a,
           "radius"_a, "angle"_a = 0.0, "spot"_a = "heavy");
    define(module, "mass_at_radius", broadcast(balance::mass_at_radius), text::mass_at_radius,
           "amount"_a, "radius"_a);
    define(module, "rotor_angle", broadcast(balance::rotor_angle), text::rotor_angle, "reading"_a,
           "zero"_a = 0.0, "seen_from"_a = "front", "counted"_a = "clockwise");
    define(module, "split_between", broadcast(balance::split_between), text::split_between,
           "unbalance"_a, "angle_1"_a, "angle_2"_a);
    define(module, "balance_grades", plain(balance::balance_grades), text::balance_grades);
    define(module, "permissible_eccentricity", broadcast(balance::permissible_eccentricity),
           text::permissible_eccentricity, "speed"_a, "grade"_a);
    define(module, "permissible_residual", broadcast(balance::permissible_residual),
           text::permissible_residual, "rotor_mass"_a, "speed"_a, "grade"_a);
    define(module, "eccentricity", broadcast(balance::eccentricity), text::eccentricity, "amount"_a,
           "rotor_mass"_a);
    define(module, "achieved_grade", broadcast(balance::achieved_grade), text::achieved_grade,
           "amount"_a, "rotor_mass"_a, "speed"_a);
    define(module, "allocate_tolerance", broadcast(balance::allocate_tolerance),
           text::allocate_tolerance, "amount"_a, "bearing_a"_a, "bearing_b"_a, "centre"_a);
    define(module, "correction_plane_tolerance", plain(correction_plane_tolerance),
           text::correction_plane_tolerance, "tolerance"_a, "tolerance_planes"_a,
           "correction_planes"_a);
}

void bind_planes_and_spins(py::module_& module)
{
    namespace text = doc::balance;
    const py::none none;
    define(module, "plane_share", PlaneShare{}, text::plane_share, "position"_a, "planes"_a);
    define(module, "to_planes", plain(to_planes), text::to_planes, "unbalance"_a, "positions"_a,
           "planes"_a);
    define(module, "static_couple", plain(balance::static_couple), text::static_couple,
           "unbalance"_a, "planes"_a, "centre"_a, "permissible"_a = none);
    define(module, "hard_bearing_reading", plain(balance::hard_bearing_reading),
           text::hard_bearing_reading, "force_left"_a, "force_right"_a, "a"_a, "b"_a, "c"_a,
           "speed"_a);
    define(module, "minimum_speed", broadcast(balance::minimum_speed), text::minimum_speed,
           "amount"_a, "force_noise"_a, "ratio"_a = 5.0);
    define(module, "trial_unbalance", broadcast(balance::trial_unbalance), text::trial_unbalance,
           "rotor_mass"_a, "speed"_a, "fraction"_a = 0.1);
    define(module, "unbalance_force", broadcast(balance::unbalance_force), text::unbalance_force,
           "amount"_a, "speed"_a);
    define(module, "repeat_runs", plain(balance::repeat_runs), text::repeat_runs, "readings"_a,
           "machine_uncertainty"_a = 0.0, "speeds"_a = none, "minimum_speed"_a = none,
           "speed_band"_a = 0.02);
    define(module, "influence_coefficients", plain(balance::influence_coefficients),
           text::influence_coefficients, "states"_a, "readings"_a, "weights"_a = none);
    define(module, "required_correction", plain(balance::required_correction),
           text::required_correction, "influence"_a, "readings"_a, "weights"_a = none,
           "uncertainty"_a = 0.0);
    define(module, "index_balance", IndexBalance{}, text::index_balance, "readings"_a,
           "index_angles"_a);
    define(module, "traverse", plain(balance::traverse), text::traverse, "readings"_a, "angles"_a,
           "test_amount"_a, "initial"_a = none);
    define(module, "reduction_ratio", broadcast(balance::reduction_ratio), text::reduction_ratio,
           "before"_a, "after"_a);
}

void bind_verdicts(py::module_& module)
{
    namespace text = doc::balance;
    define(module, "probability_within", broadcast(balance::probability_within),
           text::probability_within, "amount"_a, "uncertainty"_a, "tolerance"_a);
    define(module, "residual_verdict", plain(residual_verdict), text::residual_verdict,
           "residual"_a, "tolerance"_a, "uncertainty"_a = 0.0, "level"_a = 0.95);
    define(module, "bearing_force", plain(bearing_force), text::bearing_force, "unbalance"_a,
           "positions"_a, "bearings"_a, "speed"_a);
    define(module, "staged_assembly", plain(balance::staged_assembly), text::staged_assembly,
           "stages"_a, "level"_a = 0.95);
}

void bind_metal_and_plans(py::module_& module)
{
    namespace text = doc::balance;
    const py::none none;
    define(module, "hole_moment", broadcast(balance::hole_moment), text::hole_moment, "radius"_a,
           "depth"_a, "diameter"_a, "direction"_a = "radial", "point_angle"_a = 118.0,
           "existing_depth"_a = 0.0, "density"_a = 7.85);
    define(module, "hole_depth", broadcast(balance::hole_depth), text::hole_depth, "moment"_a,
           "radius"_a, "diameter"_a, "direction"_a = "radial", "point_angle"_a = 118.0,
           "existing_depth"_a = 0.0, "maximum_depth"_a = none, "density"_a = 7.85);
    define(module, "slug_moment", broadcast(balance::slug_moment), text::slug_moment, "radius"_a,
           "length"_a, "diameter"_a, "direction"_a = "radial", "point_angle"_a = 118.0,
           "slug_density"_a = 17.0, "density"_a = 7.85, "recess"_a = 0.0);
    define(module, "ground_moment", broadcast(balance::ground_moment), text::ground_moment,
           "radius"_a, "thickness"_a, "width"_a, "half_angle"_a, "density"_a = 7.85);
    define(module, "plan_correction", without_gil(plan_correction), text::plan_correction,
           "unbalance"_a, "planes"_a, "sites"_a, "tolerance"_a, "tolerance_planes"_a = none,
           "target"_a = 0.5, "maximum_operations"_a = 4, "wall"_a = 2.0, "response"_a = none,
           "depth_error"_a = 0.2, "angle_error"_a = 1.0, "mass_error"_a = 0.05,
           "uncertainty"_a = 0.0);
    define(module, "simulate_plan", without_gil(balance::simulate_plan), text::simulate_plan,
           "plan"_a, "sites"_a, "draws"_a = 20000, "seed"_a = 1);
    define(module, "plan_outcomes", without_gil(balance::plan_outcomes), text::plan_outcomes,
           "plan"_a, "sites"_a, "draws"_a = 20000, "seed"_a = 1);
    define(module, "apply_plan", plain(balance::apply_plan), text::apply_plan, "plan"_a, "sites"_a,
           "as_made"_a = none);
    define(module, "learn_response", plain(balance::learn_response), text::learn_response,
           "planned"_a, "measured"_a, "uncertainty"_a, "prior"_a = 0.2);
}

}  // namespace

void bind_balance(py::module_ module)
{
    bind_balance_records(module);
    bind_vectors_and_tolerance(module);
    bind_planes_and_spins(module);
    bind_verdicts(module);
    bind_metal_and_plans(module);
}

}  // namespace enginewright::bind
