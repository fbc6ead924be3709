#include <limits>

#include "bind.hpp"
#include "tables.hpp"

/// Columns as NumPy arrays.
namespace enginewright::bind {

using table::Column;
using table::Kind;

namespace {

/// A read-only array over memory that the column keeps alive.
template <class T>
py::object view_of(const Column& column, std::span<const T> values)
{
    const py::capsule owner(new Column(column),
                            [](void* pointer) { delete static_cast<Column*>(pointer); });
    return read_only(py::array_t<T>(static_cast<py::ssize_t>(values.size()), values.data(), owner));
}

/// A read-only array that owns its values.
template <class T>
py::object array_of(const std::vector<T>& values)
{
    return read_only(py::array_t<T>(static_cast<py::ssize_t>(values.size()), values.data()));
}

/// The values as they lie when every missing row already holds `filler`, else a filled copy.
template <class T>
py::object filled(const Column& column, std::span<const T> values, T filler, auto&& is_filler)
{
    if (column.is_absent()) {
        return array_of(std::vector<T>(column.rows(), filler));
    }
    bool lies_so = true;
    const auto valid = column.validity();
    for (std::size_t i = 0; valid.bits != nullptr && i < values.size(); ++i) {
        lies_so = lies_so && (valid.present(i) || is_filler(values[i]));
    }
    if (lies_so) {
        return view_of(column, values);
    }
    std::vector<T> copy(values.begin(), values.end());
    for (std::size_t i = 0; i < copy.size(); ++i) {
        copy[i] = valid.present(i) ? copy[i] : filler;
    }
    return array_of(copy);
}

/// Times as NumPy has them: int64 with the smallest one for "no time".
py::object times(const Column& column, const std::string& type, auto&& value)
{
    std::vector<std::int64_t> values(column.rows(), std::numeric_limits<std::int64_t>::min());
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (column.present(i)) {
            values[i] = value(i);
        }
    }
    return read_only(array_of(values).attr("view")(type).cast<py::array>());
}

py::object moments(const Column& column)
{
    // "tsu:UTC": the letter after "ts" is the unit.
    const auto& format = column.format();
    const auto letter = format.size() > 2 ? format[2] : 'n';
    const std::string unit = letter == 's'   ? "s"
                             : letter == 'm' ? "ms"
                             : letter == 'u' ? "us"
                                             : "ns";
    const auto view = column.is_absent() ? table::WholeView{} : column.wholes();
    return times(column, "datetime64[" + unit + "]", [&](std::size_t i) { return view.values[i]; });
}

/// An array of texts with None where there is none; each word is made once.
py::object word_objects(const Column& column)
{
    const auto view = column.words();
    std::vector<py::object> words;
    words.reserve(view.words.size());
    for (const auto word : view.words) {
        words.push_back(py::str(word.data(), word.size()));
    }
    std::vector<py::object> objects;
    objects.reserve(column.rows());
    for (std::size_t i = 0; i < column.rows(); ++i) {
        const auto code = view.code(i);
        objects.push_back(code < 0 ? py::object(py::none())
                                   : words[static_cast<std::size_t>(code)]);
    }
    return array_of_objects(objects, {static_cast<py::ssize_t>(objects.size())});
}

py::object text_objects(const Column& column)
{
    const auto view = column.texts();
    std::vector<py::object> objects;
    objects.reserve(column.rows());
    for (std::size_t i = 0; i < column.rows(); ++i) {
        const auto text = view.text(i);
        objects.push_back(view.present(i) ? py::object(py::str(text.data(), text.size()))
                                          : py::object(py::none()));
    }
    return array_of_objects(objects, {static_cast<py::ssize_t>(objects.size())});
}

std::vector<std::uint8_t> presence(const Column& column)
{
    std::vector<std::uint8_t> present(column.rows());
    for (std::size_t i = 0; i < present.size(); ++i) {
        present[i] = column.present(i) ? 1 : 0;
    }
    return present;
}

}  // namespace

py::object values_of_column(const Column& column)
{
    switch (column.kind()) {
        case Kind::word:
            return word_objects(column);
        case Kind::text:
            return text_objects(column);
        case Kind::number:
            return filled(column, column.numbers().values, std::numeric_limits<double>::quiet_NaN(),
                          [](double value) { return std::isnan(value); });
        case Kind::count:
            return filled(column, column.counts().values, std::int32_t{0},
                          [](std::int32_t value) { return value == 0; });
        case Kind::whole:
            return filled(column, column.wholes().values, std::int64_t{0},
                          [](std::int64_t value) { return value == 0; });
        case Kind::truth:
            return read_only(filled(column, column.truths(), std::uint8_t{0},
                                    [](std::uint8_t value) { return value == 0; })
                                 .attr("view")("bool")
                                 .cast<py::array>());
        case Kind::date: {
            const auto days = column.counts().values;
            return times(column, "datetime64[D]",
                         [&](std::size_t i) { return std::int64_t{days[i]}; });
        }
        case Kind::moment:
            return moments(column);
    }
    return py::none();
}

py::object codes_of_column(const Column& column)
{
    if (column.is_absent()) {
        return array_of(std::vector<std::int32_t>(column.rows(), -1));
    }
    return view_of(column, column.words().codes);
}

py::object missing_of_column(const Column& column)
{
    py::array_t<bool> missing(static_cast<py::ssize_t>(column.rows()));
    auto* const out = missing.mutable_data();
    for (std::size_t i = 0; i < column.rows(); ++i) {
        out[i] = !column.present(i);
    }
    return read_only(std::move(missing));
}

py::tuple state_of_column(const Column& column)
{
    const std::string kind(word(column.kind()));
    const auto rows = column.rows();
    if (column.is_absent()) {
        return py::make_tuple(kind, rows, py::none());
    }
    const auto present = column.validity().bits == nullptr || column.kind() == Kind::word
                             ? py::object(py::none())
                             : array_of(presence(column));
    switch (column.kind()) {
        case Kind::word: {
            py::list words;
            for (const auto each : column.words().words) {
                words.append(py::str(each.data(), each.size()));
            }
            return py::make_tuple(kind, rows, codes_of_column(column), py::tuple(words));
        }
        case Kind::number:
            return py::make_tuple(kind, rows, view_of(column, column.numbers().values), present);
        case Kind::count:
        case Kind::date:
            return py::make_tuple(kind, rows, view_of(column, column.counts().values), present);
        case Kind::whole:
        case Kind::moment:
            return py::make_tuple(kind, rows, view_of(column, column.wholes().values), present,
                                  column.format());
        case Kind::truth:
            return py::make_tuple(kind, rows, view_of(column, column.truths()), present);
        case Kind::text: {
            const auto view = column.texts();
            const auto first = view.offsets.front();
            std::vector<std::int64_t> offsets(view.offsets.begin(), view.offsets.end());
            for (auto& each : offsets) {
                each -= first;
            }
            const py::bytes bytes(view.bytes + first, static_cast<std::size_t>(offsets.back()));
            return py::make_tuple(kind, rows, array_of(offsets), present, bytes);
        }
    }
    return py::make_tuple();
}

namespace {

template <class T>
table::Buffer<T> buffer_from(const py::object& given, std::size_t least)
{
    const auto array = given.cast<py::array_t<T, py::array::c_style | py::array::forcecast>>();
    if (static_cast<std::size_t>(array.size()) != least) {
        throw std::invalid_argument("column must have the length of its table");
    }
    return table::hold(std::vector<T>(array.data(), array.data() + array.size()));
}

}  // namespace

Column column_from_state(const py::tuple& state)
{
    const auto kind = from_word<Kind>("kind", state[0].cast<std::string>());
    const auto rows = state[1].cast<std::size_t>();
    if (state[2].is_none()) {
        return Column::absent(kind, rows);
    }
    const py::object values = state[2];
    table::Mask mask;
    if (kind != Kind::word && !state[3].is_none()) {
        const auto present = buffer_from<std::uint8_t>(state[3], rows);
        mask = table::mask_from_present({present.data, rows});
    }
    switch (kind) {
        case Kind::word:
            return Column::of_words(
                buffer_from<std::int32_t>(values, rows), rows,
                std::make_shared<const table::WordList>(state[3].cast<std::vector<std::string>>()));
        case Kind::number:
            return Column::of_numbers(buffer_from<double>(values, rows), rows, mask);
        case Kind::count:
            return Column::of_counts(buffer_from<std::int32_t>(values, rows), rows, mask);
        case Kind::date:
            return Column::of_dates(buffer_from<std::int32_t>(values, rows), rows, mask);
        case Kind::whole:
            return Column::of_wholes(buffer_from<std::int64_t>(values, rows), rows, mask);
        case Kind::moment:
            return Column::of_moments(buffer_from<std::int64_t>(values, rows), rows, mask,
                                      state[4].cast<std::string>());
        case Kind::truth:
            return Column::of_truths(buffer_from<std::uint8_t>(values, rows), rows, mask);
        case Kind::text: {
            const auto bytes = state[4].cast<std::string>();
            const auto offsets = buffer_from<std::int64_t>(values, rows + 1);
            if (offsets.data[0] < 0 ||
                offsets.data[rows] > static_cast<std::int64_t>(bytes.size())) {
                throw std::invalid_argument("texts must lie within their bytes");
            }
            return Column::of_texts(
                offsets, table::hold(std::vector<char>(bytes.begin(), bytes.end())), rows, mask);
        }
    }
    return {};
}

}  // namespace enginewright::bind
