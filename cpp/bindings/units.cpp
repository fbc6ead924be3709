#include "enginewright/units.hpp"

#include "bind.hpp"
#include "doc/units.hpp"

namespace enginewright::bind {

namespace {

/// A number that brings its unit or its doubt, told by what it can do: no library is imported.
///
/// What has `to(unit).magnitude` is asked for its number in the unit; what has `nominal_value` and
/// `std_dev` becomes a `Quantity` with a source of its own.
py::object taken_by_shape(py::object value, const std::string& unit)
{
    try {
        if (py::hasattr(value, "to") && py::hasattr(value, "magnitude")) {
            value = value.attr("to")(unit).attr("magnitude");
        }
        if (py::hasattr(value, "nominal_value") && py::hasattr(value, "std_dev")) {
            const py::handle quantity(reinterpret_cast<PyObject*>(quantity_type));
            value = quantity(value.attr("nominal_value"), value.attr("std_dev"));
        }
        return value;
    } catch (py::error_already_set& error) {
        throw units::UnitError("value cannot be had in '" + unit +
                               "': " + std::string(py::str(error.value())));
    }
}

/// `convert` over numbers: its units are looked up once a call, not once an element.
struct Convert {
    static constexpr std::size_t count = 4;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        const Argument<std::string_view> from(given[1], signature.name(1));
        const Argument<std::optional<std::string_view>> to(given[2], signature.name(2));
        const Argument<std::optional<std::string_view>> dimension(given[3], signature.name(3));
        const auto conversion = units::conversion(from.get(), to.get(), dimension.get());
        double number = 0;
        if (take_plain_number(given[0], number)) {
            return py::float_(conversion(number));
        }
        const auto value =
            taken_by_shape(py::reinterpret_borrow<py::object>(given[0]), std::string(from.get()));
        if (holds_quantity(value.ptr())) {
            const std::array<PyObject*, count> again{value.ptr(), given[1], given[2], given[3]};
            return broadcast(units::convert).call(signature, again.data());
        }
        return over_array(conversion, take_array(value, signature.name(0)));
    }

  private:
    static py::object over_array(const units::Conversion& conversion,
                                 const py::array_t<double, py::array::c_style>& values)
    {
        const std::vector<py::ssize_t> shape(values.shape(), values.shape() + values.ndim());
        if (shape.empty()) {
            return py::float_(conversion(*values.data()));
        }
        py::array_t<double> answer(shape);
        const auto size = static_cast<std::size_t>(values.size());
        std::size_t element = 0;
        try {
            for (; element < size; ++element) {
                answer.mutable_data()[element] = conversion(values.data()[element]);
            }
        } catch (const std::invalid_argument& refused) {
            refuse_element(refused, element);
        }
        return answer;
    }
};

std::vector<units::Unit> all_units()
{
    const auto all = units::table();
    return {all.begin(), all.end()};
}

units::Unit one_unit(std::string_view symbol, std::optional<std::string_view> dimension)
{
    return units::unit(symbol, dimension);
}

std::string canonical_unit(std::string_view dimension)
{
    return std::string(units::canonical(dimension));
}

}  // namespace

void bind_units(py::module_ module)
{
    py::register_exception<units::UnitError>(module, "UnitError", PyExc_ValueError);
    module.attr("UnitError").attr("__doc__") = doc::units::UnitError;
    bind_record<units::Unit>(module, "Unit", doc::units::Unit);
    bind_record<units::Amount>(module, "Amount", doc::units::Amount);
    bind_record<units::Header>(module, "Header", doc::units::Header);

    define(module, "parse", plain(units::parse), doc::units::parse, "text"_a,
           "dimension"_a = py::none(), py::kw_only(), "decimal"_a = "auto");
    define(module, "convert", Convert{}, doc::units::convert, "value"_a, "from_unit"_a,
           "to_unit"_a = py::none(), "dimension"_a = py::none());
    define(module, "header", plain(units::header), doc::units::header, "text"_a,
           "dimension"_a = py::none());
    define(module, "unit", plain(one_unit), doc::units::unit, "symbol"_a,
           "dimension"_a = py::none());
    define(module, "canonical", plain(canonical_unit), doc::units::canonical, "dimension"_a);
    define(module, "table", plain(all_units), doc::units::table);
    define(module, "show", plain(units::show), doc::units::show, "value"_a, "dimension"_a,
           py::kw_only(), "system"_a = "both", "digits"_a = py::none());
}

}  // namespace enginewright::bind
