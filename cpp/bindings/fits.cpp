#include "enginewright/fits.hpp"

#include "bind.hpp"
#include "doc/fits.hpp"

namespace enginewright::bind {

/// A grade: 7, "7", "IT7".
template <>
struct Argument<fits::GradeName> {
    fits::GradeName value;
    Argument(py::handle given, std::string_view name)
    {
        if (PyUnicode_Check(given.ptr())) {
            value = take_text(given, name);
        } else {
            value = Argument<int>(given, name).get();
        }
    }
    const fits::GradeName& get() const { return value; }
};

namespace {

/// The plain values of a quantity: nominal sizes, by which a table is entered.
py::object values_of(const AnyQuantity& quantity)
{
    return quantity.single() ? py::object(py::float_(quantity.one().value()))
                             : py::object(give_array(quantity.column().values(), quantity.shape()));
}

Eigen::ArrayXd flat(py::handle numbers)
{
    const auto array = py::array_t<double, py::array::c_style | py::array::forcecast>::ensure(
        py::reinterpret_borrow<py::object>(numbers));
    return Eigen::Map<const Eigen::ArrayXd>(array.data(), array.size());
}

/// `grade`: a table is entered by the value, and what stands in it has no doubt.
struct Grade {
    static constexpr std::size_t count = 2;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        const auto way = broadcast(fits::grade);
        if (!holds_quantity(given[0])) {
            return way.call(signature, given);
        }
        const auto size = take_quantity(given[0], signature.name(0));
        const auto value = values_of(size);
        const std::array<PyObject*, count> plain_given{value.ptr(), given[1]};
        const auto width = way.call(signature, plain_given.data());
        return size.single() ? py::cast(AnyQuantity{Quantity(width.cast<double>())})
                             : py::cast(AnyQuantity{QuantityColumn(flat(width), size.shape())});
    }
};

fits::Limits limits_of(std::string designation, std::optional<double> size)
{
    return fits::limits(designation, size);
}

/// `limits`: both limits move with a nominal size that has doubt, the deviations stay.
struct LimitsOf {
    static constexpr std::size_t count = 2;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        const auto way = broadcast(limits_of);
        if (!holds_quantity(given[1])) {
            return way.call(signature, given);
        }
        const auto size = take_quantity(given[1], signature.name(1));
        const auto value = values_of(size);
        const std::array<PyObject*, count> plain_given{given[0], value.ptr()};
        py::object answer = way.call(signature, plain_given.data());
        const auto moved = [&](const char* field) -> py::object {
            const auto limit = flat(answer.attr(field));
            if (size.single()) {
                return give_quantity(measure::combine(limit[0], 1.0, size.one(), 0.0, Quantity{}));
            }
            return py::cast(
                AnyQuantity{measure::combine(limit, 1.0, size.column(), 0.0, size.column())});
        };
        std::vector<std::pair<std::string, py::object>> doubtful{
            {"size", py::cast(size)}, {"lower", moved("lower")}, {"upper", moved("upper")}};
        rows_of<fits::Limits>(answer)->doubtful = std::move(doubtful);
        return answer;
    }
};

/// A `Material` from its figures, each of which may carry its doubt.
Rows<fits::Material> made_material(const py::object& name, const py::object& modulus,
                                   const py::object& poisson, const py::object& expansion,
                                   const py::object& yield_strength)
{
    Rows<fits::Material> made;
    const auto figure = [&](const py::object& given, const char* field) {
        if (!is_quantity(given.ptr())) {
            return Argument<double>(given, field).get();
        }
        const auto& quantity = given.cast<const AnyQuantity&>();
        if (!quantity.single()) {
            refuse_all(field, "be one number, got an array");
        }
        made.doubtful.emplace_back(field, given);
        return quantity.one().value();
    };
    fits::Material material{.name = take_text(name, "name"),
                            .modulus = figure(modulus, "modulus"),
                            .poisson = figure(poisson, "poisson"),
                            .expansion = figure(expansion, "expansion")};
    if (!yield_strength.is_none()) {
        material.yield_strength = figure(yield_strength, "yield_strength");
    }
    fits::require_material(material);
    made.rows.push_back(std::move(material));
    return made;
}

fits::PressFit press_fit_of(double diameter, double interference, double length,
                            double outer_diameter, double inner_bore, std::string inner_name,
                            double inner_modulus, double inner_poisson, double inner_expansion,
                            std::optional<double> inner_yield, std::string outer_name,
                            double outer_modulus, double outer_poisson, double outer_expansion,
                            std::optional<double> outer_yield, double friction,
                            double roughness_inner, double roughness_outer,
                            double inner_temperature, double outer_temperature)
{
    return fits::press_fit(
        diameter, interference, length, outer_diameter, inner_bore,
        {std::move(inner_name), inner_modulus, inner_poisson, inner_expansion, inner_yield},
        {std::move(outer_name), outer_modulus, outer_poisson, outer_expansion, outer_yield},
        friction, roughness_inner, roughness_outer, inner_temperature, outer_temperature);
}

/// `press_fit`: two materials, by name or of the shop's own, opened into their figures so that
/// these broadcast and carry their doubt as every other argument does.
struct PressFitWay {
    static constexpr std::size_t count = 12;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        constexpr std::size_t first_material = 5;
        std::vector<py::object> held;
        std::vector<PyObject*> opened(given, given + first_material);
        open(given[first_material], signature.name(first_material), held, opened);
        open(given[first_material + 1], signature.name(first_material + 1), held, opened);
        opened.insert(opened.end(), given + first_material + 2, given + count);
        return broadcast(press_fit_of).call(opened_signature(), opened.data());
    }

  private:
    static void open(PyObject* given, const std::string& name, std::vector<py::object>& held,
                     std::vector<PyObject*>& opened)
    {
        py::object material = py::reinterpret_borrow<py::object>(given);
        if (PyUnicode_Check(given)) {
            material = give(fits::material(take_text(given, name), name));
        } else if (rows_of<fits::Material>(material) == nullptr) {
            refuse_type(name, "a Material or the name of one", given);
        }
        for (const char* field : {"name", "modulus", "poisson", "expansion", "yield_strength"}) {
            held.push_back(material.attr(field));
            opened.push_back(held.back().ptr());
        }
    }

    static const Signature& opened_signature()
    {
        // Kept for the life of the process, as its parameters hold Python's objects.
        static const auto* const signature = [] {
            std::vector<Parameter> parameters;
            for (const char* name : {"diameter",
                                     "interference",
                                     "length",
                                     "outer_diameter",
                                     "inner_bore",
                                     "inner.name",
                                     "inner.modulus",
                                     "inner.poisson",
                                     "inner.expansion",
                                     "inner.yield_strength",
                                     "outer.name",
                                     "outer.modulus",
                                     "outer.poisson",
                                     "outer.expansion",
                                     "outer.yield_strength",
                                     "friction",
                                     "roughness_inner",
                                     "roughness_outer",
                                     "inner_temperature",
                                     "outer_temperature"}) {
                parameters.push_back({name, {}, false});
            }
            return new Signature("press_fit", std::move(parameters), "");
        }();
        return *signature;
    }
};

std::vector<fits::Material> shipped_materials()
{
    const auto all = fits::materials();
    return {all.begin(), all.end()};
}

}  // namespace

void bind_fits(py::module_ module)
{
    namespace text = doc::fits;
    const py::kw_only keyword_only;
    const py::none none;

    bind_record<fits::Limits>(module, "Limits", text::Limits);
    bind_record<fits::Fit>(module, "Fit", text::Fit);
    auto material = bind_record<fits::Material>(module, "Material", text::Material);
    material.def(py::init(&made_material), "name"_a, "modulus"_a, "poisson"_a, "expansion"_a,
                 "yield_strength"_a = none);
    bind_record<fits::PressFit>(module, "PressFit", text::PressFit);
    bind_record<fits::JointStress>(module, "JointStress", text::JointStress);
    bind_record<fits::Loosening>(module, "Loosening", text::Loosening);
    bind_record<fits::Assembly>(module, "Assembly", text::Assembly);

    define(module, "grade", Grade{}, text::grade, "size"_a, "grade"_a);
    define(module, "limits", LimitsOf{}, text::limits, "designation"_a, "size"_a = none);
    define(module, "fit", plain(fits::fit), text::fit, "designation"_a);
    define(module, "classes", plain(fits::classes), text::classes, "size"_a, "minimum_clearance"_a,
           "maximum_clearance"_a, keyword_only, "hole"_a = "H7",
           "grades"_a = py::make_tuple(4, 5, 6, 7, 8, 9, 10, 11));
    define(module, "materials", plain(shipped_materials), text::materials);
    define(module, "press_fit", PressFitWay{}, text::press_fit, "diameter"_a, "interference"_a,
           "length"_a, keyword_only, "outer_diameter"_a, "inner_bore"_a = 0.0, "inner"_a, "outer"_a,
           "friction"_a = 0.12, "roughness_inner"_a = 0.0, "roughness_outer"_a = 0.0,
           "inner_temperature"_a = 20.0, "outer_temperature"_a = 20.0);
    define(module, "joint_stress", broadcast(fits::joint_stress), text::joint_stress, "radius"_a,
           keyword_only, "pressure"_a, "diameter"_a, "outer_diameter"_a, "inner_bore"_a = 0.0);
    define(module, "loosening_temperature", broadcast(fits::loosening_temperature),
           text::loosening_temperature, "diameter"_a, "interference"_a, keyword_only,
           "inner_expansion"_a, "outer_expansion"_a, "inner_share"_a = 1.0);
    define(module, "assembly_temperature", broadcast(fits::assembly_temperature),
           text::assembly_temperature, "diameter"_a, "interference"_a, "clearance"_a, keyword_only,
           "outer_expansion"_a, "inner_expansion"_a, "room"_a = 20.0, "inner_temperature"_a = none,
           "outer_limit"_a = none);
}

}  // namespace enginewright::bind
