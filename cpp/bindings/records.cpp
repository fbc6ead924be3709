#include "records.hpp"

/// What every record can do in Python, read from its description.
namespace enginewright::bind {

AnyRows::AnyRows() = default;
AnyRows::AnyRows(const AnyRows&) = default;
AnyRows::AnyRows(AnyRows&&) noexcept = default;
AnyRows& AnyRows::operator=(const AnyRows&) = default;
AnyRows& AnyRows::operator=(AnyRows&&) noexcept = default;
AnyRows::~AnyRows() = default;

py::object wrapped(std::unique_ptr<AnyRows> rows)
{
    return py::cast(rows.release(), py::return_value_policy::take_ownership);
}

namespace {

/// The Python class `Record`; set when it is bound.
PyTypeObject* record_class = nullptr;

}  // namespace

AnyRows* any_rows(py::handle given)
{
    if (PyObject_TypeCheck(given.ptr(), record_class) == 0) {
        return nullptr;
    }
    // What a plain record holds is at hand; a class of the user's own may inherit from several.
    auto* const held = reinterpret_cast<py::detail::instance*>(given.ptr());
    return held->simple_layout ? static_cast<AnyRows*>(held->get_value_and_holder().value_ptr())
                               : given.cast<AnyRows*>();
}

const std::byte* take_single(py::handle given, std::string_view name, const RecordType& wanted)
{
    const auto* const rows = any_rows(given);
    if (rows == nullptr || &rows->type() != &wanted) {
        refuse_type(name, "a " + wanted.name, given);
    }
    if (!rows->single()) {
        refuse_all(name, "be a single record, got " + std::to_string(rows->size()));
    }
    return rows->first();
}

std::vector<std::string> doubtful_fields(const RecordType& type)
{
    std::vector<std::string> names;
    for (const auto& field : type.fields) {
        if (field.type->may_be_doubtful) {
            names.emplace_back(field.name);
        }
    }
    return names;
}

py::object attribute(const AnyRows& self, const FieldEntry& field)
{
    for (const auto& [name, quantity] : self.doubtful) {
        if (name == field.name) {
            return quantity;
        }
    }
    const std::byte* const first = self.first() + field.offset;
    return self.single() ? field.type->give(first)
                         : field.type->column({first, self.type().size, self.size(), self.shape});
}

py::dict as_dict(const AnyRows& self)
{
    py::dict dict;
    for (const auto& field : self.type().fields) {
        const auto value = attribute(self, field);
        const auto* const inner = any_rows(value);
        dict[field.name] = inner != nullptr ? py::object(as_dict(*inner)) : value;
    }
    return dict;
}

namespace {

/// The rows that a NumPy index picks: a single record for a whole number, else a record of columns.
py::object pick(const AnyRows& self, const py::object& index)
{
    if (self.single()) {
        throw py::type_error("a single record has no elements");
    }
    const auto numpy = py::module_::import("numpy");
    const auto order = numpy.attr("arange")(self.size()).attr("reshape")(self.shape);
    const auto chosen = py::array_t<py::ssize_t, py::array::c_style | py::array::forcecast>(
        py::object(order[index]));
    auto picked = self.type().no_rows();
    for (py::ssize_t i = 0; i < chosen.size(); ++i) {
        picked->append(self.first() +
                       static_cast<std::size_t>(chosen.data()[i]) * self.type().size);
    }
    picked->shape.assign(chosen.shape(), chosen.shape() + chosen.ndim());
    for (const auto& [name, value] : self.doubtful) {
        picked->doubtful.emplace_back(name, value[index]);
    }
    return wrapped(std::move(picked));
}

py::iterator iterate(const AnyRows& self)
{
    if (self.single()) {
        throw py::type_error("a single record cannot be iterated");
    }
    py::list all;
    for (py::ssize_t i = 0; i < self.shape.front(); ++i) {
        all.append(pick(self, py::int_(i)));
    }
    return py::iter(all);
}

py::object equal(const AnyRows& self, const py::object& other)
{
    const auto* const with = any_rows(other);
    if (with == nullptr || &with->type() != &self.type()) {
        return py::reinterpret_borrow<py::object>(Py_NotImplemented);
    }
    return py::bool_(self.shape == with->shape && self.equals(*with) &&
                     std::equal(self.doubtful.begin(), self.doubtful.end(), with->doubtful.begin(),
                                with->doubtful.end(), [](const auto& one, const auto& another) {
                                    return one.second.is(another.second);
                                }));
}

/// What a pickle keeps: the shape, the values row by row, and the quantities.
py::tuple state_of(const AnyRows& self)
{
    py::list rows;
    for (std::size_t i = 0; i < self.size(); ++i) {
        const std::byte* const row = self.first() + i * self.type().size;
        py::list values;
        for (const auto& field : self.type().fields) {
            values.append(field.type->give(row + field.offset));
        }
        rows.append(py::tuple(values));
    }
    py::dict doubtful;
    for (const auto& [name, value] : self.doubtful) {
        doubtful[py::str(name)] = value;
    }
    return py::make_tuple(py::tuple(py::cast(self.shape)), py::tuple(rows), doubtful);
}

/// An attribute, straight from the interpreter: a table of results is read field by field.
PyObject* get_field(PyObject* self, void* field) noexcept
{
    try {
        const auto* const rows = any_rows(self);
        if (rows == nullptr) {
            throw py::type_error(
                "the record was never made: its class was called by __new__ alone");
        }
        return attribute(*rows, *static_cast<const FieldEntry*>(field)).release().ptr();
    } catch (py::error_already_set& error) {
        error.restore();
    } catch (...) {
        py::detail::try_translate_exceptions();
    }
    return nullptr;
}

std::unique_ptr<AnyRows> from_state(const RecordType& type, const py::tuple& state)
{
    auto self = type.no_rows();
    self->shape = state[0].cast<std::vector<py::ssize_t>>();
    for (const auto each : state[1].cast<py::tuple>()) {
        const auto values = py::reinterpret_borrow<py::tuple>(each);
        std::byte* const row = self->append(nullptr);
        for (std::size_t i = 0; i < type.fields.size(); ++i) {
            const auto& field = type.fields[i];
            field.type->take(row + field.offset, py::object(values[i]), field.name);
        }
    }
    for (const auto [name, value] : state[2].cast<py::dict>()) {
        self->doubtful.emplace_back(py::cast<std::string>(name),
                                    py::reinterpret_borrow<py::object>(value));
    }
    return self;
}

}  // namespace

void construct_by(py::handle bound, const char* method, MakeRows make)
{
    bound.attr(method) = py::cpp_function(
        [make = std::move(make)](py::detail::value_and_holder& place, const py::args& arguments,
                                 const py::kwargs& keywords) {
            place.value_ptr() = dynamic_cast<void*>(make(arguments, keywords).release());
        },
        py::name(method), py::is_method(bound), py::detail::is_new_style_constructor());
}

void describe(py::handle bound, RecordType& type)
{
    auto* const python = reinterpret_cast<PyTypeObject*>(bound.ptr());
    type.attributes.reserve(type.fields.size());
    py::dict units;
    py::list names;
    for (auto& field : type.fields) {
        type.attributes.push_back({field.name, &get_field, nullptr, field.meaning, &field});
        PyObject* const attribute = PyDescr_NewGetSet(python, &type.attributes.back());
        if (attribute == nullptr) {
            throw py::error_already_set();
        }
        bound.attr(field.name) = py::reinterpret_steal<py::object>(attribute);
        units[field.name] = field.unit;
        names.append(field.name);
    }
    bound.attr("units") = units;
    bound.attr("__match_args__") = py::tuple(names);
    construct_by(bound, "__setstate__", [&type](const py::args& arguments, const py::kwargs&) {
        return from_state(type, arguments[0].cast<py::tuple>());
    });
}

void bind_records(py::module_& core)
{
    py::class_<AnyRows> bound(core, "Record",
                              "A result with named fields, or an array of such results.");
    record_class = reinterpret_cast<PyTypeObject*>(bound.ptr());
    bound
        .def_property_readonly(
            "array_shape", [](const AnyRows& self) { return py::tuple(py::cast(self.shape)); },
            "Shape of the columns; () for a single record.")
        .def("as_dict", &as_dict, "The fields and their values as a dict.")
        .def("__repr__", &record_repr)
        .def("_repr_html_", &record_html)
        .def("__len__",
             [](const AnyRows& self) {
                 if (self.single()) {
                     throw py::type_error("a single record has no length");
                 }
                 return self.shape.front();
             })
        .def("__getitem__", &pick)
        .def("__iter__", &iterate)
        .def("__eq__", &equal)
        .def("__hash__",
             [](const AnyRows& self) {
                 if (!self.single()) {
                     throw py::type_error("a record of columns is not hashable");
                 }
                 return py::hash(py::str(record_repr(self)));
             })
        .def("__copy__", [](const py::object& self) { return self; })
        .def("__deepcopy__", [](const py::object& self, const py::dict&) { return self; })
        .def("__getstate__", &state_of);
}

}  // namespace enginewright::bind
