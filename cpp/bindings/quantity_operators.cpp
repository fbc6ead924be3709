#include "quantity_class.hpp"

/// Quantities in arithmetic and under NumPy.
namespace enginewright::bind {

namespace {

using measure::Function;
using measure::Series;

[[noreturn]] void refuse_order()
{
    throw py::type_error("uncertain numbers have verdicts, not order: use measure.check");
}

/// The other operand of an operator; none when it is nothing that a quantity works with.
std::optional<AnyQuantity> operand(const py::object& given)
{
    PyObject* const raw = given.ptr();
    if (PyBool_Check(raw) || PyUnicode_Check(raw) || PyBytes_Check(raw) || PyDict_Check(raw) ||
        given.is_none()) {
        return std::nullopt;
    }
    return take_quantity(given, "operand");
}

AnyQuantity as_column(const AnyQuantity& quantity)
{
    return quantity.single() ? AnyQuantity{QuantityColumn(quantity.one(), {})} : quantity;
}

template <class Operation>
AnyQuantity apply_operation(const AnyQuantity& a, const AnyQuantity& b, Operation operation)
{
    if (a.single() && b.single()) {
        return {operation(a.one(), b.one())};
    }
    return {operation(as_column(a).column(), as_column(b).column())};
}

constexpr auto plus = [](const auto& a, const auto& b) { return a + b; };
constexpr auto minus = [](const auto& a, const auto& b) { return a - b; };
constexpr auto times = [](const auto& a, const auto& b) { return a * b; };
constexpr auto over = [](const auto& a, const auto& b) { return a / b; };

AnyQuantity apply_power(const AnyQuantity& base, const AnyQuantity& exponent)
{
    const bool exact = exponent.single()
                           ? exponent.one().contributions().empty()
                           : exponent.column().common().empty() && exponent.column().own().empty();
    if (!exact) {
        throw py::type_error("exponent must be a number or an array of numbers, got Quantity");
    }
    if (base.single() && exponent.single()) {
        return {measure::power(base.one(), exponent.one().value())};
    }
    const auto shape = measure::common_shape(base.shape(), exponent.shape());
    const QuantityColumn powers = exponent.stretched(shape);
    return {measure::power_each(base.stretched(shape), Series(powers.values()))};
}

AnyQuantity apply_function(Function function, const AnyQuantity& quantity)
{
    if (quantity.single()) {
        return {measure::apply(function, quantity.one())};
    }
    return {measure::apply_each(function, quantity.column())};
}

AnyQuantity negative(const AnyQuantity& self)
{
    return apply_operation(AnyQuantity{Quantity(0.0)}, self, minus);
}

py::object not_implemented() { return py::reinterpret_borrow<py::object>(Py_NotImplemented); }

template <class Operation>
py::object operate(const AnyQuantity& a, const py::object& other, Operation operation,
                   bool reflected)
{
    const auto b = operand(other);
    if (!b) {
        return not_implemented();
    }
    return py::cast(reflected ? apply_operation(*b, a, operation)
                              : apply_operation(a, *b, operation));
}

[[noreturn]] void refuse_function(const std::string& name)
{
    throw py::type_error("numpy." + name +
                         " is not for quantities: work on .value and .standard_uncertainty, or "
                         "use arithmetic, sqrt, exp, log and the trigonometric functions");
}

py::object binary_ufunc(const std::string& name, const py::object& first, const py::object& second)
{
    const auto a = operand(first);
    const auto b = operand(second);
    if (!a || !b) {
        return not_implemented();
    }
    if (name == "add") {
        return py::cast(apply_operation(*a, *b, plus));
    }
    if (name == "subtract") {
        return py::cast(apply_operation(*a, *b, minus));
    }
    if (name == "multiply") {
        return py::cast(apply_operation(*a, *b, times));
    }
    if (name == "divide" || name == "true_divide") {
        return py::cast(apply_operation(*a, *b, over));
    }
    if (name == "power" || name == "float_power") {
        return py::cast(apply_power(*a, *b));
    }
    if (name == "equal" || name == "not_equal") {
        return py::bool_(first.is(second) == (name == "equal"));
    }
    if (name == "less" || name == "less_equal" || name == "greater" || name == "greater_equal") {
        refuse_order();
    }
    refuse_function(name);
}

py::object array_ufunc(const py::object&, const py::object& ufunc, const std::string& method,
                       const py::args& inputs, const py::kwargs& options)
{
    const auto name = ufunc.attr("__name__").cast<std::string>();
    if (method != "__call__" || !options.empty()) {
        refuse_function(method == "__call__" ? name + " with options" : name + "." + method);
    }
    if (inputs.size() == 2) {
        return binary_ufunc(name, inputs[0], inputs[1]);
    }
    const AnyQuantity self = take_quantity(inputs[0], "x");
    if (name == "negative") {
        return py::cast(negative(self));
    }
    if (name == "positive") {
        return inputs[0];
    }
    if (name == "square") {
        return py::cast(apply_operation(self, self, times));
    }
    const auto& known = words<Function>.list;
    const auto found = std::find(known.begin(), known.end(), name == "fabs" ? "absolute" : name);
    if (found == known.end()) {
        refuse_function(name);
    }
    return py::cast(apply_function(static_cast<Function>(found - known.begin()), self));
}

/// The sum of all, or along one axis.
AnyQuantity sum(const AnyQuantity& self, const py::object& axis)
{
    if (self.single()) {
        if (!axis.is_none()) {
            refuse_all("axis", "be left out for a single quantity");
        }
        return self;
    }
    const auto& column = self.column();
    const auto dimensions = static_cast<long long>(column.shape().size());
    if (axis.is_none() || dimensions == 1) {
        const long long only = axis.is_none() ? 0 : take_whole(axis, "axis");
        if (only < -dimensions || only >= dimensions) {
            refuse_all("axis", "be 0 or -1, got " + std::to_string(only));
        }
        return {column.sum()};
    }
    long long along = take_whole(axis, "axis");
    if (along < -dimensions || along >= dimensions) {
        refuse_all("axis", "be between " + std::to_string(-dimensions) + " and " +
                               std::to_string(dimensions - 1) + ", got " + std::to_string(along));
    }
    along += along < 0 ? dimensions : 0;
    if (along == dimensions - 1) {
        return {column.sum_last()};
    }
    if (!column.own().empty()) {
        refuse_all("axis " + std::to_string(along),
                   "not be mixed: elements with sources of their own are combined along the last "
                   "axis only");
    }
    // Common errors only: any axis may come last.
    const auto numpy = py::module_::import("numpy");
    const auto order = py::array_t<std::ptrdiff_t, py::array::c_style | py::array::forcecast>(
        numpy.attr("moveaxis")(numpy.attr("arange")(column.size()).attr("reshape")(self.shape()),
                               along, -1));
    const Lengths moved(order.shape(), order.shape() + order.ndim());
    return {column.take({order.data(), static_cast<std::size_t>(order.size())}, moved).sum_last()};
}

AnyQuantity mean(const AnyQuantity& self, const py::object& axis)
{
    const AnyQuantity total = sum(self, axis);
    const auto size = [](const AnyQuantity& any) {
        return any.single() ? 1.0 : static_cast<double>(any.column().size());
    };
    return apply_operation(total, AnyQuantity{Quantity(size(self) / size(total))}, over);
}

py::object array_function(const py::object& self, const py::object& function, const py::object&,
                          const py::tuple& inputs, const py::dict& options)
{
    const auto name = function.attr("__name__").cast<std::string>();
    const bool known = name == "sum" || name == "mean";
    if (!known || inputs.empty() || inputs[0].ptr() != self.ptr()) {
        refuse_function(name);
    }
    py::object axis = py::none();
    for (const auto& [key, value] : options) {
        if (key.cast<std::string>() != "axis") {
            refuse_function(name + " with options other than axis");
        }
        axis = py::reinterpret_borrow<py::object>(value);
    }
    if (inputs.size() > 1) {
        axis = inputs[1];
    }
    const auto& quantity = self.cast<const AnyQuantity&>();
    return py::cast(name == "sum" ? sum(quantity, axis) : mean(quantity, axis));
}

}  // namespace

void define_operators(py::class_<AnyQuantity>& bound)
{
    const auto operation = [&bound](const char* name, const char* reflected, auto apply) {
        bound.def(name, [apply](const AnyQuantity& self, const py::object& other) {
            return operate(self, other, apply, false);
        });
        bound.def(reflected, [apply](const AnyQuantity& self, const py::object& other) {
            return operate(self, other, apply, true);
        });
    };
    operation("__add__", "__radd__", plus);
    operation("__sub__", "__rsub__", minus);
    operation("__mul__", "__rmul__", times);
    operation("__truediv__", "__rtruediv__", over);
    bound
        .def("__pow__",
             [](const AnyQuantity& self, const py::object& other) -> py::object {
                 const auto exponent = operand(other);
                 return exponent ? py::cast(apply_power(self, *exponent)) : not_implemented();
             })
        .def("__rpow__",
             [](const AnyQuantity& self, const py::object& other) -> py::object {
                 const auto base = operand(other);
                 return base ? py::cast(apply_power(*base, self)) : not_implemented();
             })
        .def("__neg__", &negative)
        .def("__pos__", [](const py::object& self) { return self; })
        .def("__abs__",
             [](const AnyQuantity& self) { return apply_function(Function::absolute, self); })
        .def("__bool__", [](const AnyQuantity&) -> bool { refuse_order(); });
    for (const char* name : {"__lt__", "__le__", "__gt__", "__ge__"}) {
        bound.def(name,
                  [](const AnyQuantity&, const py::object&) -> py::object { refuse_order(); });
    }
    bound
        .def("sum", &sum, "axis"_a = py::none(),
             "Sum of all elements, or along the last axis, with every correlation.")
        .def("mean", &mean, "axis"_a = py::none(),
             "Mean of all elements, or along the last axis: common errors stay whole.");
    bound.attr("__pandas_priority__") = 5000;
    bound.def("__array_ufunc__", &array_ufunc)
        .def("__array_function__", &array_function)
        .def("__array__", [](const AnyQuantity&, const py::args&, const py::kwargs&) -> py::object {
            throw py::type_error("a Quantity is no plain array: take its .value");
        });
}

}  // namespace enginewright::bind
