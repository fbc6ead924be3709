#include "enginewright/journals.hpp"

#include "doc/journals.hpp"
#include "forms.hpp"

namespace enginewright::bind {

namespace {

/// `form` of plain readings, or of readings that carry their doubt.
struct Form {
    static constexpr std::size_t count = 7;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        if (!holds_quantity(given[0]) && !holds_quantity(given[5])) {
            return plain(journals::form).call(signature, given);
        }
        const auto limit = [&](std::size_t i) {
            return take_optional(given[i], signature.name(i));
        };
        const auto stations = take_stations(given[0], signature.name(0));
        require_no_uncertainty(given[6], signature.name(6));
        auto found = journals::form_with_doubt(stations.readings, stations.axes, limit(1), limit(2),
                                               limit(3), limit(4),
                                               take_optional_quantity(given[5], signature.name(5)));
        return give_doubtful(std::move(found.form), {{"minimum", found.minimum},
                                                     {"maximum", found.maximum},
                                                     {"mean", found.mean},
                                                     {"ovality", found.ovality},
                                                     {"taper", found.taper},
                                                     {"end_difference", found.end_difference},
                                                     {"barrel", found.barrel},
                                                     {"wear", found.wear}});
    }
};

/// `judge_clearance` of plain sizes, or of parts that carry their doubt.
struct JudgeClearance {
    static constexpr std::size_t count = 10;
    static constexpr std::size_t parts = 4;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        const auto way = broadcast(journals::judge_clearance);
        if (std::none_of(given, given + parts, holds_quantity)) {
            return way.call(signature, given);
        }
        for (std::size_t i = parts; i < 8; ++i) {
            require_no_uncertainty(given[i], signature.name(i));
        }
        std::array<std::optional<AnyQuantity>, parts> taken;
        std::array<py::object, parts> numbers;
        std::array<PyObject*, count> plain_given{};
        std::copy_n(given, count, plain_given.begin());
        for (std::size_t i = 0; i < parts; ++i) {
            if (given[i] != Py_None) {
                taken[i] = take_quantity(given[i], signature.name(i));
                numbers[i] = numbers_of(*taken[i]);
                plain_given[i] = numbers[i].ptr();
            }
        }
        // The second wall's own uncertainty makes no sense without it, nor beside a quantity.
        const py::none none;
        plain_given[6] = none.ptr();
        py::object answer = way.call(signature, plain_given.data());
        auto& rows = *rows_of<journals::ClearanceFinding>(answer);
        if (rows.single()) {
            judge_one(rows, taken);
        } else {
            judge_each(rows, taken);
        }
        return answer;
    }

  private:
    using Taken = std::array<std::optional<AnyQuantity>, parts>;
    using FindingRows = Rows<journals::ClearanceFinding>;

    static py::object numbers_of(const AnyQuantity& quantity)
    {
        return quantity.single()
                   ? py::object(py::float_(quantity.one().value()))
                   : py::object(give_array(quantity.column().values(), quantity.shape()));
    }

    static double sign_of(const journals::ClearanceFinding& found)
    {
        return found.lower && found.clearance - *found.lower <= *found.margin + 1e-9 ? 1 : -1;
    }

    static void judge_one(FindingRows& rows, const Taken& taken)
    {
        auto& found = rows.rows.front();
        const auto second = taken[3] ? std::optional(taken[3]->one()) : std::nullopt;
        auto judged = journals::judge_clearance_with_doubt(
            taken[0]->one(), taken[1]->one(), taken[2]->one(), second, found.lower, found.upper);
        found = std::move(judged.finding);
        rows.doubtful.emplace_back("clearance", give_quantity(judged.clearance));
        if (found.margin) {
            rows.doubtful.emplace_back(
                "margin", give_quantity(measure::combine(*found.margin, sign_of(found),
                                                         judged.clearance, 0, Quantity())));
        }
    }

    static void judge_each(FindingRows& rows, const Taken& taken)
    {
        const Lengths shape(rows.shape.begin(), rows.shape.end());
        const auto housing = taken[0]->stretched(shape);
        const auto wall = taken[1]->stretched(shape);
        const auto journal = taken[2]->stretched(shape);
        const auto second = taken[3] ? std::optional(taken[3]->stretched(shape)) : std::nullopt;
        Eigen::ArrayXd margin(static_cast<Eigen::Index>(rows.rows.size()));
        Eigen::ArrayXd sign(margin.size());
        bool limits = true;
        for (std::size_t i = 0; i < rows.rows.size(); ++i) {
            auto& found = rows.rows[i];
            found =
                journals::judge_clearance_with_doubt(
                    housing.at(i), wall.at(i), journal.at(i),
                    second ? std::optional(second->at(i)) : std::nullopt, found.lower, found.upper)
                    .finding;
            limits = limits && found.margin;
            const auto at = static_cast<Eigen::Index>(i);
            margin[at] = found.margin.value_or(0);
            sign[at] = found.margin ? sign_of(found) : 0;
        }
        const auto clearance = housing - wall - second.value_or(wall) - journal;
        rows.doubtful.emplace_back("clearance", py::cast(AnyQuantity{clearance}));
        if (limits) {
            rows.doubtful.emplace_back(
                "margin", py::cast(AnyQuantity{measure::combine(margin, measure::Series(sign),
                                                                clearance, 0.0, clearance)}));
        }
    }
};

void bind_shells_and_washers(py::module_& module)
{
    namespace text = doc::journals;
    const py::kw_only keyword_only;
    const py::none none;
    define(module, "select_shells", without_gil(journals::select_shells), text::select_shells,
           "housing_bores"_a, "journals"_a, "grades"_a, "stock"_a, keyword_only, "lower"_a,
           "upper"_a, "target"_a = none, "grade_step"_a = 1, "second_stock"_a = none);
    define(module, "shell_crush", broadcast(journals::shell_crush), text::shell_crush,
           "parting_gap"_a, "housing_bore"_a, "wall"_a, "modulus"_a = 207000.0);
    define(module, "shell_spread", broadcast(journals::shell_spread), text::shell_spread,
           "free_width"_a, "housing_bore"_a, "least"_a = 0.0);
    define(module, "thrust_plan", without_gil(journals::thrust_plan), text::thrust_plan,
           "end_float"_a, "fitted"_a, "sizes"_a, keyword_only, "lower"_a, "upper"_a,
           "target"_a = none, "stock"_a = none);
}

void bind_crank_on_blocks(py::module_& module)
{
    namespace text = doc::journals;
    const py::kw_only keyword_only;
    const py::none none;
    define(module, "runout", plain(journals::runout), text::runout, "angle"_a, "readings"_a,
           keyword_only, "position"_a = none, "limit"_a = none, "neighbour_limit"_a = none,
           "uncertainty"_a = 0.0);
    define(module, "throws", plain(journals::throws), text::throws, "angle"_a, "heights"_a,
           keyword_only, "nominal_stroke"_a = none, "nominal_index"_a = none,
           "stroke_limit"_a = none, "index_limit"_a = none, "uncertainty"_a = 0.0);
    define(module, "index_error", broadcast(journals::index_error), text::index_error,
           "height_difference"_a, "throw"_a);
    define(module, "offset_grind", broadcast(journals::offset_grind), text::offset_grind,
           "journal"_a, "finish_journal"_a, "clean_up"_a = 0.0, "offset"_a = none);
    define(module, "surface_finish", plain(journals::surface_finish), text::surface_finish,
           "readings"_a, "limit"_a, keyword_only, "rule"_a = "16 percent");
    define(module, "fillet_clearance", broadcast(journals::fillet_clearance),
           text::fillet_clearance, "fillet_radius"_a, "side_gap"_a, "chamfer_axial"_a,
           "chamfer_radial"_a, "bearing_clearance"_a);
}

}  // namespace

void bind_journals(py::module_ module)
{
    namespace text = doc::journals;
    const py::kw_only keyword_only;
    const py::none none;

    bind_record<journals::JournalForm>(module, "JournalForm", text::JournalForm);
    bind_record<journals::RegrindPlan>(module, "RegrindPlan", text::RegrindPlan);
    bind_record<journals::ClearanceFinding>(module, "ClearanceFinding", text::ClearanceFinding);
    bind_record<journals::ClearanceRule>(module, "ClearanceRule", text::ClearanceRule);
    bind_record<journals::ShellSelection>(module, "ShellSelection", text::ShellSelection);
    bind_record<journals::ShellCrush>(module, "ShellCrush", text::ShellCrush);
    bind_record<journals::ShellSpread>(module, "ShellSpread", text::ShellSpread);
    bind_record<journals::ThrustPlan>(module, "ThrustPlan", text::ThrustPlan);
    bind_record<journals::Runout>(module, "Runout", text::Runout);
    bind_record<journals::Throws>(module, "Throws", text::Throws);
    bind_record<journals::OffsetGrind>(module, "OffsetGrind", text::OffsetGrind);
    bind_record<journals::SurfaceFinish>(module, "SurfaceFinish", text::SurfaceFinish);
    bind_record<journals::FilletClearance>(module, "FilletClearance", text::FilletClearance);

    define(module, "form", Form{}, text::form, "readings"_a, keyword_only, "lower"_a = none,
           "upper"_a = none, "ovality_limit"_a = none, "taper_limit"_a = none,
           "current_size"_a = none, "uncertainty"_a = 0.0);
    define(module, "undersizes", plain(journals::undersizes), text::undersizes,
           "system"_a = "metric");
    define(module, "regrind_plan", without_gil(journals::regrind_plan), text::regrind_plan,
           "readings"_a, keyword_only, "standard_lower"_a, "standard_upper"_a, "undersizes"_a,
           "grinding_allowance"_a = 0.0, "aim"_a = 0.5, "damage_depth"_a = none,
           "wear_side"_a = "even", "current_undersize"_a = 0.0, "case_depth"_a = none,
           "uncertainty"_a = 0.0);
    define(module, "bearing_clearance", broadcast(journals::bearing_clearance),
           text::bearing_clearance, "housing_bore"_a, "wall"_a, "journal"_a,
           "second_wall"_a = none);
    define(module, "judge_clearance", JudgeClearance{}, text::judge_clearance, "housing_bore"_a,
           "wall"_a, "journal"_a, "second_wall"_a = none, keyword_only,
           "uncertainty_housing"_a = 0.0, "uncertainty_wall"_a = 0.0,
           "uncertainty_second_wall"_a = none, "uncertainty_journal"_a = 0.0, "lower"_a = none,
           "upper"_a = none);
    define(module, "clearance_by_rule", broadcast(journals::clearance_by_rule),
           text::clearance_by_rule, "journal_diameter"_a, "least_share"_a = 0.00075,
           "greatest_share"_a = 0.0010);
    bind_shells_and_washers(module);
    bind_crank_on_blocks(module);
}

}  // namespace enginewright::bind
