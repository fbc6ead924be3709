#include "enginewright/measure.hpp"

#include "../src/numerics/distributions.hpp"
#include "bind.hpp"
#include "doc/measure.hpp"

namespace enginewright::bind {

void bind_quantity(py::module_& module);
void bind_measure_studies(py::module_& module);
void bind_measure_formulas(py::module_& module);

namespace {

using measure::Verdict;

/// A limit: none, one number, or an array of them.
struct LimitColumn {
    std::optional<py::array_t<double, py::array::c_style>> each{};

    LimitColumn(py::handle given, std::string_view name)
    {
        if (!given.is_none()) {
            each = take_array(given, name);
        }
    }
    Lengths shape() const
    {
        return each ? Lengths(each->shape(), each->shape() + each->ndim()) : Lengths{};
    }
    void stretch(const Walk& walk)
    {
        if (each) {
            each = stretched(*each, walk);
        }
    }
    std::optional<double> at(std::size_t i) const
    {
        return each ? std::optional(each->data()[each->size() == 1 ? 0 : i]) : std::nullopt;
    }
};

/// `measure.check`: quantities, numbers and arrays of both, against limits that may be arrays.
struct Check {
    static constexpr std::size_t count = 6;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        const AnyQuantity quantity = take_quantity(given[0], signature.name(0));
        LimitColumn lower(given[1], signature.name(1));
        LimitColumn upper(given[2], signature.name(2));
        const auto rule = Argument<measure::Rule>(given[3], signature.name(3)).get();
        const double level = Argument<double>(given[4], signature.name(4)).get();
        const auto unit = Argument<std::string>(given[5], signature.name(5)).value;
        const Lengths shape = measure::common_shape(
            quantity.shape(), measure::common_shape(lower.shape(), upper.shape()));
        if (shape.empty()) {
            return give(measure::check(quantity.single() ? quantity.one() : Quantity{}, lower.at(0),
                                       upper.at(0), rule, level, unit));
        }
        return column(quantity.stretched(shape), lower, upper, rule, level, unit);
    }

  private:
    static py::object column(const QuantityColumn& values, LimitColumn& lower, LimitColumn& upper,
                             measure::Rule rule, double level, const std::string& unit)
    {
        const Walk walk{.shape = {values.shape().begin(), values.shape().end()},
                        .size = values.size()};
        lower.stretch(walk);
        upper.stretch(walk);
        const Eigen::ArrayXd u = values.standard_uncertainty();
        const Eigen::ArrayXd freedom = values.degrees_of_freedom();
        Rows<Verdict> rows;
        rows.shape = walk.shape;
        rows.rows.reserve(walk.size);
        for (std::size_t i = 0; i < walk.size; ++i) {
            const auto at = static_cast<Eigen::Index>(i);
            try {
                rows.rows.push_back(measure::judge(values.values()[at], u[at], freedom[at],
                                                   lower.at(i), upper.at(i), rule, level, unit));
            } catch (const std::invalid_argument& refused) {
                refuse_element(refused, i);
            }
        }
        return give_rows(std::move(rows));
    }
};

/// An optional quantity that must be a single one.
std::optional<Quantity> single_quantity(PyObject* given, std::string_view name)
{
    if (given == Py_None) {
        return std::nullopt;
    }
    const AnyQuantity taken = take_quantity(given, name);
    if (!taken.single()) {
        refuse_all(name, "be one number, got an array");
    }
    return taken.one();
}

/// The indications on the master: one number, several, or a quantity with its own doubt.
struct Zero {
    std::vector<double> readings{};
    std::optional<Quantity> known{};

    Zero(PyObject* given, std::string_view name)
    {
        if (holds_quantity(given)) {
            known = single_quantity(given, name);
            return;
        }
        const auto array = take_array(given, name);
        if (array.ndim() > 1) {
            refuse_all(name,
                       "be a number or have one dimension, got " + std::to_string(array.ndim()));
        }
        if (array.size() == 0) {
            refuse_all(name, "hold at least 1 reading, got 0");
        }
        readings.assign(array.data(), array.data() + array.size());
    }
};

/// `measure.reading`.
struct TakeReading {
    static constexpr std::size_t count = 10;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        const auto quantity = [&](std::size_t i) {
            return single_quantity(given[i], signature.name(i));
        };
        const Argument<std::span<const double>> readings(given[0], signature.name(0));
        std::optional<measure::Gauge> gauge;
        if (given[1] != Py_None) {
            if (rows_of<measure::Gauge>(given[1]) == nullptr) {
                refuse_type(signature.name(1), "a Gauge or None", given[1]);
            }
            gauge = py::handle(given[1]).cast<measure::Gauge>();
        }
        const auto temperature = quantity(2);
        if (!temperature) {
            refuse_type(signature.name(2), "a number or a Quantity", given[2]);
        }
        const Zero zero(given[8], signature.name(8));
        const Argument<std::optional<std::string>> setting(given[9], signature.name(9));
        const auto label = setting.get();
        if (label && label->empty()) {
            refuse_all(signature.name(9), "be a text that is not empty, or None");
        }
        const measure::ReadingOptions options{.temperature = *temperature,
                                              .expansion = quantity(3),
                                              .gauge_temperature = quantity(4),
                                              .master = quantity(5),
                                              .master_temperature = quantity(6),
                                              .master_expansion = quantity(7),
                                              .zero = zero.readings,
                                              .known_zero = zero.known,
                                              .setting = label ? std::string_view(*label) : ""};
        return give_reading(measure::reading(readings.get(), gauge ? &*gauge : nullptr, options));
    }

  private:
    static py::object give_reading(const measure::Reading& reading)
    {
        AnyReading out;
        out.held = reading.size;
        out.count = reading.count;
        out.mean_indication = reading.mean_indication;
        out.standard_deviation = reading.standard_deviation;
        out.notes = reading.notes;
        out.repeats = reading.repeats;
        return py::cast(out);
    }
};

/// `measure.stack`: a sequence of quantities as one column.
struct Stack {
    static constexpr std::size_t count = 1;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        const auto& name = signature.name(0);
        const bool single = is_quantity(given[0])
                                ? py::handle(given[0]).cast<const AnyQuantity&>().single()
                                : py::isinstance<py::array>(given[0]) &&
                                      py::reinterpret_borrow<py::array>(given[0]).ndim() == 0;
        if (single || PyObject_HasAttrString(given[0], "__iter__") == 0 ||
            PyUnicode_Check(given[0])) {
            refuse_type(name, "a sequence of quantities", given[0]);
        }
        std::vector<Quantity> all;
        for (const auto each : py::iter(py::handle(given[0]))) {
            const std::string element = element_name(name, all.size());
            const auto one = single_quantity(each.ptr(), element);
            if (!one) {
                refuse_type(element, "a quantity", each);
            }
            all.push_back(*one);
        }
        if (all.empty()) {
            refuse_all(name, "not be empty");
        }
        return py::cast(AnyQuantity{QuantityColumn::stack(all)});
    }
};

/// The distributions, for the tests that compare them with other libraries.
void bind_numerics(py::module_ module)
{
    namespace numerics = enginewright::numerics;
    define(module, "normal_cdf", broadcast(numerics::normal_cdf), "", "x"_a);
    define(module, "normal_quantile", broadcast(numerics::normal_quantile), "", "probability"_a);
    define(module, "t_cdf", broadcast(numerics::t_cdf), "", "x"_a, "freedom"_a);
    define(module, "t_quantile", broadcast(numerics::t_quantile), "", "probability"_a, "freedom"_a);
    define(module, "chi_square_cdf", broadcast(numerics::chi_square_cdf), "", "x"_a, "freedom"_a);
    define(module, "chi_square_quantile", broadcast(numerics::chi_square_quantile), "",
           "probability"_a, "freedom"_a);
    define(module, "f_cdf", broadcast(numerics::f_cdf), "", "x"_a, "above"_a, "below"_a);
    define(module, "f_quantile", broadcast(numerics::f_quantile), "", "probability"_a, "above"_a,
           "below"_a);
    define(module, "log_gamma", broadcast(numerics::log_gamma), "", "z"_a);
}

}  // namespace

void bind_measure(py::module_ module)
{
    bind_record<measure::BudgetRow>(module, "BudgetRow", doc::measure::BudgetRow);
    bind_record<measure::Budget>(module, "Budget", doc::measure::Budget);
    bind_record<measure::Gauge>(module, "Gauge", doc::measure::Gauge);
    bind_record<Verdict>(module, "Verdict", doc::measure::Verdict);
    bind_quantity(module);

    // Under this name defaults stand in the signatures, and `inspect` looks it up here.
    const double endless = measure::infinite_freedom;
    module.attr("inf") = endless;
    define(module, "gauge", plain(measure::gauge), doc::measure::gauge, "name"_a, py::kw_only(),
           "resolution"_a = 0.0, "maximum_permissible_error"_a = py::none(),
           "calibration_uncertainty"_a = py::none(), "coverage_factor"_a = 2.0,
           "calibration_freedom"_a = endless, "correction"_a = py::none(),
           "repeatability"_a = py::none(), "repeatability_freedom"_a = endless,
           "expansion"_a = 11.5e-6, "same_place"_a = false);
    define(module, "reading", TakeReading{}, doc::measure::reading, "readings"_a,
           "gauge"_a = py::none(), py::kw_only(), "temperature"_a = 20.0,
           "expansion"_a = py::none(), "gauge_temperature"_a = py::none(), "master"_a = py::none(),
           "master_temperature"_a = py::none(), "master_expansion"_a = py::none(), "zero"_a = 0.0,
           "setting"_a = py::none());
    define(module, "check", Check{}, doc::measure::check, "quantity"_a, "lower"_a = py::none(),
           "upper"_a = py::none(), py::kw_only(), "rule"_a = "guarded", "level"_a = 0.95,
           "unit"_a = "mm");
    define(module, "size_at", broadcast(measure::size_at), doc::measure::size_at, "length"_a,
           "expansion"_a, py::kw_only(), "from_temperature"_a, "to_temperature"_a = 20.0);
    define(module, "stack", Stack{}, doc::measure::stack, "quantities"_a);
    bind_measure_studies(module);
    bind_measure_formulas(module);
    bind_numerics(module.def_submodule("_numerics", "Distributions, for tests."));
}

}  // namespace enginewright::bind
