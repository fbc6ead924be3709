#include <algorithm>
#include <array>
#include <stdexcept>

#include "enginewright/table.hpp"

namespace enginewright::table {

namespace {

using arrow::ArrowArray;
using arrow::ArrowSchema;

struct Format {
    std::string_view text;
    Storage storage;
};

// Source: Apache Arrow, "The Arrow C data interface", format strings.
constexpr std::array<Format, 17> formats{{
    {"n", Storage::nothing},
    {"b", Storage::bit},
    {"c", Storage::int8},
    {"C", Storage::uint8},
    {"s", Storage::int16},
    {"S", Storage::uint16},
    {"i", Storage::int32},
    {"I", Storage::uint32},
    {"l", Storage::int64},
    {"L", Storage::uint64},
    {"f", Storage::float32},
    {"g", Storage::float64},
    {"u", Storage::utf8},
    {"U", Storage::large_utf8},
    {"vu", Storage::utf8_view},
    {"tdD", Storage::date32},
    {"tdm", Storage::date64},
}};

std::optional<Storage> storage_of(std::string_view format)
{
    for (const auto& each : formats) {
        if (each.text == format) {
            return each.storage;
        }
    }
    if (format.starts_with("tss:")) {
        return Storage::seconds;
    }
    if (format.starts_with("tsm:")) {
        return Storage::milliseconds;
    }
    if (format.starts_with("tsu:")) {
        return Storage::microseconds;
    }
    if (format.starts_with("tsn:")) {
        return Storage::nanoseconds;
    }
    return std::nullopt;
}

/// How many buffers a type must bring at least.
std::int64_t least_buffers(Storage storage)
{
    switch (storage) {
        case Storage::nothing:
            return 0;
        case Storage::utf8:
        case Storage::large_utf8:
        case Storage::utf8_view:
            return 3;
        default:
            return 2;
    }
}

[[noreturn]] void refuse_malformed(std::string_view name, const char* what)
{
    throw std::invalid_argument("column " + std::string(name) +
                                " must follow the Arrow interface, " + what);
}

/// Rows `first` .. `first + rows` of one array, by reference.
Foreign foreign_of(std::string_view name, const ArrowSchema& schema, const ArrowArray& array,
                   std::int64_t first, std::int64_t rows, std::shared_ptr<const void> owner)
{
    if (rows < 0 || first < 0 || array.offset < 0 || array.length < first ||
        array.length - first < rows) {
        refuse_malformed(name, "its array is shorter than its batch");
    }
    Foreign foreign{.storage = Storage::nothing,
                    .rows = static_cast<std::size_t>(rows),
                    .first = static_cast<std::size_t>(array.offset + first),
                    .owner = owner,
                    .type = arrow::type_name(schema),
                    .format = schema.format};
    const auto storage = storage_of(schema.format);
    if (!storage) {
        throw TypeRefused("column " + std::string(name) + " has a type that is not taken, " +
                          foreign.type);
    }
    foreign.storage = *storage;
    // "string_view" was added last: its last buffer holds the sizes of those before it.
    if (array.n_buffers < least_buffers(*storage) - (*storage == Storage::utf8_view ? 1 : 0)) {
        refuse_malformed(name, "it has too few buffers");
    }
    if (*storage != Storage::nothing) {
        foreign.bits =
            array.null_count == 0 ? nullptr : static_cast<const std::uint8_t*>(array.buffers[0]);
        foreign.data = array.buffers[1];
        if (foreign.data == nullptr && rows > 0) {
            refuse_malformed(name, "it has no values");
        }
    }
    if (*storage == Storage::utf8 || *storage == Storage::large_utf8) {
        foreign.bytes = static_cast<const char*>(array.buffers[2]);
    }
    if (*storage == Storage::utf8_view) {
        foreign.views = array.buffers + 2;
        foreign.view_count =
            static_cast<std::size_t>(std::max<std::int64_t>(array.n_buffers - 3, 0));
        foreign.view_sizes = static_cast<const std::int64_t*>(array.buffers[array.n_buffers - 1]);
    }
    if (schema.dictionary != nullptr) {
        if (array.dictionary == nullptr || *storage < Storage::int8 || *storage > Storage::uint64) {
            refuse_malformed(name, "its dictionary and codes do not fit together");
        }
        foreign.dictionary = std::make_shared<const Foreign>(
            foreign_of(name, *schema.dictionary, *array.dictionary, 0, array.dictionary->length,
                       std::move(owner)));
    }
    return foreign;
}

Column column_of(std::string_view name, const Foreign& foreign, std::optional<Kind> wanted)
{
    return wanted ? adopt(name, foreign, *wanted) : adopt_as_it_is(name, foreign);
}

std::optional<Kind> kind_of(const TableSpec& spec, std::string_view name)
{
    for (const auto& each : spec.columns) {
        if (each.name == name) {
            return each.kind;
        }
    }
    return std::nullopt;
}

std::string_view name_of(const ArrowSchema& schema)
{
    return schema.name == nullptr ? std::string_view{} : std::string_view(schema.name);
}

/// The index of a data frame is no column of the table.
bool is_index(std::string_view name)
{
    return name.starts_with("__index_level_") && name.ends_with("__");
}

void require_batch(const ArrowSchema& schema, const ArrowArray& batch)
{
    if (batch.n_children != schema.n_children || batch.length < 0 || batch.offset < 0) {
        throw std::invalid_argument("stream must give batches that fit its schema");
    }
    if (arrow::null_count(batch) != 0) {
        throw std::invalid_argument("stream must give batches in which no row is null as a whole");
    }
}

std::vector<std::shared_ptr<const arrow::Batch>> batches_of(arrow::StreamReader& reader)
{
    std::vector<std::shared_ptr<const arrow::Batch>> batches;
    while (auto batch = reader.next()) {
        batches.push_back(std::move(batch));
    }
    return batches;
}

/// One column out of all batches.
Column child_column(const ArrowSchema& schema, std::int64_t child,
                    const std::vector<std::shared_ptr<const arrow::Batch>>& batches,
                    std::optional<Kind> wanted)
{
    const auto& column_schema = *schema.children[child];
    const auto name = name_of(column_schema);
    std::vector<Column> parts;
    for (const auto& batch : batches) {
        const ArrowArray& array = **batch;
        parts.push_back(column_of(name,
                                  foreign_of(name, column_schema, *array.children[child],
                                             array.offset, array.length, batch),
                                  wanted));
    }
    if (parts.empty()) {
        ArrowArray none{};
        std::array<const void*, 3> buffers{};
        none.n_buffers = 3;
        none.buffers = buffers.data();
        none.dictionary = column_schema.dictionary != nullptr ? &none : nullptr;
        parts.push_back(
            column_of(name, foreign_of(name, column_schema, none, 0, 0, nullptr), wanted));
    }
    return concatenate(parts);
}

void require_schema_of(const TableSpec& spec, const ArrowSchema& schema)
{
    for (const auto& [key, value] : arrow::metadata_of(schema)) {
        if (key == "schema" && value.starts_with("enginewright.")) {
            require_schema(spec, value);
        }
    }
}

}  // namespace

Table read_stream(arrow::ArrowArrayStream& stream, const TableSpec& spec)
{
    arrow::StreamReader reader(stream);
    const auto& schema = reader.schema();
    if (std::string_view(schema.format) != "+s") {
        throw TypeRefused("stream must hold a table, got a column of " + arrow::type_name(schema));
    }
    require_schema_of(spec, schema);
    const auto batches = batches_of(reader);
    std::size_t rows = 0;
    for (const auto& batch : batches) {
        require_batch(schema, **batch);
        rows += static_cast<std::size_t>((**batch).length);
    }
    std::vector<NamedColumn> columns;
    for (std::int64_t child = 0; child < schema.n_children; ++child) {
        const auto name = name_of(*schema.children[child]);
        if (!is_index(name)) {
            columns.push_back(
                {std::string(name), child_column(schema, child, batches, kind_of(spec, name))});
        }
    }
    return Table::arranged(spec, rows, std::move(columns));
}

Column read_array(std::string_view name, ArrowSchema& schema, ArrowArray& array,
                  std::optional<Kind> wanted)
{
    const arrow::Schema held_schema(schema);
    const auto held = std::make_shared<const arrow::Batch>(array);
    if (held_schema.done() || held->done()) {
        throw std::invalid_argument("column " + std::string(name) +
                                    " must not have been read before, got an empty array");
    }
    const ArrowArray& values = **held;
    return column_of(name, foreign_of(name, *held_schema, values, 0, values.length, held), wanted);
}

Column read_array_stream(std::string_view name, arrow::ArrowArrayStream& stream,
                         std::optional<Kind> wanted)
{
    arrow::StreamReader reader(stream);
    std::vector<Column> parts;
    for (const auto& batch : batches_of(reader)) {
        const ArrowArray& array = **batch;
        parts.push_back(column_of(
            name, foreign_of(name, reader.schema(), array, 0, array.length, batch), wanted));
    }
    if (parts.empty()) {
        parts.push_back(Column::absent(wanted.value_or(Kind::word), 0));
    }
    return concatenate(parts);
}

}  // namespace enginewright::table
