#include "table_values.hpp"

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

/// Presence from the mask of a masked array; empty when it has none.
std::vector<std::uint8_t> presence(const py::object& given)
{
    std::vector<std::uint8_t> present;
    if (is_masked_array(given)) {
        const auto mask = py::module_::import("numpy.ma").attr("getmaskarray")(given);
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
