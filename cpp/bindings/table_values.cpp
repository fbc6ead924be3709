#include <limits>

#include "bind.hpp"
#include "tables.hpp"

/// Columns from NumPy arrays and Python sequences.
namespace enginewright::bind {

using table::Column;
using table::Foreign;
using table::Kind;
using table::Storage;

namespace {

[[noreturn]] void refuse_kind(std::string_view name, std::optional<Kind> kind,
                              const std::string& got)
{
    std::string text = "column " + std::string(name);
    text += kind ? " must hold " + std::string(word(*kind)) + "s, got " + got
                 : " has a type that is not taken, " + got;
    throw table::TypeRefused(text);
}

/// Keeps a Python object alive from any thread.
std::shared_ptr<const void> kept(const py::object& object)
{
    auto* const pointer = object.ptr();
    Py_INCREF(pointer);
    return {static_cast<const void*>(pointer), [pointer](const void*) {
                // After the interpreter is gone there is nothing left to give back to.
                if (Py_IsInitialized() != 0) {
                    const py::gil_scoped_acquire held;
                    Py_DECREF(pointer);
                }
            }};
}

std::optional<Storage> storage_of(char kind, py::ssize_t size)
{
    switch (kind) {
        case 'b':
            return Storage::byte_truth;
        case 'f':
            return size == 4 ? Storage::float32 : Storage::float64;
        case 'i':
            return size == 1   ? Storage::int8
                   : size == 2 ? Storage::int16
                   : size == 4 ? Storage::int32
                               : Storage::int64;
        case 'u':
            return size == 1   ? Storage::uint8
                   : size == 2 ? Storage::uint16
                   : size == 4 ? Storage::uint32
                               : Storage::uint64;
        default:
            return std::nullopt;
    }
}

struct TimeUnit {
    const char* name;
    Storage storage;
    const char* format;
};

constexpr std::array<TimeUnit, 5> time_units{{{"D", Storage::days, ""},
                                              {"s", Storage::seconds, "tss:"},
                                              {"ms", Storage::milliseconds, "tsm:"},
                                              {"us", Storage::microseconds, "tsu:"},
                                              {"ns", Storage::nanoseconds, "tsn:"}}};

/// An array of one dimension, contiguous, in this machine's byte order.
py::array plain_array(std::string_view name, const py::array& given)
{
    if (given.ndim() != 1) {
        throw std::invalid_argument("column " + std::string(name) +
                                    " must have one dimension, got " +
                                    std::to_string(given.ndim()));
    }
    const auto numpy = py::module_::import("numpy");
    auto array = numpy.attr("ascontiguousarray")(given).cast<py::array>();
    const auto type = array.dtype();
    if (!type.attr("isnative").cast<bool>()) {
        array = array.attr("astype")(type.attr("newbyteorder")("=")).cast<py::array>();
    }
    if (type.kind() == 'f' && type.itemsize() != 4 && type.itemsize() != 8) {
        array = array.attr("astype")("float64").cast<py::array>();
    }
    return array;
}

Foreign foreign_of_times(std::string_view name, std::optional<Kind> kind, py::array& array)
{
    const auto numpy = py::module_::import("numpy");
    const auto data = numpy.attr("datetime_data")(array.dtype()).cast<py::tuple>();
    const auto unit = data[0].cast<std::string>();
    for (const auto& each : time_units) {
        if (unit == each.name && data[1].cast<int>() == 1) {
            return {.storage = each.storage, .format = each.format, .untyped_missing = true};
        }
    }
    if (unit == "generic") {
        refuse_kind(name, kind, "times without a unit");
    }
    // Years, months and weeks are whole days; hours and minutes whole seconds.
    const bool days = unit == "Y" || unit == "M" || unit == "W" || unit == "D";
    array = array.attr("astype")(days ? "datetime64[D]" : "datetime64[s]").cast<py::array>();
    return {.storage = days ? Storage::days : Storage::seconds,
            .format = days ? "" : "tss:",
            .untyped_missing = true};
}

Column column_from_objects(std::string_view name, std::optional<Kind> kind,
                           const py::sequence& objects);

Column from_foreign(std::string_view name, std::optional<Kind> kind, const Foreign& foreign)
{
    return kind ? table::adopt(name, foreign, *kind) : table::adopt_as_it_is(name, foreign);
}

Column column_from_array(std::string_view name, std::optional<Kind> kind, const py::array& given,
                         const std::vector<std::uint8_t>& present)
{
    const auto given_kind = given.dtype().kind();
    if (given.ndim() == 1 && (given_kind == 'O' || given_kind == 'U' || given_kind == 'T')) {
        // What is masked is None in the list.
        return column_from_objects(name, kind, given.attr("astype")("O").attr("tolist")());
    }
    auto array = plain_array(name, given);
    const auto type = array.dtype();
    Foreign foreign;
    if (const auto storage = storage_of(type.kind(), type.itemsize())) {
        foreign.storage = *storage;
    } else if (type.kind() == 'M') {
        foreign = foreign_of_times(name, kind, array);
    } else {
        refuse_kind(name, kind, py::str(type.attr("name")));
    }
    foreign.rows = static_cast<std::size_t>(array.size());
    foreign.data = array.data();
    foreign.owner = kept(array);
    foreign.type = py::str(type.attr("name"));
    if (!present.empty()) {
        const auto mask = table::mask_from_present(present);
        foreign.bits = mask.bits.data;
        foreign.owner = std::make_shared<
            const std::pair<std::shared_ptr<const void>, std::shared_ptr<const void>>>(
            foreign.owner, mask.bits.owner);
    }
    return from_foreign(name, kind, foreign);
}

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

/// Presence from the mask of a masked array; empty when it has none.
std::vector<std::uint8_t> presence(const py::object& given)
{
    std::vector<std::uint8_t> present;
    const auto masked = py::module_::import("numpy").attr("ma").attr("MaskedArray");
    if (py::isinstance(given, masked)) {
        const auto mask = py::module_::import("numpy").attr("ma").attr("getmaskarray")(given);
        const auto bytes =
            mask.cast<py::array_t<bool, py::array::c_style | py::array::forcecast>>();
        for (py::ssize_t i = 0; i < bytes.size(); ++i) {
            present.push_back(bytes.data()[i] ? 0 : 1);
        }
    }
    return present;
}

}  // namespace

Column column_from_values(std::string_view name, std::optional<Kind> kind, py::handle values)
{
    if (py::isinstance<py::array>(values)) {
        const auto array = py::reinterpret_borrow<py::array>(values);
        return column_from_array(name, kind, array, presence(array));
    }
    if (PyUnicode_Check(values.ptr()) || PyBytes_Check(values.ptr()) ||
        PySequence_Check(values.ptr()) == 0) {
        refuse_kind(name, kind, Py_TYPE(values.ptr())->tp_name);
    }
    return column_from_objects(name, kind, py::reinterpret_borrow<py::sequence>(values));
}

Column column_from_codes(std::string_view name, std::optional<Kind> kind, const py::array& codes,
                         py::handle categories)
{
    auto array = plain_array(name, codes);
    const auto type = array.dtype();
    const auto storage = storage_of(type.kind(), type.itemsize());
    if (!storage || *storage < Storage::int8 || *storage > Storage::uint64) {
        refuse_kind(name, kind, "codes of " + std::string(py::str(type.attr("name"))));
    }
    const auto entries = column_from_values(name, kind, categories);
    // The categories are few: they go through the same door as any column, then the codes.
    std::vector<std::int64_t> rows(static_cast<std::size_t>(array.size()));
    const auto wide = array.attr("astype")("int64").cast<py::array_t<std::int64_t>>();
    const auto none = static_cast<std::int64_t>(entries.rows());
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const auto code = wide.data()[i];
        if (code < -1 || code >= none) {
            throw std::invalid_argument(std::string(name) +
                                        " must be a code of its categories, got " +
                                        std::to_string(code) + table::at_row(i));
        }
        rows[i] = code < 0 ? none : code;
    }
    const std::vector<Column> with_none{entries, Column::absent(entries.kind(), 1)};
    return table::concatenate(with_none).take(rows);
}

}  // namespace enginewright::bind
