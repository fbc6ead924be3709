#include <map>
#include <random>

#include "bind.hpp"
#include "doc/measure.hpp"
#include "enginewright/measure.hpp"
#include "enginewright/measure/quantity_text.hpp"

/// The Python class `Quantity`: a value or an array of values with their sources of doubt.
namespace enginewright::bind {

namespace {

using measure::Function;
using measure::Series;
using measure::Sources;
using Index = Eigen::Index;

[[noreturn]] void refuse_order()
{
    throw py::type_error("uncertain numbers have verdicts, not order: use measure.check");
}

py::object give_figures(const AnyQuantity& self, const Eigen::ArrayXd& values)
{
    return self.single() ? py::object(py::float_(values[0]))
                         : py::object(give_array(values, self.shape()));
}

Eigen::ArrayXd one_value(double value) { return Eigen::ArrayXd::Constant(1, value); }

py::object value_of(const py::object& self)
{
    const auto& quantity = self.cast<const AnyQuantity&>();
    if (quantity.single()) {
        return py::float_(quantity.one().value());
    }
    // A view: the array keeps the quantity alive.
    py::array_t<double> array(quantity.shape(), quantity.column().values().data(), self);
    return read_only(std::move(array));
}

Eigen::ArrayXd uncertainties(const AnyQuantity& self)
{
    return self.single() ? one_value(self.one().standard_uncertainty())
                         : self.column().standard_uncertainty();
}

Eigen::ArrayXd freedoms(const AnyQuantity& self)
{
    return self.single() ? one_value(self.one().degrees_of_freedom())
                         : self.column().degrees_of_freedom();
}

Eigen::ArrayXd coverage_factors(const AnyQuantity& self, double level)
{
    const Eigen::ArrayXd freedom = freedoms(self);
    Eigen::ArrayXd factors(freedom.size());
    double known = 0;
    double factor = 0;
    for (Index i = 0; i < freedom.size(); ++i) {
        if (i == 0 || freedom[i] != known) {
            known = freedom[i];
            factor = measure::coverage_factor(known, level);
        }
        factors[i] = factor;
    }
    return factors;
}

Eigen::ArrayXd expanded(const AnyQuantity& self, double level, const py::object& coverage_factor)
{
    if (coverage_factor.is_none()) {
        return coverage_factors(self, level) * uncertainties(self);
    }
    const double factor = take_number(coverage_factor, "coverage_factor");
    require_positive("coverage_factor", factor);
    return uncertainties(self) * factor;
}

py::tuple interval(const AnyQuantity& self, double level)
{
    const Eigen::ArrayXd half = expanded(self, level, py::none());
    const Eigen::ArrayXd middle =
        self.single() ? one_value(self.one().value()) : self.column().values();
    return py::make_tuple(give_figures(self, middle - half), give_figures(self, middle + half));
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

const QuantityColumn& column_of(const AnyQuantity& self, const char* what)
{
    if (self.single()) {
        throw py::type_error(std::string("a single quantity has no ") + what);
    }
    return self.column();
}

AnyQuantity item(const AnyQuantity& self, const py::object& index)
{
    const auto& column = column_of(self, "elements");
    const auto numpy = py::module_::import("numpy");
    const py::object picked =
        numpy.attr("arange")(column.size()).attr("reshape")(column.shape())[index];
    const auto order =
        py::array_t<std::ptrdiff_t, py::array::c_style | py::array::forcecast>(picked);
    if (order.ndim() == 0) {
        return {column.at(static_cast<std::size_t>(*order.data()))};
    }
    if (order.size() == 0) {
        refuse_all("index", "pick at least one element");
    }
    return {column.take({order.data(), static_cast<std::size_t>(order.size())},
                        {order.shape(), order.shape() + order.ndim()})};
}

py::object covariance(const AnyQuantity& self, const py::object& other)
{
    if (other.is_none()) {
        if (self.single()) {
            return py::float_(self.one().variance());
        }
        if (self.shape().size() != 1) {
            refuse_all("value", "have one dimension for all covariances, got " +
                                    std::to_string(self.shape().size()));
        }
        return read_only(py::cast(measure::covariance_matrix(self.column())));
    }
    const AnyQuantity with = take_quantity(other, "other");
    if (self.single() && with.single()) {
        return py::float_(measure::covariance(self.one(), with.one()));
    }
    const auto shape = measure::common_shape(self.shape(), with.shape());
    return give_array(measure::covariance(self.stretched(shape), with.stretched(shape)), shape);
}

py::object correlation(const AnyQuantity& self, const py::object& other)
{
    const AnyQuantity with = take_quantity(other, "other");
    if (self.single() && with.single()) {
        return py::float_(measure::correlation(self.one(), with.one()));
    }
    const auto shape = measure::common_shape(self.shape(), with.shape());
    const QuantityColumn a = self.stretched(shape);
    const QuantityColumn b = with.stretched(shape);
    const Eigen::ArrayXd scale = a.standard_uncertainty() * b.standard_uncertainty();
    const Eigen::ArrayXd shared = measure::covariance(a, b);
    const Eigen::ArrayXd ratio =
        (scale > 0).select((shared / scale).min(1.0).max(-1.0), Eigen::ArrayXd::Zero(scale.size()));
    return give_array(ratio, shape);
}

py::tuple source_names(const AnyQuantity& self)
{
    const auto& sources = Sources::shared();
    std::vector<std::uint64_t> all;
    if (self.single()) {
        for (const auto& each : self.one().contributions()) {
            all.push_back(each.source);
        }
    } else {
        for (const auto& each : self.column().common()) {
            all.push_back(each.source);
        }
        for (const auto& own : self.column().own()) {
            if (!own.each) {
                all.push_back(own.family);
                continue;
            }
            all.insert(all.end(), own.each->begin(), own.each->end());
        }
    }
    std::erase(all, 0U);
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());
    py::list names;
    for (const auto each : all) {
        names.append(sources.name(each));
    }
    return py::tuple(names);
}

std::string json_of(const AnyQuantity& self)
{
    return self.single() ? measure::quantity_to_json(self.one())
                         : measure::column_to_json(self.column());
}

py::object as_dict(const AnyQuantity& self)
{
    return py::module_::import("json").attr("loads")(json_of(self));
}

AnyQuantity from_text(const std::string& text, measure::Document& document)
{
    return std::visit([](auto&& read) { return AnyQuantity{std::forward<decltype(read)>(read)}; },
                      measure::quantity_from_json(text, document));
}

AnyQuantity from_dict(const py::object& written, const py::object& document)
{
    if (!PyDict_Check(written.ptr())) {
        refuse_type("d", "a dict", written);
    }
    measure::Document known;
    if (!document.is_none()) {
        if (!PyDict_Check(document.ptr())) {
            refuse_type("document", "a dict", document);
        }
        for (const auto& [name, source] : document.cast<py::dict>()) {
            known.emplace(name.cast<std::string>(), source.cast<std::uint64_t>());
        }
    }
    const auto text = py::module_::import("json").attr("dumps")(written).cast<std::string>();
    AnyQuantity read;
    try {
        read = from_text(text, known);
    } catch (const std::invalid_argument& refused) {
        throw std::invalid_argument(std::string("d must be a quantity as as_dict writes it: ") +
                                    refused.what());
    }
    if (!document.is_none()) {
        for (const auto& [name, source] : known) {
            document[py::str(name)] = source;
        }
    }
    return read;
}

/// Which process gave the number of an unnamed source: a pickle that comes home finds its sources
/// again, one from elsewhere gets fresh ones. A fork begins a stretch of numbers of its own.
struct Stretch {
    std::uint64_t first;
    std::string process;
};

std::string new_process()
{
    std::random_device device;
    std::string text;
    for (int i = 0; i < 4; ++i) {
        text += std::to_string(device()) + ".";
    }
    return text;
}

std::vector<Stretch>& stretches()
{
    static std::vector<Stretch> all{{0, new_process()}};
    return all;
}

std::string process_of(std::uint64_t source)
{
    std::string found;
    for (const auto& each : stretches()) {
        if (Sources::number(source) >= each.first) {
            found = each.process;
        }
    }
    return found;
}

/// Families of unnamed sources of a quantity: what a pickle says of them.
py::dict unnamed_of(const AnyQuantity& self)
{
    const auto& sources = Sources::shared();
    py::dict all;
    const auto put = [&](std::uint64_t source) {
        const auto family = Sources::family(source);
        if (source != 0 && sources.is_unnamed(family)) {
            all[py::str(sources.name(family))] = py::make_tuple(process_of(family), family);
        }
    };
    if (self.single()) {
        for (const auto& each : self.one().contributions()) {
            put(each.source);
        }
        return all;
    }
    for (const auto& each : self.column().common()) {
        put(each.source);
    }
    for (const auto& own : self.column().own()) {
        if (!own.each) {
            put(own.family);
            continue;
        }
        for (const auto each : *own.each) {
            put(each);
        }
    }
    return all;
}

AnyQuantity from_pickle(const std::string& text, const py::dict& unnamed)
{
    static std::map<std::pair<std::string, std::string>, std::uint64_t> foreign;
    measure::Document document;
    for (const auto& [key, value] : unnamed) {
        const auto name = key.cast<std::string>();
        const auto [process, source] = value.cast<std::pair<std::string, std::uint64_t>>();
        const auto known = foreign.find({process, name});
        if (process_of(source) == process && Sources::number(source) < Sources::shared().count()) {
            document.emplace(name, source);
        } else if (known != foreign.end()) {
            document.emplace(name, known->second);
        }
    }
    AnyQuantity read = from_text(text, document);
    for (const auto& [key, value] : unnamed) {
        const auto name = key.cast<std::string>();
        const auto process = value.cast<std::pair<std::string, std::uint64_t>>().first;
        if (const auto found = document.find(name); found != document.end()) {
            foreign.emplace(std::pair{process, name}, found->second);
        }
    }
    return read;
}

std::string shown_elements(const AnyQuantity& self)
{
    if (self.single()) {
        return measure::quantity_text(self.one());
    }
    constexpr std::size_t most = 6;
    const auto& column = self.column();
    std::string text = "[";
    for (std::size_t i = 0; i < std::min(most, column.size()); ++i) {
        text += (i == 0 ? "" : ", ") + measure::quantity_text(column.at(i));
    }
    return text + (column.size() > most ? ", ...]" : "]");
}

std::string repr_of(const AnyQuantity& self, const char* name)
{
    if (self.single()) {
        return std::string(name) + "(" + number_text(self.one().value()) +
               ", standard_uncertainty=" + number_text(self.one().standard_uncertainty()) + ")";
    }
    return std::string(name) + "(" + shown_elements(self) +
           ", shape=" + std::string(py::str(py::tuple(py::cast(self.shape())))) + ")";
}

Series uncertainty_series(const py::object& given, const Lengths& shape)
{
    const auto check = [](double u, const std::string& element) {
        try {
            require_at_least("standard_uncertainty", u, 0.0);
        } catch (const std::invalid_argument& refused) {
            throw std::invalid_argument(refused.what() + element);
        }
    };
    const auto array = take_array(given, "standard_uncertainty");
    for (py::ssize_t i = 0; i < array.size(); ++i) {
        check(array.data()[i],
              array.ndim() == 0 ? "" : " (element " + std::to_string(i) + " of the arrays)");
    }
    if (array.ndim() == 0) {
        return *array.data();
    }
    Eigen::ArrayXd each = Eigen::Map<const Eigen::ArrayXd>(array.data(), array.size());
    const QuantityColumn column(std::move(each), {array.shape(), array.shape() + array.ndim()});
    return Series(column.stretched(shape).values());
}

std::uint64_t source_of(const py::object& source, double freedom, measure::Kind kind, bool family)
{
    auto& sources = Sources::shared();
    if (source.is_none()) {
        return sources.unnamed(freedom, kind);
    }
    const auto id = sources.named(take_text(source, "source"), freedom, kind);
    if (family && id != Sources::family(id)) {
        refuse_all("source",
                   "be a name without a number in brackets when each element has a "
                   "source of its own, got '" +
                       sources.name(id) + "'");
    }
    return id;
}

AnyQuantity make_quantity(const py::object& value, const py::object& standard_uncertainty,
                          const py::object& source, const py::object& degrees_of_freedom,
                          const py::object& kind, const py::object& common)
{
    if (holds_quantity(value.ptr())) {
        refuse_type("value", "a number or an array of numbers", value);
    }
    const AnyQuantity plain = take_quantity(value, "value");
    const double freedom = Argument<double>(degrees_of_freedom, "degrees_of_freedom").get();
    const auto of_kind = Argument<measure::Kind>(kind, "kind").get();
    const bool shared = Argument<bool>(common, "common").get();
    double u = 0;
    if (plain.single() && take_plain_number(standard_uncertainty.ptr(), u)) {
        require_at_least("standard_uncertainty", u, 0.0);
        return {Quantity(plain.one().value(), u, source_of(source, freedom, of_kind, false))};
    }
    const auto array = take_array(standard_uncertainty, "standard_uncertainty");
    const auto shape =
        measure::common_shape(plain.shape(), {array.shape(), array.shape() + array.ndim()});
    if (array.size() == 0) {
        refuse_all("standard_uncertainty", "not be empty");
    }
    if (!plain.single() && shape != plain.shape()) {
        refuse_all("standard_uncertainty", "be one number or have the shape of the value");
    }
    Series series = uncertainty_series(standard_uncertainty, shape);
    if (shape.empty()) {
        return {Quantity(plain.one().value(), series.is_constant() ? series.constant() : series[0],
                         source_of(source, freedom, of_kind, false))};
    }
    const auto id = source_of(source, freedom, of_kind, !shared);
    return {QuantityColumn(plain.stretched(shape).values(), shape, std::move(series), id, shared)};
}

void define_figures(py::class_<AnyQuantity>& bound)
{
    bound.def_property_readonly("value", &value_of, "The value, or a read-only array of them.")
        .def_property_readonly(
            "standard_uncertainty",
            [](const AnyQuantity& self) { return give_figures(self, uncertainties(self)); },
            "Root of the variance (k = 1).")
        .def_property_readonly(
            "variance",
            [](const AnyQuantity& self) {
                return give_figures(self, self.single() ? one_value(self.one().variance())
                                                        : self.column().variance());
            },
            "Sum of the squared contributions.")
        .def_property_readonly(
            "degrees_of_freedom",
            [](const AnyQuantity& self) { return give_figures(self, freedoms(self)); },
            doc::measure::Quantity_degrees_of_freedom)
        .def_property_readonly("sources", &source_names,
                               "Names of the sources; of a family, the family's.")
        .def_property_readonly(
            "shape", [](const AnyQuantity& self) { return py::tuple(py::cast(self.shape())); },
            "Shape of the array; () for a single value.")
        .def(
            "coverage_factor",
            [](const AnyQuantity& self, const py::object& level) {
                return give_figures(self,
                                    coverage_factors(self, Argument<double>(level, "level").get()));
            },
            "level"_a = 0.95, doc::measure::coverage_factor)
        .def(
            "expanded",
            [](const AnyQuantity& self, const py::object& level, const py::object& factor) {
                return give_figures(self,
                                    expanded(self, Argument<double>(level, "level").get(), factor));
            },
            "level"_a = 0.95, py::kw_only(), "coverage_factor"_a = py::none(),
            "Expanded uncertainty k * u, k for the level unless it is given.")
        .def(
            "interval",
            [](const AnyQuantity& self, const py::object& level) {
                return interval(self, Argument<double>(level, "level").get());
            },
            "level"_a = 0.95, "Low and high end: value less and plus the expanded uncertainty.")
        .def(
            "budget",
            [](const AnyQuantity& self, const py::object& level) {
                if (!self.single()) {
                    throw py::type_error(
                        "budget is for one value: index the array first, "
                        "q[i].budget()");
                }
                return measure::budget(self.one(), Argument<double>(level, "level").get());
            },
            "level"_a = 0.95, doc::measure::budget)
        .def("covariance", &covariance, "other"_a = py::none(), doc::measure::covariance)
        .def("correlation", &correlation, "other"_a, doc::measure::correlation)
        .def("sum", &sum, "axis"_a = py::none(),
             "Sum of all elements, or along the last axis, with every correlation.")
        .def("mean", &mean, "axis"_a = py::none(),
             "Mean of all elements, or along the last axis: common errors stay whole.");
}

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
    bound.attr("__pandas_priority__") = 5000;
    bound.def("__array_ufunc__", &array_ufunc)
        .def("__array_function__", &array_function)
        .def("__array__", [](const AnyQuantity&, const py::args&, const py::kwargs&) -> py::object {
            throw py::type_error("a Quantity is no plain array: take its .value");
        });
}

void define_storage(py::class_<AnyQuantity>& bound)
{
    bound
        .def("__len__",
             [](const AnyQuantity& self) { return column_of(self, "length").shape().front(); })
        .def("__getitem__", &item, "index"_a)
        .def("__iter__",
             [](const AnyQuantity& self) {
                 py::list all;
                 for (py::ssize_t i = 0; i < column_of(self, "elements").shape().front(); ++i) {
                     all.append(py::cast(item(self, py::int_(i))));
                 }
                 return py::iter(all);
             })
        .def("__str__", &shown_elements)
        .def("__repr__", [](const AnyQuantity& self) { return repr_of(self, "Quantity"); })
        .def("as_dict", &as_dict, doc::measure::quantity_to_json)
        .def_static("from_dict", &from_dict, "d"_a, "document"_a = py::none(),
                    doc::measure::quantity_from_json)
        .def("__copy__", [](const py::object& self) { return self; })
        .def(
            "__deepcopy__", [](const py::object& self, const py::object&) { return self; },
            "memo"_a)
        .def(py::pickle(
            [](const AnyQuantity& self) { return py::make_tuple(json_of(self), unnamed_of(self)); },
            [](const py::tuple& state) {
                return from_pickle(state[0].cast<std::string>(), state[1].cast<py::dict>());
            }));
}

void define_reading(py::module_& module)
{
    py::class_<AnyReading, AnyQuantity>(module, "Reading", doc::measure::Reading)
        .def_property_readonly(
            "count", [](const AnyReading& self) { return self.count; }, "How many indications.")
        .def_property_readonly(
            "mean_indication", [](const AnyReading& self) { return self.mean_indication; },
            "Mean of the indications before any correction, mm.")
        .def_property_readonly(
            "standard_deviation", [](const AnyReading& self) { return self.standard_deviation; },
            "Of the indications, mm; None for one.")
        .def_property_readonly(
            "notes", [](const AnyReading& self) { return py::tuple(py::cast(self.notes)); },
            "What a person should know.")
        .def("__repr__", [](const AnyReading& self) { return repr_of(self, "Reading"); })
        .def("as_dict",
             [](const AnyReading& self) {
                 const py::object all = as_dict(self);
                 all["count"] = self.count;
                 all["mean_indication"] = self.mean_indication;
                 all["standard_deviation"] = self.standard_deviation;
                 all["notes"] = self.notes;
                 return all;
             })
        .def(py::pickle(
            [](const AnyReading& self) {
                return py::make_tuple(json_of(self), unnamed_of(self), self.count,
                                      self.mean_indication, self.standard_deviation, self.notes);
            },
            [](const py::tuple& state) {
                AnyReading self;
                self.held =
                    from_pickle(state[0].cast<std::string>(), state[1].cast<py::dict>()).held;
                self.count = state[2].cast<std::size_t>();
                self.mean_indication = state[3].cast<double>();
                self.standard_deviation = state[4].cast<std::optional<double>>();
                self.notes = state[5].cast<std::vector<std::string>>();
                return self;
            }));
}

}  // namespace

void bind_quantity(py::module_& module)
{
    py::class_<AnyQuantity> bound(module, "Quantity", doc::measure::Quantity);
    bound.def(py::init(&make_quantity), "value"_a, "standard_uncertainty"_a = 0.0, py::kw_only(),
              "source"_a = py::none(), "degrees_of_freedom"_a = measure::infinite_freedom,
              "kind"_a = "B", "common"_a = false);
    quantity_type = reinterpret_cast<PyTypeObject*>(bound.ptr());
    define_figures(bound);
    define_operators(bound);
    define_storage(bound);
    define_reading(module);
    const py::cpp_function forked(
        [] { stretches().push_back({Sources::shared().count(), new_process()}); });
    py::module_::import("os").attr("register_at_fork")("after_in_child"_a = forked);
}

}  // namespace enginewright::bind
