#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <memory>

#include "enginewright/table.hpp"
#include "table/bits.hpp"

namespace enginewright::table {

namespace {

using arrow::ArrowArray;
using arrow::ArrowArrayStream;
using arrow::ArrowSchema;

/// What an exported schema needs until it is released.
struct SchemaRoom {
    std::string format{};
    std::string name{};
    std::string metadata{};
    std::vector<std::unique_ptr<ArrowSchema>> children{};
    std::vector<ArrowSchema*> child_pointers{};
    std::unique_ptr<ArrowSchema> dictionary{};
};

template <class Struct>
void release_if_held(Struct* held)
{
    if (held != nullptr && held->release != nullptr) {
        held->release(held);
    }
}

template <class Struct, class Room>
void release_room(Struct* self)
{
    for (std::int64_t i = 0; i < self->n_children; ++i) {
        release_if_held(self->children[i]);
    }
    release_if_held(self->dictionary);
    delete static_cast<Room*>(self->private_data);
    self->release = nullptr;
}

/// Hands a room over to the struct that the other side will release.
template <class Struct, class Room>
void hand_over(std::unique_ptr<Room> room, Struct& out)
{
    out.n_children = static_cast<std::int64_t>(room->child_pointers.size());
    out.children = room->child_pointers.data();
    out.dictionary = room->dictionary.get();
    out.release = &release_room<Struct, Room>;
    out.private_data = room.release();
}

std::string format_of(const Column& column)
{
    switch (column.kind()) {
        case Kind::word:
        case Kind::count:
            return "i";
        case Kind::number:
            return "g";
        case Kind::date:
            return "tdD";
        case Kind::text:
            return "U";
        case Kind::whole:
            return "l";
        case Kind::truth:
            return "b";
        case Kind::moment:
            return column.format();
    }
    return "n";
}

void fill_schema(ArrowSchema& out, std::string format, std::string name, bool words)
{
    auto room = std::make_unique<SchemaRoom>();
    room->format = std::move(format);
    room->name = std::move(name);
    if (words) {
        room->dictionary = std::make_unique<ArrowSchema>();
        fill_schema(*room->dictionary, "u", "", false);
    }
    out = {};
    out.format = room->format.c_str();
    out.name = room->name.c_str();
    out.flags = arrow::flag_nullable;
    hand_over(std::move(room), out);
}

void fill_table_schema(const Table& table, ArrowSchema& out)
{
    auto room = std::make_unique<SchemaRoom>();
    room->format = "+s";
    room->metadata = arrow::metadata_bytes({{"schema", table.schema()}});
    for (const auto& each : table.columns()) {
        auto child = std::make_unique<ArrowSchema>();
        fill_schema(*child, format_of(each.column), each.name, each.column.kind() == Kind::word);
        room->child_pointers.push_back(child.get());
        room->children.push_back(std::move(child));
    }
    out = {};
    out.format = room->format.c_str();
    out.name = room->name.c_str();
    out.metadata = room->metadata.c_str();
    hand_over(std::move(room), out);
}

/// What an exported array needs until it is released.
struct ArrayRoom {
    Column column{};
    std::array<const void*, 3> buffers{};
    std::vector<std::uint8_t> bits{};
    std::vector<std::uint8_t> truths{};
    std::shared_ptr<const void> zeros{};
    std::string bytes{};
    std::vector<std::int32_t> offsets{};
    std::vector<std::unique_ptr<ArrowArray>> children{};
    std::vector<ArrowArray*> child_pointers{};
    std::unique_ptr<ArrowArray> dictionary{};
};

void fill_words(ArrowArray& out, const std::shared_ptr<const WordList>& words)
{
    auto room = std::make_unique<ArrayRoom>();
    room->offsets.push_back(0);
    for (const auto word : words ? words->views() : std::span<const std::string_view>{}) {
        room->bytes += word;
        room->offsets.push_back(static_cast<std::int32_t>(room->bytes.size()));
    }
    room->buffers = {nullptr, room->offsets.data(), room->bytes.data()};
    out = {};
    out.length = static_cast<std::int64_t>(room->offsets.size()) - 1;
    out.n_buffers = 3;
    out.buffers = room->buffers.data();
    hand_over(std::move(room), out);
}

/// Bits of the rows, from whatever says that one is present; least significant first.
std::vector<std::uint8_t> bits_where(std::size_t rows, auto&& set)
{
    std::vector<std::uint8_t> bits((rows + 7) / 8);
    for (std::size_t i = 0; i < rows; ++i) {
        bits[i >> 3U] |= static_cast<std::uint8_t>((set(i) ? 1U : 0U) << (i & 7U));
    }
    return bits;
}

/// Bits that start at bit 0: as they lie when they do, else moved there.
const void* aligned_bits(ArrayRoom& room, Validity valid, std::size_t rows)
{
    if ((valid.offset & 7) == 0) {
        return valid.bits + (valid.offset >> 3);
    }
    room.bits = bits_where(rows, [&](std::size_t i) { return valid.present(i); });
    return room.bits.data();
}

const void* values_of(ArrayRoom& room, const Column& column)
{
    switch (column.kind()) {
        case Kind::word:
            return column.words().codes.data();
        case Kind::number:
            return column.numbers().values.data();
        case Kind::count:
        case Kind::date:
            return column.counts().values.data();
        case Kind::whole:
        case Kind::moment:
            return column.wholes().values.data();
        case Kind::text:
            return column.texts().offsets.data();
        case Kind::truth: {
            const auto truths = column.truths();
            room.truths = bits_where(column.rows(), [&](std::size_t i) { return truths[i] != 0; });
            return room.truths.data();
        }
    }
    return nullptr;
}

/// Zeros that all columns without memory of their own share.
using Zeros = std::shared_ptr<const std::vector<std::int64_t>>;

void fill_absent(ArrayRoom& room, ArrowArray& out, const Zeros& zeros)
{
    room.zeros = zeros;
    room.buffers = {zeros->data(), zeros->data(), zeros->data()};
    out.null_count = out.length;
}

void fill_present(ArrayRoom& room, ArrowArray& out)
{
    const auto& column = room.column;
    const auto rows = column.rows();
    const auto missing = column.missing_count();
    out.null_count = static_cast<std::int64_t>(missing);
    room.buffers[1] = values_of(room, column);
    if (column.kind() == Kind::text) {
        room.buffers[2] = column.texts().bytes;
    }
    if (missing == 0) {
        return;
    }
    if (column.kind() == Kind::word) {
        const auto codes = column.words().codes;
        room.bits = bits_where(rows, [&](std::size_t i) { return codes[i] >= 0; });
        room.buffers[0] = room.bits.data();
    } else {
        room.buffers[0] = aligned_bits(room, column.validity(), rows);
    }
}

void fill_array(ArrowArray& out, const Column& column, const Zeros& zeros)
{
    auto room = std::make_unique<ArrayRoom>();
    room->column = column;
    out = {};
    out.length = static_cast<std::int64_t>(column.rows());
    out.n_buffers = column.kind() == Kind::text ? 3 : 2;
    if (column.is_absent()) {
        fill_absent(*room, out, zeros);
    } else {
        fill_present(*room, out);
    }
    if (column.kind() == Kind::word) {
        room->dictionary = std::make_unique<ArrowArray>();
        fill_words(*room->dictionary, column.word_list());
    }
    out.buffers = room->buffers.data();
    hand_over(std::move(room), out);
}

void fill_batch(const Table& table, ArrowArray& out)
{
    // One entry more than rows: the offsets of a text column that is absent.
    const auto zeros = std::make_shared<const std::vector<std::int64_t>>(table.rows() + 1);
    auto room = std::make_unique<ArrayRoom>();
    for (const auto& each : table.columns()) {
        auto child = std::make_unique<ArrowArray>();
        fill_array(*child, each.column, zeros);
        room->child_pointers.push_back(child.get());
        room->children.push_back(std::move(child));
    }
    out = {};
    out.length = static_cast<std::int64_t>(table.rows());
    out.n_buffers = 1;
    out.buffers = room->buffers.data();
    hand_over(std::move(room), out);
}

/// A stream of one batch; the table is held until the stream is released.
struct StreamRoom {
    Table table{};
    bool given = false;
    std::string error{};
};

/// Runs what may throw; an exception must not cross into the other side.
template <class Work>
int guarded(ArrowArrayStream* stream, Work&& work)
{
    auto& room = *static_cast<StreamRoom*>(stream->private_data);
    try {
        work(room);
        return 0;
    } catch (const std::exception& failed) {
        room.error = failed.what();
        return ENOMEM;
    }
}

int give_schema(ArrowArrayStream* stream, ArrowSchema* out)
{
    return guarded(stream, [out](StreamRoom& room) { fill_table_schema(room.table, *out); });
}

int give_batch(ArrowArrayStream* stream, ArrowArray* out)
{
    return guarded(stream, [out](StreamRoom& room) {
        *out = {};
        if (!room.given) {
            fill_batch(room.table, *out);
            room.given = true;
        }
    });
}

const char* give_error(ArrowArrayStream* stream)
{
    const auto& error = static_cast<StreamRoom*>(stream->private_data)->error;
    return error.empty() ? nullptr : error.c_str();
}

void release_stream(ArrowArrayStream* stream)
{
    delete static_cast<StreamRoom*>(stream->private_data);
    stream->release = nullptr;
}

}  // namespace

void write_stream(const Table& table, ArrowArrayStream& stream)
{
    auto room = std::make_unique<StreamRoom>();
    room->table = table;
    stream = {.get_schema = &give_schema,
              .get_next = &give_batch,
              .get_last_error = &give_error,
              .release = &release_stream,
              .private_data = room.release()};
}

void write_schema(const Table& table, ArrowSchema& schema) { fill_table_schema(table, schema); }

}  // namespace enginewright::table
