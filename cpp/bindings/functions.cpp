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

void refuse_element(const std::invalid_argument& refused, std::size_t element)
{
    throw std::invalid_argument(std::string(refused.what()) + " (element " +
                                std::to_string(element) + " of the arrays)");
}

namespace detail {

void put_function(py::module_& module, PyMethodDef* definition, py::capsule self)
{
    const py::object where = module.attr("__name__");
    PyObject* function = PyCFunction_NewEx(definition, self.ptr(), where.ptr());
    if (function == nullptr) {
        throw py::error_already_set();
    }
    module.attr(definition->ml_name) = py::reinterpret_steal<py::object>(function);
}

}  // namespace detail

}  // namespace enginewright::bind
