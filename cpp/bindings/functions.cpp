#include "functions.hpp"

#include <algorithm>

namespace enginewright::bind {

Signature::Signature(std::string function, std::vector<Parameter> parameters, const char* text)
    : function_(std::move(function)), parameters_(std::move(parameters))
{
    std::string line;
    bool star = false;
    for (const auto& each : parameters_) {
        interned_.push_back(
            py::reinterpret_steal<py::object>(PyUnicode_InternFromString(each.name.c_str())));
        positional_ += each.keyword_only ? 0 : 1;
        if (each.keyword_only && !star) {
            line += ", *";
            star = true;
        }
        line += ", " + each.name;
        if (each.fallback) {
            line += "=" + std::string(py::str(py::repr(each.fallback)));
        }
    }
    // The form that inspect.signature and help() read: "name($module, a, b)\n--\n\ntext".
    text_ = function_ + "($module" + line + ")\n--\n\n" + text;
}

PyMethodDef* Signature::definition()
{
    // Only now: texts move with the object, and short ones live inside it.
    definition_.ml_name = function_.c_str();
    definition_.ml_doc = text_.c_str();
    return &definition_;
}

void Signature::spread(PyObject* const* arguments, Py_ssize_t positional, PyObject* keywords,
                       PyObject** out) const
{
    const auto given = static_cast<std::size_t>(positional);
    if (given > positional_) {
        throw py::type_error(function_ + "() takes " + std::to_string(positional_) +
                             " positional arguments, got " + std::to_string(given));
    }
    std::copy_n(arguments, given, out);
    const Py_ssize_t named = keywords == nullptr ? 0 : PyTuple_GET_SIZE(keywords);
    for (Py_ssize_t k = 0; k < named; ++k) {
        PyObject* key = PyTuple_GET_ITEM(keywords, k);
        std::size_t at = 0;
        while (at < interned_.size() && interned_[at].ptr() != key) {
            ++at;
        }
        if (at == interned_.size()) {
            // Names made at run time are not interned: compare as texts.
            for (at = 0; at < interned_.size(); ++at) {
                if (PyUnicode_Compare(interned_[at].ptr(), key) == 0) {
                    break;
                }
            }
        }
        const std::string text = at == interned_.size() ? std::string(py::str(key)) : "";
        if (at == interned_.size()) {
            throw py::type_error(function_ + "() has no argument '" + text + "'");
        }
        if (out[at] != nullptr) {
            throw py::type_error(function_ + "() got '" + parameters_[at].name + "' twice");
        }
        out[at] = arguments[positional + k];
    }
    for (std::size_t i = 0; i < parameters_.size(); ++i) {
        if (out[i] == nullptr) {
            if (!parameters_[i].fallback) {
                throw py::type_error(function_ + "() needs the argument '" + parameters_[i].name +
                                     "'");
            }
            out[i] = parameters_[i].fallback.ptr();
        }
    }
}

Walk common_shape(const std::vector<py::array>& arrays, const std::vector<std::string>& names)
{
    Walk walk;
    py::ssize_t dimensions = 0;
    for (const auto& array : arrays) {
        dimensions = std::max(dimensions, array.ndim());
    }
    walk.shape.assign(static_cast<std::size_t>(dimensions), 1);
    for (std::size_t a = 0; a < arrays.size(); ++a) {
        for (py::ssize_t d = 0; d < arrays[a].ndim(); ++d) {
            auto& common = walk.shape[static_cast<std::size_t>(dimensions - arrays[a].ndim() + d)];
            const py::ssize_t own = arrays[a].shape(d);
            if (own != 1 && common != 1 && own != common) {
                throw std::invalid_argument(names[a] +
                                            " must have a shape that fits the other arrays");
            }
            common = own == 1 ? common : own;
        }
    }
    for (const auto length : walk.shape) {
        walk.size *= static_cast<std::size_t>(length);
    }
    return walk;
}

py::array stretched(const py::array& array, const Walk& walk)
{
    if (array.size() == 1) {
        return array;
    }
    if (static_cast<std::size_t>(array.ndim()) == walk.shape.size() &&
        std::equal(walk.shape.begin(), walk.shape.end(), array.shape())) {
        return array;
    }
    const auto numpy = py::module_::import("numpy");
    return numpy.attr("ascontiguousarray")(
        numpy.attr("broadcast_to")(array, py::tuple(py::cast(walk.shape))));
}

Arrays take_arrays(const Signature& signature, PyObject* const* given, std::span<const Given> kinds)
{
    std::vector<py::array> arrays;
    std::vector<std::string> names;
    for (std::size_t i = 0; i < kinds.size(); ++i) {
        const auto& name = signature.name(i);
        if (kinds[i] != Given::single) {
            arrays.push_back(kinds[i] == Given::vectors
                                 ? py::array(take_complex_array(given[i], name))
                                 : py::array(take_array(given[i], name)));
            names.push_back(name);
        }
    }
    Arrays taken{.each = std::vector<py::object>(kinds.size()),
                 .walk = common_shape(arrays, names)};
    std::size_t next = 0;
    for (std::size_t i = 0; i < kinds.size(); ++i) {
        if (kinds[i] != Given::single) {
            taken.each[i] = stretched(arrays[next++], taken.walk);
        }
    }
    return taken;
}

void refuse_doubt(const Signature& signature, PyObject* const* given)
{
    std::size_t at = 0;
    while (!holds_quantity(given[at])) {
        ++at;
    }
    throw py::type_error(signature.name(at) +
                         " must be plain numbers, got a Quantity: give a vector's doubt as the "
                         "uncertainty of a verdict");
}

void refuse_element(const std::invalid_argument& refused, std::size_t element)
{
    throw std::invalid_argument(std::string(refused.what()) + " (element " +
                                std::to_string(element) + " of the arrays)");
}

namespace detail {

namespace {

/// More than any function has, so that a call needs no memory of its own.
constexpr std::size_t most_parameters = 32;

PyObject* call(PyObject* self, PyObject* const* arguments, Py_ssize_t positional,
               PyObject* keywords) noexcept
{
    const auto* callable = static_cast<const Callable*>(PyCapsule_GetPointer(self, nullptr));
    try {
        if (callable->signature.fits(positional, keywords)) {
            return callable->call(arguments).release().ptr();
        }
        std::array<PyObject*, most_parameters> given;
        std::fill_n(given.begin(), callable->signature.size(), nullptr);
        callable->signature.spread(arguments, positional, keywords, given.data());
        return callable->call(given.data()).release().ptr();
    } catch (py::error_already_set& error) {
        error.restore();
    } catch (...) {
        py::detail::try_translate_exceptions();
    }
    return nullptr;
}

}  // namespace

Callable::Callable(const char* name, std::vector<Parameter> parameters, const char* text)
    : signature(name, std::move(parameters), text)
{
}

Callable::~Callable() = default;

std::vector<Parameter> parameters_of(const char* name, std::size_t count,
                                     std::initializer_list<ParameterWord> words)
{
    std::vector<Parameter> parameters;
    bool keyword_only = false;
    for (const auto& word : words) {
        if (word.name == nullptr) {
            keyword_only = true;
            continue;
        }
        parameters.push_back(
            {word.name, py::reinterpret_borrow<py::object>(word.fallback), keyword_only});
    }
    if (parameters.size() != count || count > most_parameters) {
        throw std::logic_error(std::string(name) + ": parameters and arguments differ in number");
    }
    return parameters;
}

void put_function(py::module_& module, std::unique_ptr<Callable> callable)
{
    auto* const definition = callable->signature.definition();
    definition->ml_meth = reinterpret_cast<PyCFunction>(reinterpret_cast<void (*)()>(&call));
    definition->ml_flags = METH_FASTCALL | METH_KEYWORDS;
    const py::capsule self(callable.release(),
                           [](void* pointer) { delete static_cast<Callable*>(pointer); });
    const py::object where = module.attr("__name__");
    PyObject* function = PyCFunction_NewEx(definition, self.ptr(), where.ptr());
    if (function == nullptr) {
        throw py::error_already_set();
    }
    module.attr(definition->ml_name) = py::reinterpret_steal<py::object>(function);
}

void put_constructor(py::handle bound, std::vector<Parameter> parameters, Make make)
{
    const auto name = bound.attr("__name__").cast<std::string>();
    const auto signature = std::make_shared<const Signature>(name, std::move(parameters), "");
    construct_by(bound, "__init__", [=](const py::args& arguments, const py::kwargs& keywords) {
        std::vector<PyObject*> all;
        for (const auto each : arguments) {
            all.push_back(each.ptr());
        }
        const auto positional = static_cast<Py_ssize_t>(all.size());
        py::list names;
        for (const auto& [key, value] : keywords) {
            names.append(key);
            all.push_back(value.ptr());
        }
        std::vector<PyObject*> given(signature->size());
        signature->spread(all.data(), positional, py::tuple(names).ptr(), given.data());
        return make(*signature, given.data());
    });
}

}  // namespace detail

}  // namespace enginewright::bind
