#include "enginewright/matching.hpp"

#include "bind.hpp"
#include "doc/matching.hpp"

namespace enginewright::bind {

namespace {

/// A table of rows by columns, refused by name when it has another number of dimensions.
template <class Array>
void require_table(const Array& array, std::string_view name)
{
    if (array.ndim() != 2) {
        refuse_all(name,
                   "have two dimensions, rows by columns, got " + std::to_string(array.ndim()));
    }
}

matching::Costs take_costs(py::handle given, std::string_view name)
{
    const auto array = take_array(given, name);
    require_table(array, name);
    return Eigen::Map<const matching::Costs>(array.data(), array.shape(0), array.shape(1));
}

std::optional<matching::Allowed> take_allowed(py::handle given, std::string_view name)
{
    if (given.is_none()) {
        return std::nullopt;
    }
    const auto array = py::array::ensure(given);
    if (!array) {
        PyErr_Clear();
        refuse_type(name, "a table of True and False", given);
    }
    if (array.dtype().kind() != 'b') {
        throw py::type_error(std::string(name) + " must be a table of True and False, got " +
                             std::string(py::str(array.dtype())));
    }
    require_table(array, name);
    const py::array_t<bool, py::array::c_style> truths(array);
    return Eigen::Map<const matching::Allowed>(truths.data(), truths.shape(0), truths.shape(1));
}

/// `assign`: its tables are rows by columns, not stations by axes.
struct Assign {
    static constexpr std::size_t count = 3;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        const auto cost = take_costs(given[0], signature.name(0));
        const auto allowed = take_allowed(given[1], signature.name(1));
        const auto objective = from_word<matching::Objective>(
            signature.name(2), take_text(given[2], signature.name(2)));
        const auto found = [&] {
            const py::gil_scoped_release released;
            return matching::assign(cost, allowed, objective);
        }();
        return give(found);
    }
};

void bind_lightening(py::module_& module)
{
    namespace text = doc::matching;
    const py::kw_only keyword_only;

    define(module, "turned_band", broadcast(matching::turned_band), text::turned_band, "outer"_a,
           "inner"_a, "width"_a, keyword_only, "density"_a = 7.85);
    define(module, "drilled_holes", broadcast(matching::drilled_holes), text::drilled_holes,
           "diameter"_a, "depth"_a, "pitch_radius"_a, keyword_only, "count"_a = 1,
           "density"_a = 7.85, "point_angle"_a = 180.0);
    define(module, "lightened", plain(matching::lightened), text::lightened, "mass"_a, "inertia"_a,
           "removals"_a);
    define(module, "equivalent_mass", broadcast(matching::equivalent_mass), text::equivalent_mass,
           "inertia"_a, "ratio"_a, "rolling_radius"_a);
    define(module, "spin_stress", broadcast(matching::spin_stress), text::spin_stress, "outer"_a,
           "inner"_a, "speed"_a, keyword_only, "density"_a = 7.85, "poisson"_a = 0.3);
}

}  // namespace

void bind_matching(py::module_ module)
{
    namespace text = doc::matching;
    const py::kw_only keyword_only;
    const py::none none;

    bind_record<matching::MassPlan>(module, "MassPlan", text::MassPlan);
    bind_record<matching::RodEnds>(module, "RodEnds", text::RodEnds);
    bind_record<matching::RodRemoval>(module, "RodRemoval", text::RodRemoval);
    bind_record<matching::RodPlan>(module, "RodPlan", text::RodPlan);
    bind_record<matching::Assignment>(module, "Assignment", text::Assignment);
    bind_record<matching::Pairing>(module, "Pairing", text::Pairing);
    bind_record<matching::Choice>(module, "Choice", text::Choice);
    bind_record<matching::Removal>(module, "Removal", text::Removal);
    bind_record<matching::Lightened>(module, "Lightened", text::Lightened);

    define(module, "match_masses", without_gil(matching::match_masses), text::match_masses,
           "masses"_a, keyword_only, "target"_a = none, "tolerance"_a = 0.0, "removable"_a = none,
           "least_removal"_a = false);
    define(module, "rod_ends", plain(matching::rod_ends), text::rod_ends, "big_end"_a,
           "small_end"_a, keyword_only, "total"_a = none, "length"_a = none, "uncertainty"_a = 0.0);
    define(module, "rod_removal", broadcast(matching::rod_removal), text::rod_removal,
           "excess_big"_a, "excess_small"_a, "length"_a, "pad_big"_a, "pad_small"_a, keyword_only,
           "limit_big"_a = none, "limit_small"_a = none);
    define(module, "match_rods", without_gil(matching::match_rods), text::match_rods, "big_ends"_a,
           "small_ends"_a, "length"_a, "pad_big"_a, "pad_small"_a, keyword_only,
           "limit_big"_a = none, "limit_small"_a = none, "tolerance_big"_a = 0.0,
           "tolerance_small"_a = 0.0);
    define(module, "assign", Assign{}, text::assign, "cost"_a, keyword_only, "allowed"_a = none,
           "objective"_a = "sum");
    define(module, "pair_parts", without_gil(matching::pair_parts), text::pair_parts, "first"_a,
           "second"_a, keyword_only, "target"_a = none);
    define(module, "choose_parts", without_gil(matching::choose_parts), text::choose_parts,
           "values"_a, "count"_a, keyword_only, "target"_a = none);
    bind_lightening(module);
}

}  // namespace enginewright::bind
