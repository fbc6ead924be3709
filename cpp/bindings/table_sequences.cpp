#include <limits>

#include "table_values.hpp"

/// Columns from Python sequences: lists, tuples, arrays of objects.
namespace enginewright::bind {

using table::Column;
using table::Kind;
using table::Storage;

namespace {

/// What the elements of a Python sequence are.
enum class Element { missing, truth, whole, number, text, day, other };

bool is_missing(PyObject* object)
{
    if (object == Py_None || (PyFloat_Check(object) && std::isnan(PyFloat_AS_DOUBLE(object)))) {
        return true;
    }
    // The missing marks of data frames and masked arrays are known by name: nothing is imported.
    const std::string_view type = Py_TYPE(object)->tp_name;
    return type.ends_with("NAType") || type.ends_with("NaTType") ||
           type.ends_with("MaskedConstant");
}

bool is_numpy_time(PyObject* object)
{
    return std::string_view(Py_TYPE(object)->tp_name) == "numpy.datetime64";
}

/// Whether an object is of a class of Python's `datetime`.
bool is_a(PyObject* object, const char* type)
{
    return py::isinstance(object, py::module_::import("datetime").attr(type));
}

Element element_of(PyObject* object)
{
    if (PyUnicode_Check(object)) {
        return Element::text;
    }
    if (is_missing(object)) {
        return Element::missing;
    }
    if (PyBool_Check(object) ||
        std::string_view(Py_TYPE(object)->tp_name).starts_with("numpy.bool")) {
        return Element::truth;
    }
    if (PyLong_Check(object) || (PyIndex_Check(object) && !PySequence_Check(object))) {
        return Element::whole;
    }
    if (PyFloat_Check(object)) {
        return Element::number;
    }
    if (is_numpy_time(object) || is_a(object, "date")) {
        return Element::day;
    }
    // NumPy's complex numbers and lengths of time would become floats without their other half.
    const std::string_view type = Py_TYPE(object)->tp_name;
    if (type.starts_with("numpy.c") || type == "numpy.timedelta64") {
        return Element::other;
    }
    const auto* const numbers = Py_TYPE(object)->tp_as_number;
    const bool number = numbers != nullptr && numbers->nb_float != nullptr &&
                        !PySequence_Check(object) && PyComplex_Check(object) == 0;
    return number ? Element::number : Element::other;
}

[[noreturn]] void refuse_element_type(std::string_view name, std::optional<Kind> kind,
                                      PyObject* got, std::size_t row)
{
    refuse_kind(name, kind, std::string(Py_TYPE(got)->tp_name) + table::at_row(row));
}

std::string_view text_of(std::string_view name, PyObject* object, std::size_t row)
{
    Py_ssize_t size = 0;
    const char* const bytes = PyUnicode_AsUTF8AndSize(object, &size);
    if (bytes == nullptr) {
        PyErr_Clear();
        throw std::invalid_argument(std::string(name) + " must be text that UTF-8 can hold" +
                                    table::at_row(row));
    }
    return {bytes, static_cast<std::size_t>(size)};
}

/// Elements of a sequence, one by one.
class Elements {
  public:
    Elements(std::string_view name, std::optional<Kind> kind, const py::sequence& objects)
        : name_(name),
          kind_(kind),
          fast_(py::reinterpret_steal<py::object>(
              PySequence_Fast(objects.ptr(), "a column must be a sequence")))
    {
        if (!fast_) {
            throw py::error_already_set();
        }
        rows_ = static_cast<std::size_t>(PySequence_Fast_GET_SIZE(fast_.ptr()));
    }

    std::size_t rows() const { return rows_; }
    PyObject* operator[](std::size_t row) const
    {
        return PySequence_Fast_GET_ITEM(fast_.ptr(), static_cast<Py_ssize_t>(row));
    }

    Column words() const
    {
        table::WordEncoder encoder;
        std::vector<std::int32_t> codes(rows_, -1);
        for (std::size_t i = 0; i < rows_; ++i) {
            auto* const object = (*this)[i];
            switch (element_of(object)) {
                case Element::missing:
                    break;
                case Element::text:
                    codes[i] = encoder.encode(text_of(name_, object, i));
                    break;
                case Element::whole:
                    codes[i] = encoder.encode(std::string(py::str(py::handle(object))));
                    break;
                default:
                    refuse_element_type(name_, kind_, object, i);
            }
        }
        return Column::of_words(table::hold(std::move(codes)), rows_, encoder.finish());
    }

    Column texts() const
    {
        std::vector<std::int64_t> offsets{0};
        std::vector<char> bytes;
        std::vector<std::uint8_t> present(rows_, 0);
        for (std::size_t i = 0; i < rows_; ++i) {
            auto* const object = (*this)[i];
            const auto element = element_of(object);
            if (element == Element::text) {
                const auto text = text_of(name_, object, i);
                bytes.insert(bytes.end(), text.begin(), text.end());
                present[i] = 1;
            } else if (element != Element::missing) {
                refuse_element_type(name_, kind_, object, i);
            }
            offsets.push_back(static_cast<std::int64_t>(bytes.size()));
        }
        return Column::of_texts(table::hold(std::move(offsets)), table::hold(std::move(bytes)),
                                rows_, table::mask_from_present(present));
    }

    /// Numbers, counts and whole numbers: as float64 where that is exact, by the common rules.
    Column numbers() const
    {
        std::vector<double> values(rows_, std::numeric_limits<double>::quiet_NaN());
        for (std::size_t i = 0; i < rows_; ++i) {
            auto* const object = (*this)[i];
            const auto element = element_of(object);
            if (element == Element::number || element == Element::whole) {
                values[i] = PyFloat_AsDouble(object);
                if (values[i] == -1.0 && PyErr_Occurred() != nullptr) {
                    throw py::error_already_set();
                }
            } else if (element != Element::missing) {
                refuse_element_type(name_, kind_, object, i);
            }
        }
        const auto buffer = table::hold(std::move(values));
        return from_foreign(name_, kind_.value_or(Kind::number),
                            {.storage = Storage::float64,
                             .rows = rows_,
                             .data = buffer.data,
                             .owner = buffer.owner,
                             .type = "float64"});
    }

    Column wholes() const
    {
        std::vector<std::int64_t> values(rows_, 0);
        std::vector<std::uint8_t> present(rows_, 0);
        for (std::size_t i = 0; i < rows_; ++i) {
            auto* const object = (*this)[i];
            const auto element = element_of(object);
            if (element == Element::whole) {
                values[i] = PyLong_AsLongLong(object);
                if (values[i] == -1 && PyErr_Occurred() != nullptr) {
                    PyErr_Clear();
                    throw std::invalid_argument(std::string(name_) + " must be below 2^63" +
                                                table::at_row(i));
                }
                present[i] = 1;
            } else if (element != Element::missing) {
                refuse_element_type(name_, kind_, object, i);
            }
        }
        return Column::of_wholes(table::hold(std::move(values)), rows_,
                                 table::mask_from_present(present));
    }

    Column truths() const
    {
        std::vector<std::uint8_t> values(rows_, 0);
        std::vector<std::uint8_t> present(rows_, 0);
        for (std::size_t i = 0; i < rows_; ++i) {
            auto* const object = (*this)[i];
            const auto element = element_of(object);
            if (element == Element::truth) {
                values[i] = PyObject_IsTrue(object) == 1 ? 1 : 0;
                present[i] = 1;
            } else if (element != Element::missing) {
                refuse_element_type(name_, kind_, object, i);
            }
        }
        return Column::of_truths(table::hold(std::move(values)), rows_,
                                 table::mask_from_present(present));
    }

    Column dates() const
    {
        std::vector<std::int32_t> days(rows_, 0);
        std::vector<std::uint8_t> present(rows_, 0);
        for (std::size_t i = 0; i < rows_; ++i) {
            auto* const object = (*this)[i];
            const auto element = element_of(object);
            if (element == Element::day) {
                const auto day = day_of(object);
                days[i] = day.value_or(0);
                present[i] = day ? 1 : 0;
            } else if (element == Element::text) {
                const auto text = text_of(name_, object, i);
                if (!text.empty()) {
                    days[i] = table::days_of_text(name_, text);
                    present[i] = 1;
                }
            } else if (element != Element::missing) {
                refuse_element_type(name_, kind_, object, i);
            }
        }
        return Column::of_dates(table::hold(std::move(days)), rows_,
                                table::mask_from_present(present));
    }

    /// The kind of the first element that says something; texts when none does.
    Kind own_kind() const
    {
        bool fraction = false;
        auto kind = Kind::text;
        for (std::size_t i = 0; i < rows_; ++i) {
            switch (element_of((*this)[i])) {
                case Element::missing:
                    break;
                case Element::truth:
                    return Kind::truth;
                case Element::whole:
                    kind = Kind::whole;
                    break;
                case Element::number:
                    fraction = true;
                    break;
                case Element::day:
                    return Kind::date;
                default:
                    return Kind::text;
            }
        }
        return fraction ? Kind::number : kind;
    }

  private:
    /// Day of a date; of a moment with a time zone the day in UTC, as everywhere. None: no time.
    static std::optional<std::int32_t> day_of(PyObject* object)
    {
        auto day = py::reinterpret_borrow<py::object>(object);
        if (is_numpy_time(object)) {
            day = day.attr("astype")("datetime64[D]").attr("item")();
        }
        if (day.is_none()) {
            return std::nullopt;
        }
        if (is_a(object, "datetime") && !day.attr("tzinfo").is_none()) {
            const auto utc = py::module_::import("datetime").attr("timezone").attr("utc");
            day = day.attr("astimezone")(utc);
        }
        return table::days_of(day.attr("year").cast<int>(), day.attr("month").cast<int>(),
                              day.attr("day").cast<int>());
    }

    std::string_view name_;
    std::optional<Kind> kind_;
    py::object fast_;
    std::size_t rows_ = 0;
};

}  // namespace

Column column_from_objects(std::string_view name, std::optional<Kind> kind,
                           const py::sequence& objects)
{
    const Elements elements(name, kind, objects);
    switch (kind ? *kind : elements.own_kind()) {
        case Kind::word:
            return elements.words();
        case Kind::text:
            return elements.texts();
        case Kind::number:
        case Kind::count:
            return elements.numbers();
        case Kind::date:
            return elements.dates();
        case Kind::whole:
            return elements.wholes();
        case Kind::truth:
            return elements.truths();
        case Kind::moment:
            break;
    }
    refuse_kind(name, kind, "a sequence");
}

}  // namespace enginewright::bind
