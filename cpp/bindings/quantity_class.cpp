#include "quantity_class.hpp"

/// The Python class `Quantity`: a value or an array of values with their sources of doubt.
namespace enginewright::bind {

namespace {

using measure::Series;
using measure::Sources;

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

/// What more readings would change, for a pickle: the source goes by its amount, since its number
/// may be another one when it comes back.
py::tuple state_of_repeats(const AnyReading& self)
{
    const auto& repeats = self.repeats;
    const auto amount = repeats.source ? self.one().contribution(*repeats.source) : 0.0;
    return py::make_tuple(amount, repeats.slope, repeats.resolution, repeats.record,
                          repeats.record_freedom);
}

measure::Repeats repeats_from_state(const py::tuple& state, const Quantity& size)
{
    measure::Repeats repeats{.source = {},
                             .slope = state[1].cast<double>(),
                             .resolution = state[2].cast<double>(),
                             .record = state[3].cast<std::optional<double>>(),
                             .record_freedom = state[4].cast<double>()};
    const auto amount = state[0].cast<double>();
    for (const auto& each : size.contributions()) {
        if (each.amount == amount && Sources::shared().is_unnamed(each.source)) {
            repeats.source = each.source;
        }
    }
    return repeats;
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
                 const py::object all = dict_of(self);
                 all["count"] = self.count;
                 all["mean_indication"] = self.mean_indication;
                 all["standard_deviation"] = self.standard_deviation;
                 all["notes"] = self.notes;
                 return all;
             })
        .def(py::pickle(
            [](const AnyReading& self) {
                return pickled(self) + py::make_tuple(self.count, self.mean_indication,
                                                      self.standard_deviation, self.notes,
                                                      state_of_repeats(self));
            },
            [](const py::tuple& state) {
                AnyReading self;
                self.held =
                    from_pickle(state[0].cast<std::string>(), state[1].cast<py::dict>()).held;
                self.count = state[2].cast<std::size_t>();
                self.mean_indication = state[3].cast<double>();
                self.standard_deviation = state[4].cast<std::optional<double>>();
                self.notes = state[5].cast<std::vector<std::string>>();
                self.repeats = repeats_from_state(state[6].cast<py::tuple>(), self.one());
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
    py::module_::import("os").attr("register_at_fork")("after_in_child"_a =
                                                           py::cpp_function(&begin_process));
}

}  // namespace enginewright::bind
