#include <algorithm>

#include "bind.hpp"
#include "doc/measure.hpp"
#include "enginewright/measure/propagate.hpp"

/// Formulas that are written in Python, and the doubt that goes through them.
namespace enginewright::bind {

namespace {

/// NumPy's warnings held back while a formula is tried beyond its edge: a figure that is not finite
/// says the same.
class Quiet {
  public:
    Quiet() : state_(py::module_::import("numpy").attr("errstate")(py::arg("all") = "ignore"))
    {
        state_.attr("__enter__")();
    }
    ~Quiet()
    {
        try {
            state_.attr("__exit__")(py::none(), py::none(), py::none());
        } catch (py::error_already_set& error) {
            error.discard_as_unraisable("errstate");
        }
    }
    Quiet(const Quiet&) = delete;
    Quiet& operator=(const Quiet&) = delete;

  private:
    py::object state_;
};

/// Whether a formula says in this way that it does not hold for some figures.
bool does_not_hold(const py::error_already_set& error)
{
    return error.matches(PyExc_ValueError) || error.matches(PyExc_ArithmeticError);
}

/// A Python function of numbers.
class Callable {
  public:
    explicit Callable(PyObject* given, std::string_view name)
        : function_(py::reinterpret_borrow<py::object>(given))
    {
        if (PyCallable_Check(given) == 0) {
            refuse_type(name, "a function", given);
        }
    }

    double number(std::span<const double> values) const
    {
        py::tuple arguments(values.size());
        for (std::size_t i = 0; i < values.size(); ++i) {
            arguments[i] = py::float_(values[i]);
        }
        return take_number(function_(*arguments), "the result of function");
    }

    /// Arrays of a shape, given as flat ones.
    py::object arrays(std::span<const Eigen::ArrayXd> values, const Lengths& shape) const
    {
        py::tuple arguments(values.size());
        for (std::size_t i = 0; i < values.size(); ++i) {
            arguments[i] = give_array(values[i], shape);
        }
        return function_(*arguments);
    }

    /// For the core, to which std::invalid_argument means that the formula does not reach there.
    measure::Formula formula() const
    {
        return [this](std::span<const double> values) {
            try {
                return number(values);
            } catch (const py::error_already_set& error) {
                if (!does_not_hold(error)) {
                    throw;
                }
                throw std::invalid_argument(error.what());
            }
        };
    }

    measure::ArrayFormula array_formula(const Lengths& shape) const
    {
        return [this, shape](std::span<const Eigen::ArrayXd> values) {
            // The core may ask for part of a column.
            const auto size = static_cast<std::ptrdiff_t>(values.front().size());
            const Lengths given = shape.size() == 1 ? Lengths{size} : shape;
            try {
                return flat(arrays(values, given), given);
            } catch (const py::error_already_set& error) {
                if (!does_not_hold(error)) {
                    throw;
                }
                throw std::invalid_argument(error.what());
            }
        };
    }

    static Eigen::ArrayXd flat(const py::object& answer, const Lengths& shape)
    {
        const auto array = take_array(answer, "the result of function");
        if (Lengths(array.shape(), array.shape() + array.ndim()) != shape) {
            refuse_all("function", "give an array of the shape that it gets");
        }
        return Eigen::Map<const Eigen::ArrayXd>(array.data(), array.size());
    }

  private:
    py::object function_;
};

std::vector<AnyQuantity> take_all(PyObject* given, const std::string& name)
{
    std::vector<AnyQuantity> all;
    for (const auto each : py::iter(py::handle(given))) {
        all.push_back(take_quantity(each, element_name(name, all.size())));
    }
    if (all.empty()) {
        refuse_all(name, "hold at least 1, got 0");
    }
    return all;
}

std::vector<double> values_of(std::span<const Quantity> quantities)
{
    std::vector<double> values;
    for (const auto& each : quantities) {
        values.push_back(each.value());
    }
    return values;
}

/// `measure.propagate`.
struct Propagate {
    static constexpr std::size_t count = 3;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        const Callable function(given[0], signature.name(0));
        const auto quantities = take_all(given[1], signature.name(1));
        const int order = Argument<int>(given[2], signature.name(2)).get();
        const Quiet quiet;
        Lengths shape;
        for (const auto& each : quantities) {
            shape = measure::common_shape(shape, each.shape());
        }
        if (shape.empty()) {
            std::vector<Quantity> single;
            for (const auto& each : quantities) {
                single.push_back(each.one());
            }
            return give_quantity(scalar(function, single, order));
        }
        std::vector<QuantityColumn> columns;
        for (const auto& each : quantities) {
            columns.push_back(each.stretched(shape));
        }
        if (order == 1) {
            return py::cast(
                AnyQuantity{measure::propagate_each(function.array_formula(shape), columns)});
        }
        return each_apart(function, columns, order, shape);
    }

  private:
    static Quantity scalar(const Callable& function, std::span<const Quantity> quantities,
                           int order)
    {
        // Once as it is: a formula that does not hold at its values says so in its own words.
        (void)function.number(values_of(quantities));
        return measure::propagate(function.formula(), quantities, order);
    }

    /// The second order mixes sources, which differ from element to element.
    static py::object each_apart(const Callable& function, std::span<const QuantityColumn> columns,
                                 int order, const Lengths& shape)
    {
        std::vector<Quantity> results;
        for (std::size_t i = 0; i < columns.front().size(); ++i) {
            std::vector<Quantity> single;
            for (const auto& each : columns) {
                single.push_back(each.at(i));
            }
            try {
                results.push_back(scalar(function, single, order));
            } catch (const std::invalid_argument& refused) {
                refuse_element(refused, i);
            }
        }
        const QuantityColumn flat = QuantityColumn::stack(results);
        return py::cast(AnyQuantity{QuantityColumn(flat.values(), shape,
                                                   {flat.common().begin(), flat.common().end()},
                                                   {flat.own().begin(), flat.own().end()})});
    }
};

/// A function of draws: all at once where it can, else draw by draw.
class Draws {
  public:
    explicit Draws(const Callable& function) : function_(function) {}

    Eigen::ArrayXd operator()(std::span<const Eigen::ArrayXd> values) const
    {
        const Eigen::Index count = values.front().size();
        if (count > 1) {
            if (auto all = at_once(values)) {
                return *all;
            }
        }
        Eigen::ArrayXd results(count);
        for (Eigen::Index i = 0; i < count; ++i) {
            results[i] = one(values, i);
        }
        return results;
    }

  private:
    double one(std::span<const Eigen::ArrayXd> values, Eigen::Index draw) const
    {
        std::vector<double> numbers;
        for (const auto& each : values) {
            numbers.push_back(each[draw]);
        }
        return function_.number(numbers);
    }

    std::optional<Eigen::ArrayXd> at_once(std::span<const Eigen::ArrayXd> values) const
    {
        const Lengths shape{static_cast<std::ptrdiff_t>(values.front().size())};
        std::optional<Eigen::ArrayXd> all;
        try {
            all = Callable::flat(function_.arrays(values, shape), shape);
        } catch (const py::error_already_set& error) {
            if (!error.matches(PyExc_TypeError) && !error.matches(PyExc_ValueError)) {
                throw;
            }
        } catch (const std::invalid_argument&) {
        } catch (const py::type_error&) {
        }
        return all && like_one_by_one(values, *all) ? all : std::nullopt;
    }

    /// A function that looks at all draws (a mean, a sort) takes arrays and gives nonsense.
    bool like_one_by_one(std::span<const Eigen::ArrayXd> values, const Eigen::ArrayXd& all) const
    {
        for (const Eigen::Index draw : {Eigen::Index{0}, all.size() / 2, all.size() - 1}) {
            double alone = 0;
            try {
                alone = one(values, draw);
            } catch (const py::error_already_set&) {
                continue;  // it takes arrays only
            } catch (const py::type_error&) {
                continue;
            }
            const double near = 1e-9 * std::max(std::abs(alone), std::abs(all[draw]));
            if (std::isfinite(alone) && std::abs(alone - all[draw]) > near) {
                return false;
            }
        }
        return true;
    }

    const Callable& function_;
};

/// A whole number, or one that a NumPy Generator gives.
std::int64_t take_seed(PyObject* given, std::string_view name)
{
    if (PyObject_HasAttrString(given, "integers") != 0) {
        const auto most = std::numeric_limits<std::int64_t>::max();
        return py::handle(given).attr("integers")(0, most).cast<std::int64_t>();
    }
    return Argument<std::int64_t>(given, name).get();
}

/// `measure.simulate`.
struct Simulate {
    static constexpr std::size_t count = 5;

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        const Callable function(given[0], signature.name(0));
        std::vector<Quantity> quantities;
        for (const auto& each : take_all(given[1], signature.name(1))) {
            if (!each.single()) {
                refuse_all(signature.name(1), "be single, got an array");
            }
            quantities.push_back(each.one());
        }
        const int draws = Argument<int>(given[2], signature.name(2)).get();
        const std::int64_t seed = take_seed(given[3], signature.name(3));
        const double level = Argument<double>(given[4], signature.name(4)).get();
        const Quiet quiet;
        return give(measure::simulate(Draws(function), quantities, draws, seed, level));
    }
};

}  // namespace

void bind_measure_formulas(py::module_& module)
{
    bind_record<measure::Simulation>(module, "Simulation", doc::measure::Simulation);
    define(module, "propagate", Propagate{}, doc::measure::propagate, "function"_a, "quantities"_a,
           py::kw_only(), "order"_a = 1);
    define(module, "simulate", Simulate{}, doc::measure::simulate, "function"_a, "quantities"_a,
           py::kw_only(), "draws"_a = 200'000, "seed"_a = 0, "level"_a = 0.95);
}

}  // namespace enginewright::bind
