#pragma once

#include <array>
#include <cstring>
#include <functional>
#include <memory>
#include <tuple>

#include "arguments.hpp"
#include "quantities.hpp"
#include "records.hpp"

/// Functions in Python: parsed by name, broadcast over arrays, refusals with their element.
///
/// `define(module, "gap_at_bore", broadcast(rings::gap_at_bore), "gap"_a, "bore"_a, doc)` makes a
/// built-in function that is called straight from the interpreter: a call with plain numbers costs
/// about as much as the arithmetic, where the general dispatcher of pybind11 would cost ten times
/// that. Three wrappers say how a function is called:
///
/// - `broadcast(f)`: a closed form for single numbers; arrays broadcast, quantities carry doubt.
///   `by_blocks(f, formula)` is the same at the speed of the machine (blocks.hpp).
/// - `plain(f)`: takes sets, grids, words as they are.
/// - `without_gil(f)`: as `plain`, and other threads may run Python meanwhile. For plans.
namespace enginewright::bind {

/// One parameter as Python sees it.
struct Parameter {
    std::string name;
    py::object fallback;  ///< null: must be given
    bool keyword_only = false;
};

/// What is common to all functions: the parameters and how a call is spread over them.
class Signature {
  public:
    Signature(std::string function, std::vector<Parameter> parameters, const char* text);

    /// Spreads positional and keyword arguments over the parameters; borrowed references.
    /// Throws py::type_error for a missing, unknown or doubled argument, by name.
    void spread(PyObject* const* arguments, Py_ssize_t positional, PyObject* keywords,
                PyObject** out) const;

    const std::string& name(std::size_t parameter) const { return parameters_[parameter].name; }
    std::size_t size() const { return parameters_.size(); }

    /// What the interpreter needs to know; valid as long as this object stays where it is.
    PyMethodDef* definition();

  private:
    std::string function_;
    std::vector<Parameter> parameters_;
    std::vector<py::object> interned_;
    std::size_t positional_ = 0;
    std::string text_;
    PyMethodDef definition_{};
};

/// Shape of the answer and how each operand walks along it.
struct Walk {
    std::vector<py::ssize_t> shape{};
    std::size_t size = 1;
};

/// The common shape of some arrays by NumPy's rule; refused when they do not fit together.
Walk common_shape(const std::vector<py::array>& arrays, const std::vector<std::string>& names);

/// A contiguous array of the common shape, or the array itself when it has it or is one number.
py::array stretched(const py::array& array, const Walk& walk);

/// Adds " (element 7 of the arrays)" to a refusal.
[[noreturn]] void refuse_element(const std::invalid_argument& refused, std::size_t element);

namespace detail {

template <class T>
inline constexpr bool is_complex = std::is_same_v<T, std::complex<double>>;

template <class T>
inline constexpr bool is_broadcast_number =
    std::is_same_v<T, double> || std::is_same_v<T, std::optional<double>> || is_complex<T>;

/// One operand of a broadcast call: a number, an array of them, none, or a word.
template <class T>
struct Operand {
    static constexpr bool may_be_array = is_broadcast_number<T>;
    using Number = std::conditional_t<is_complex<T>, T, double>;
    using Held = std::conditional_t<may_be_array, Number, Argument<T>>;
    std::optional<Held> single{};
    const Number* at = nullptr;
    std::size_t step = 0;

    bool take_plain(PyObject* given, const std::string& name)
    {
        if constexpr (!may_be_array) {
            single.emplace(given, name);
            return true;
        } else {
            if (std::is_same_v<T, std::optional<double>> && given == Py_None) {
                return true;
            }
            Number value = 0;
            if constexpr (is_complex<T>) {
                if (!take_plain_complex(given, value)) {
                    return false;
                }
            } else if (!take_plain_number(given, value)) {
                return false;
            }
            single = value;
            return true;
        }
    }

    py::array take_numbers(PyObject* given, const std::string& name) const
    {
        if constexpr (is_complex<T>) {
            return take_complex_array(given, name);
        } else {
            return take_array(given, name);
        }
    }

    T plain() const
    {
        if constexpr (std::is_same_v<T, std::optional<double>>) {
            return single;
        } else if constexpr (may_be_array) {
            return *single;
        } else {
            return single->get();
        }
    }

    void aim_at(const py::array& array)
    {
        if constexpr (may_be_array) {
            at = static_cast<const Number*>(array.data());
            step = array.size() == 1 ? 0 : 1;
        }
    }

    /// A plain number is an array that never advances: the loop then has no branch for it.
    void aim_at_single()
    {
        if constexpr (may_be_array) {
            if (at == nullptr && single) {
                at = &*single;
            }
        }
    }

    T element(std::size_t index) const
    {
        if constexpr (std::is_same_v<T, std::optional<double>>) {
            return at == nullptr ? T{} : T{at[index * step]};
        } else if constexpr (may_be_array) {
            return at[index * step];
        } else {
            return plain();
        }
    }
};

}  // namespace detail

/// How a scalar function becomes one over arrays.
template <class Result, class... Args>
struct Broadcast {
    Result (*function)(Args...);
    /// Runs whole blocks of elements and returns how many it has done; null: one by one.
    std::size_t (*walk_blocks)(const std::tuple<detail::Operand<Args>...>&, std::size_t,
                               double*) = nullptr;
    static constexpr std::size_t count = sizeof...(Args);

    static_assert(((!std::is_integral_v<Args>) && ...),
                  "a count that broadcasts is a double checked by require_whole");
    static_assert((!std::is_reference_v<Args> && ...), "broadcast arguments are taken by value");

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        return run(signature, given, std::index_sequence_for<Args...>{});
    }

  private:
    [[noreturn]] static void refuse_doubt(const Signature& signature, PyObject* const* given)
    {
        std::size_t at = 0;
        while (!holds_quantity(given[at])) {
            ++at;
        }
        throw py::type_error(std::string(signature.name(at)) +
                             " must be plain numbers, got a Quantity: give a vector's doubt as the "
                             "uncertainty of a verdict");
    }

    template <std::size_t... I>
    py::object run(const Signature& signature, PyObject* const* given,
                   std::index_sequence<I...>) const
    {
        std::tuple<detail::Operand<Args>...> operands;
        const std::array<bool, count> plain{
            std::get<I>(operands).take_plain(given[I], signature.name(I))...};
        if ((plain[I] && ...)) [[likely]] {
            return give(function(std::get<I>(operands).plain()...));
        }
        if ((holds_quantity(given[I]) || ...)) {
            // Doubt is carried along one number at a time: a vector's doubt has two axes.
            if constexpr (detail::is_complex<Result> || (detail::is_complex<Args> || ...)) {
                refuse_doubt(signature, given);
            } else {
                return through_quantities(*this, signature, given);
            }
        }
        return over_arrays(signature, given, plain, operands, std::index_sequence<I...>{});
    }

    template <std::size_t... I>
    py::object over_arrays(const Signature& signature, PyObject* const* given,
                           const std::array<bool, count>& plain,
                           std::tuple<detail::Operand<Args>...>& operands,
                           std::index_sequence<I...>) const
    {
        std::vector<py::array> arrays;
        std::vector<std::string> names;
        const auto take = [&](const auto& operand, std::size_t i) {
            if (!plain[i]) {
                arrays.push_back(operand.take_numbers(given[i], signature.name(i)));
                names.push_back(signature.name(i));
            }
        };
        (take(std::get<I>(operands), I), ...);
        const Walk walk = common_shape(arrays, names);
        std::size_t next = 0;
        const auto aim = [&](auto& operand, std::size_t i) {
            if (!plain[i]) {
                auto& array = arrays[next++];
                array = stretched(array, walk);
                operand.aim_at(array);
            }
        };
        (aim(std::get<I>(operands), I), ...);
        (std::get<I>(operands).aim_at_single(), ...);
        std::size_t element = 0;
        try {
            if constexpr (is_number_of_array<Result>) {
                py::array_t<Result> answer(walk.shape);
                Result* out = answer.mutable_data();
                if constexpr (std::is_same_v<Result, double>) {
                    if (walk_blocks != nullptr) {
                        element = walk_blocks(operands, walk.size, out);
                    }
                }
                for (; element < walk.size; ++element) {
                    out[element] = function(std::get<I>(operands).element(element)...);
                }
                return walk.shape.empty() ? give(*out) : py::object(answer);
            } else {
                Rows<Result> rows{.rows = {}, .shape = walk.shape};
                rows.rows.reserve(walk.size);
                for (; element < walk.size; ++element) {
                    rows.rows.push_back(function(std::get<I>(operands).element(element)...));
                }
                return py::cast(std::move(rows));
            }
        } catch (const std::invalid_argument& refused) {
            if (walk.shape.empty()) {
                throw;
            }
            refuse_element(refused, element);
        }
    }
};

/// A function that takes its arguments as they are.
template <bool release_gil, class Result, class... Args>
struct Plain {
    Result (*function)(Args...);
    static constexpr std::size_t count = sizeof...(Args);

    py::object call(const Signature& signature, PyObject* const* given) const
    {
        return run(signature, given, std::index_sequence_for<Args...>{});
    }

  private:
    template <std::size_t... I>
    py::object run(const Signature& signature, PyObject* const* given,
                   std::index_sequence<I...>) const
    {
        // Braces: arguments are taken in order, so the first wrong one is the one refused.
        const std::tuple<Argument<std::remove_cvref_t<Args>>...> taken{
            Argument<std::remove_cvref_t<Args>>(py::handle(given[I]), signature.name(I))...};
        if constexpr (release_gil) {
            auto result = [&] {
                const py::gil_scoped_release released;
                return function(std::get<I>(taken).get()...);
            }();
            return give(result);
        } else {
            return give(function(std::get<I>(taken).get()...));
        }
    }
};

template <class Result, class... Args>
Broadcast<Result, Args...> broadcast(Result (*function)(Args...))
{
    return {function, nullptr};
}

template <class Result, class... Args>
Plain<false, Result, Args...> plain(Result (*function)(Args...))
{
    return {function};
}

template <class Result, class... Args>
Plain<true, Result, Args...> without_gil(Result (*function)(Args...))
{
    return {function};
}

namespace detail {

template <class Way>
struct Callable {
    Signature signature;
    Way way;

    static PyObject* call(PyObject* self, PyObject* const* arguments, Py_ssize_t positional,
                          PyObject* keywords) noexcept
    {
        const auto* callable = static_cast<const Callable*>(PyCapsule_GetPointer(self, nullptr));
        try {
            std::array<PyObject*, Way::count> given{};
            callable->signature.spread(arguments, positional, keywords, given.data());
            return callable->way.call(callable->signature, given.data()).release().ptr();
        } catch (py::error_already_set& error) {
            error.restore();
        } catch (...) {
            py::detail::try_translate_exceptions();
        }
        return nullptr;
    }
};

inline void gather(std::vector<Parameter>& parameters, bool& keyword_only, const py::arg& each)
{
    parameters.push_back({each.name, {}, keyword_only});
}
inline void gather(std::vector<Parameter>& parameters, bool& keyword_only, const py::arg_v& each)
{
    parameters.push_back({each.name, each.value, keyword_only});
}
inline void gather(std::vector<Parameter>&, bool& keyword_only, const py::kw_only&)
{
    keyword_only = true;
}

void put_function(py::module_& module, PyMethodDef* definition, py::capsule self);

}  // namespace detail

/// Puts a function into a module: its way, its parameters in order, its text.
template <class Way, class... Extra>
void define(py::module_& module, const char* name, Way way, const char* text, Extra&&... extra)
{
    std::vector<Parameter> parameters;
    [[maybe_unused]] bool keyword_only = false;
    (detail::gather(parameters, keyword_only, extra), ...);
    if (parameters.size() != Way::count) {
        throw std::logic_error(std::string(name) + ": parameters and arguments differ in number");
    }
    auto callable = std::make_unique<detail::Callable<Way>>(
        detail::Callable<Way>{Signature(name, std::move(parameters), text), way});
    auto* definition = callable->signature.definition();
    definition->ml_meth =
        reinterpret_cast<PyCFunction>(reinterpret_cast<void (*)()>(&detail::Callable<Way>::call));
    definition->ml_flags = METH_FASTCALL | METH_KEYWORDS;
    py::capsule self(callable.release(),
                     [](void* pointer) { delete static_cast<detail::Callable<Way>*>(pointer); });
    detail::put_function(module, definition, std::move(self));
}

/// Gives a record that the user makes its constructor: keywords, checked by `make`.
template <Record R, class... Args, class... Extra>
void construct(py::class_<Rows<R>>& bound, R (*make)(Args...), const Extra&... extra)
{
    std::vector<Parameter> parameters;
    bool keyword_only = false;
    (detail::gather(parameters, keyword_only, extra), ...);
    std::vector<std::string> names;
    for (const auto& each : parameters) {
        names.push_back(each.name);
    }
    const auto build = [make, names]<std::size_t... I>(std::index_sequence<I...>) {
        return [make, names](std::conditional_t<true, py::object, Args>... given) {
            const std::array<py::object, sizeof...(Args)> all{given...};
            return Rows<R>{
                .rows = {make(Argument<std::remove_cvref_t<Args>>(all[I], names[I]).get()...)}};
        };
    }(std::index_sequence_for<Args...>{});
    bound.def(py::init(build), extra...);
}

}  // namespace enginewright::bind
