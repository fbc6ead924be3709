#pragma once

#include <array>
#include <cstring>
#include <functional>
#include <initializer_list>
#include <memory>
#include <span>
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

    /// Whether the arguments of a call stand as the parameters do: nothing is to be spread.
    bool fits(Py_ssize_t positional, PyObject* keywords) const
    {
        return keywords == nullptr && static_cast<std::size_t>(positional) == positional_ &&
               positional_ == parameters_.size();
    }

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

/// The arguments of a broadcast call that are arrays, stretched to their common shape.
struct Arrays {
    std::vector<py::object> each{};  ///< one a parameter; null for a single value
    Walk walk{};
};

/// What an argument of a broadcast call is.
enum class Given { single, numbers, vectors };

Arrays take_arrays(const Signature& signature, PyObject* const* given,
                   std::span<const Given> kinds);

/// Refuses quantities where vectors are in play: a vector's doubt has two axes.
[[noreturn]] void refuse_doubt(const Signature& signature, PyObject* const* given);

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

    /// What the argument is, once `take_plain` has said whether it is a single value.
    static constexpr Given kind(bool plain)
    {
        return plain ? Given::single : is_complex<T> ? Given::vectors : Given::numbers;
    }

    /// A plain number is an array that never advances: the loop then has no branch for it.
    void aim_at(const py::object& given)
    {
        if constexpr (may_be_array) {
            if (given) {
                const auto array = py::reinterpret_borrow<py::array>(given);
                at = static_cast<const Number*>(array.data());
                step = array.size() == 1 ? 0 : 1;
            } else if (single) {
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
        const std::array<Given, count> kinds{
            std::tuple_element_t<I, std::tuple<detail::Operand<Args>...>>::kind(plain[I])...};
        const auto [arrays, walk] = take_arrays(signature, given, kinds);
        (std::get<I>(operands).aim_at(arrays[I]), ...);
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
                Rows<Result> rows;
                rows.shape = walk.shape;
                rows.rows.reserve(walk.size);
                for (; element < walk.size; ++element) {
                    rows.rows.push_back(function(std::get<I>(operands).element(element)...));
                }
                return give_rows(std::move(rows));
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
        return give(answer(signature, given));
    }

    /// The answer as C++ has it.
    Result answer(const Signature& signature, PyObject* const* given) const
    {
        return run(signature, given, std::index_sequence_for<Args...>{});
    }

  private:
    template <std::size_t... I>
    Result run(const Signature& signature, PyObject* const* given, std::index_sequence<I...>) const
    {
        // Braces: arguments are taken in order, so the first wrong one is the one refused.
        const std::tuple<Argument<std::remove_cvref_t<Args>>...> taken{
            Argument<std::remove_cvref_t<Args>>(py::handle(given[I]), signature.name(I))...};
        if constexpr (release_gil) {
            const py::gil_scoped_release released;
            return function(std::get<I>(taken).get()...);
        } else {
            return function(std::get<I>(taken).get()...);
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

/// A function as the interpreter calls it: everything but the typed call itself.
class Callable {
  public:
    Callable(const char* name, std::vector<Parameter> parameters, const char* text);
    Callable(const Callable&) = delete;
    Callable& operator=(const Callable&) = delete;
    virtual ~Callable();

    virtual py::object call(PyObject* const* given) const = 0;

    Signature signature;
};

template <class Way>
class CallableBy final : public Callable {
  public:
    CallableBy(const char* name, std::vector<Parameter> parameters, const char* text, Way way)
        : Callable(name, std::move(parameters), text), way_(way)
    {
    }
    py::object call(PyObject* const* given) const override { return way_.call(signature, given); }

  private:
    Way way_;
};

/// A word of a parameter list: `"bore"_a`, `"level"_a = 0.95`, or the mark of keywords.
///
/// It only points at what stands in the call of `define`, and lives no longer.
struct ParameterWord {
    const char* name = nullptr;  ///< null: the mark of keywords
    py::handle fallback{};

    ParameterWord(const py::arg& given) : name(given.name) {}
    ParameterWord(const py::arg_v& given) : name(given.name), fallback(given.value) {}
    ParameterWord(const py::kw_only&) {}
};

/// The parameters in their order; `count` is how many the function has.
std::vector<Parameter> parameters_of(const char* name, std::size_t count,
                                     std::initializer_list<ParameterWord> words);

void put_function(py::module_& module, std::unique_ptr<Callable> callable);

/// Makes the rows of a new record from its arguments.
using Make = std::function<std::unique_ptr<AnyRows>(const Signature&, PyObject* const*)>;

void put_constructor(py::handle bound, std::vector<Parameter> parameters, Make make);

}  // namespace detail

/// Puts a function into a module: its way, its parameters in order, its text.
template <class Way, class... Extra>
void define(py::module_& module, const char* name, Way way, const char* text, const Extra&... extra)
{
    detail::put_function(module,
                         std::make_unique<detail::CallableBy<Way>>(
                             name, detail::parameters_of(name, Way::count, {extra...}), text, way));
}

/// Gives a record that the user makes its constructor: keywords, checked by `make`.
template <Record R, class... Args, class... Extra>
void construct(RecordClass<R>& bound, R (*make)(Args...), const Extra&... extra)
{
    detail::put_constructor(
        bound, detail::parameters_of("constructor", sizeof...(Args), {extra...}),
        [way = plain(make)](const Signature& signature, PyObject* const* given) {
            return std::make_unique<Rows<R>>(way.answer(signature, given));
        });
}

}  // namespace enginewright::bind
