#include "quantity_class.hpp"

/// What a quantity says of itself.
namespace enginewright::bind {

namespace {

using measure::Sources;
using Index = Eigen::Index;

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

}  // namespace

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
        .def("correlation", &correlation, "other"_a, doc::measure::correlation);
}

}  // namespace enginewright::bind
