#include "enginewright/arrow.hpp"

#include <gtest/gtest.h>

#include <cerrno>
#include <deque>
#include <limits>

#include "enginewright/table.hpp"
#include "refusal.hpp"

namespace enginewright::arrow {
namespace {

using table::Column;
using table::Kind;
using table::Table;

/// How often the other side was told to let go.
struct Counts {
    int streams = 0;
    int schemas = 0;
    int batches = 0;
};

/// Another library: keeps everything it hands out in one place, counts what is released.
class OtherSide {
  public:
    /// One column; `buffers` stay as long as this object.
    struct Given {
        std::string name;
        std::string format;
        std::vector<const void*> buffers;
        std::int64_t length = 0;
        std::int64_t offset = 0;
        std::int64_t null_count = 0;
        const Given* dictionary = nullptr;
    };

    std::vector<std::vector<Given>> batches{};
    std::int64_t break_off_at = -1;
    std::int64_t batch_offset = 0;
    bool no_schema = false;
    std::string metadata{};
    Counts released{};

    void open(ArrowArrayStream& stream)
    {
        stream = {.get_schema = &get_schema,
                  .get_next = &get_next,
                  .get_last_error = [](ArrowArrayStream*) -> const char* { return "disk is gone"; },
                  .release =
                      [](ArrowArrayStream* self) {
                          ++of(self).released.streams;
                          self->release = nullptr;
                      },
                  .private_data = this};
    }

  private:
    static OtherSide& of(ArrowArrayStream* stream)
    {
        return *static_cast<OtherSide*>(stream->private_data);
    }

    static int get_schema(ArrowArrayStream* stream, ArrowSchema* out)
    {
        auto& self = of(stream);
        if (self.no_schema) {
            return EIO;
        }
        auto& children = self.schema_pointers_.emplace_back();
        for (const auto& given : self.batches.front()) {
            children.push_back(self.schema_of(given));
        }
        *out = {};
        out->format = "+s";
        out->metadata = self.metadata.empty() ? nullptr : self.metadata.c_str();
        out->n_children = static_cast<std::int64_t>(children.size());
        out->children = children.data();
        out->private_data = &self;
        out->release = [](ArrowSchema* schema) {
            ++static_cast<OtherSide*>(schema->private_data)->released.schemas;
            schema->release = nullptr;
        };
        return 0;
    }

    static int get_next(ArrowArrayStream* stream, ArrowArray* out)
    {
        auto& self = of(stream);
        *out = {};
        if (self.next_ == self.break_off_at) {
            return EIO;
        }
        if (self.next_ == static_cast<std::int64_t>(self.batches.size())) {
            return 0;
        }
        const auto& batch = self.batches[static_cast<std::size_t>(self.next_++)];
        auto& children = self.array_pointers_.emplace_back();
        for (const auto& given : batch) {
            children.push_back(self.array_of(given));
        }
        static std::array<const void*, 1> no_validity{};
        out->length = batch.front().length;
        out->offset = self.batch_offset;
        out->n_buffers = 1;
        out->buffers = no_validity.data();
        out->n_children = static_cast<std::int64_t>(children.size());
        out->children = children.data();
        out->private_data = &self;
        out->release = [](ArrowArray* array) {
            ++static_cast<OtherSide*>(array->private_data)->released.batches;
            array->release = nullptr;
        };
        return 0;
    }

    ArrowSchema* schema_of(const Given& given)
    {
        auto& schema = schemas_.emplace_back();
        schema.format = given.format.c_str();
        schema.name = given.name.c_str();
        schema.flags = flag_nullable;
        schema.release = [](ArrowSchema*) {};
        schema.dictionary = given.dictionary == nullptr ? nullptr : schema_of(*given.dictionary);
        return &schema;
    }

    ArrowArray* array_of(const Given& given)
    {
        auto& array = arrays_.emplace_back();
        array.length = given.length;
        array.offset = given.offset;
        array.null_count = given.null_count;
        array.n_buffers = static_cast<std::int64_t>(given.buffers.size());
        array.buffers = const_cast<const void**>(given.buffers.data());
        array.release = [](ArrowArray*) {};
        array.dictionary = given.dictionary == nullptr ? nullptr : array_of(*given.dictionary);
        return &array;
    }

    std::int64_t next_ = 0;
    std::deque<ArrowSchema> schemas_{};
    std::deque<ArrowArray> arrays_{};
    std::deque<std::vector<ArrowSchema*>> schema_pointers_{};
    std::deque<std::vector<ArrowArray*>> array_pointers_{};
};

using Given = OtherSide::Given;

/// A schema with one column of each kind, so that any column can be put into a stream.
const table::TableSpec& spec()
{
    static const table::TableSpec made{"sample",
                                       1,
                                       {{"word", Kind::word},
                                        {"number", Kind::number},
                                        {"count", Kind::count},
                                        {"date", Kind::date},
                                        {"text", Kind::text},
                                        {"whole", Kind::whole}}};
    return made;
}

Table read(OtherSide& other)
{
    ArrowArrayStream stream;
    other.open(stream);
    return table::read_stream(stream, spec());
}

std::string type_refusal(OtherSide& other)
{
    try {
        (void)read(other);
    } catch (const table::TypeRefused& refused) {
        return refused.what();
    }
    return "not refused";
}

const std::array<double, 6> values{1.5, 2.5, 3.5, 4.5, 5.5, 6.5};
const std::array<std::uint8_t, 1> bits{0b00101101};  // rows 0, 2, 3, 5

TEST(ArrowStream, IsTakenWithoutACopyWhereItsTypesAreOurs)
{
    OtherSide other;
    other.batches = {{{"number", "g", {nullptr, values.data()}, 3, 2}}};
    {
        const auto table = read(other);
        EXPECT_EQ(table.column("number").numbers().values.data(), values.data() + 2);
        EXPECT_EQ(table.rows(), 3U);
        EXPECT_TRUE(table.column("word").is_absent());
        EXPECT_EQ(other.released.streams, 1);
        EXPECT_EQ(other.released.schemas, 1);
        EXPECT_EQ(other.released.batches, 0) << "the table still points into it";
    }
    EXPECT_EQ(other.released.batches, 1);
}

TEST(ArrowStream, HonoursOffsetsOfValuesAndValidity)
{
    OtherSide other;
    other.batches = {{{"number", "g", {bits.data(), values.data()}, 4, 1, -1}}};
    const auto table = read(other);
    const auto& column = table.column("number");
    EXPECT_EQ(column.missing_count(), 2U);
    EXPECT_FALSE(column.present(0));
    EXPECT_TRUE(column.present(1));
    EXPECT_EQ(column.numbers().values[1], 3.5);
    EXPECT_FALSE(column.present(3));
}

TEST(ArrowStream, IsReleasedOnceAlsoWhenAColumnIsRefused)
{
    OtherSide other;
    other.batches = {{{"number", "g", {nullptr, values.data()}, 2}, {"odd", "+l", {nullptr}, 2}}};
    EXPECT_EQ(type_refusal(other), "column odd has a type that is not taken, list");
    EXPECT_EQ(other.released.streams, 1);
    EXPECT_EQ(other.released.schemas, 1);
    EXPECT_EQ(other.released.batches, 1);
}

TEST(ArrowStream, IsReleasedOnceAlsoWhenItBreaksOff)
{
    OtherSide other;
    other.batches = {{{"number", "g", {nullptr, values.data()}, 2}}};
    other.break_off_at = 1;
    try {
        (void)read(other);
        FAIL();
    } catch (const std::runtime_error& failed) {
        EXPECT_STREQ(failed.what(), "the stream broke off: disk is gone");
    }
    EXPECT_EQ(other.released.streams, 1);
    EXPECT_EQ(other.released.schemas, 1);
    EXPECT_EQ(other.released.batches, 1);
    OtherSide silent;
    silent.no_schema = true;
    EXPECT_THROW((void)read(silent), std::runtime_error);
    EXPECT_EQ(silent.released.streams, 1);
}

TEST(ArrowStream, IsRefusedWhenItWasReadBefore)
{
    ArrowArrayStream stream;
    EXPECT_EQ(refusal([&] { (void)table::read_stream(stream, spec()); }),
              "stream must not have been read before, got an empty one");
}

const std::array<std::int32_t, 3> top_bottom_offsets{0, 3, 9};
const std::array<std::int32_t, 4> bottom_none_top_offsets{0, 6, 6, 9};
const Given top_bottom{"", "u", {nullptr, top_bottom_offsets.data(), "topbottom"}, 2};
const Given bottom_none_top{"", "u", {nullptr, bottom_none_top_offsets.data(), "bottomtop"}, 3};

TEST(ArrowStream, MergesDictionariesOfItsBatchesByWord)
{
    const std::array<std::int8_t, 3> first{1, 0, 1};
    const std::array<std::uint16_t, 4> second{2, 0, 1, 2};
    const std::array<std::uint8_t, 1> last_missing{0b0111};
    OtherSide other;
    other.batches = {{{"word", "c", {nullptr, first.data()}, 3, 0, 0, &top_bottom}}};
    EXPECT_EQ(read(other).column("word").words().text(0), "bottom");
    // The index type is of the schema, so both batches have the same.
    const std::array<std::int8_t, 4> narrow{2, 0, 1, 2};
    OtherSide two;
    two.batches = {
        {{"word", "c", {nullptr, first.data()}, 3, 0, 0, &top_bottom}},
        {{"word", "c", {last_missing.data(), narrow.data()}, 4, 0, 1, &bottom_none_top}}};
    const auto column = read(two).column("word");
    std::vector<std::string> texts;
    for (std::size_t i = 0; i < column.rows(); ++i) {
        texts.emplace_back(column.words().text(i));
    }
    EXPECT_EQ(texts,
              (std::vector<std::string>{"bottom", "top", "bottom", "top", "bottom", "", ""}));
    EXPECT_EQ(column.word_list()->size(), 2U);
    EXPECT_EQ(two.released.batches, 2);
    OtherSide wide;
    wide.batches = {{{"word", "S", {nullptr, second.data()}, 4, 0, 0, &bottom_none_top}}};
    EXPECT_EQ(read(wide).column("word").missing_count(), 1U);
}

TEST(ArrowStream, TakesInt32CodesAsTheyLie)
{
    const std::array<std::int32_t, 4> codes{1, 0, 0, 1};
    OtherSide other;
    other.batches = {{{"word", "i", {nullptr, codes.data()}, 3, 1, 0, &top_bottom}}};
    const auto table = read(other);
    EXPECT_EQ(table.column("word").words().codes.data(), codes.data() + 1);
    const std::array<std::int32_t, 2> wrong{0, 2};
    OtherSide beyond;
    beyond.batches = {{{"word", "i", {nullptr, wrong.data()}, 2, 0, 0, &top_bottom}}};
    EXPECT_THROW((void)read(beyond), std::invalid_argument);
}

TEST(ArrowStream, ReadsStringViewsInlineAndBehindThem)
{
    struct View {
        std::int32_t length;
        std::array<char, 4> prefix;
        std::int32_t buffer;
        std::int32_t offset;
    };
    const char* const behind = "....thirteen long";
    std::array<View, 2> heads{};
    heads[0].length = 3;
    heads[0].prefix = {'t', 'o', 'p', '\0'};
    heads[1] = {13, {'t', 'h', 'i', 'r'}, 0, 4};
    const std::array<std::int64_t, 1> sizes{17};
    OtherSide other;
    other.batches = {{{"word", "vu", {nullptr, heads.data(), behind, sizes.data()}, 2}}};
    const auto table = read(other);
    EXPECT_EQ(table.column("word").words().text(0), "top");
    EXPECT_EQ(table.column("word").words().text(1), "thirteen long");
    heads[1].buffer = 1;
    OtherSide wrong;
    wrong.batches = {{{"word", "vu", {nullptr, heads.data(), behind, sizes.data()}, 2}}};
    EXPECT_EQ(refusal([&] { (void)read(wrong); }),
              "word must hold texts that lie within their buffers (row 1)");
    heads[1].buffer = 0;
    heads[1].offset = 5;
    OtherSide past;
    past.batches = {{{"word", "vu", {nullptr, heads.data(), behind, sizes.data()}, 2}}};
    EXPECT_EQ(refusal([&] { (void)read(past); }),
              "word must hold texts that lie within their buffers (row 1)");
}

template <class T>
Column one_column(const std::string& name, const std::string& format, const std::vector<T>& data)
{
    OtherSide other;
    other.batches = {
        {{name, format, {nullptr, data.data()}, static_cast<std::int64_t>(data.size())}}};
    return read(other).column(name);
}

TEST(ArrowStream, ConvertsOtherWidths)
{
    EXPECT_EQ(one_column<float>("number", "f", {0.5F}).numbers().values[0], 0.5);
    EXPECT_EQ(one_column<std::int8_t>("number", "c", {-7}).numbers().values[0], -7);
    EXPECT_EQ(one_column<std::uint64_t>("number", "L", {7}).numbers().values[0], 7);
    EXPECT_EQ(one_column<std::int64_t>("count", "l", {7}).counts().values[0], 7);
    EXPECT_EQ(one_column<double>("count", "g", {7.0}).counts().values[0], 7);
    EXPECT_EQ(one_column<std::uint8_t>("whole", "C", {7}).wholes().values[0], 7);
    EXPECT_EQ(one_column<std::int32_t>("word", "i", {2041}).words().text(0), "2041");
    // 2026-03-02 is day 20514: 56 years of 365 days, 14 leap days, 60 days of the year.
    constexpr std::int64_t day = 20514;
    EXPECT_EQ(one_column<std::int32_t>("date", "tdD", {20514}).counts().values[0], day);
    EXPECT_EQ(one_column<std::int64_t>("date", "tdm", {day * 86400000}).counts().values[0], day);
    EXPECT_EQ(
        one_column<std::int64_t>("date", "tsu:UTC", {day * 86400000000 + 1}).counts().values[0],
        day);
    EXPECT_EQ(one_column<std::int64_t>("date", "tss:", {-1}).counts().values[0], -1);
    EXPECT_EQ(table::date_text(20514), "2026-03-02");
}

TEST(ArrowStream, RefusesWhatAColumnCannotHoldByNameAndType)
{
    const auto said = [](const std::string& name, const std::string& format) {
        OtherSide other;
        other.batches = {{{name, format, {nullptr, values.data(), values.data()}, 1}}};
        return type_refusal(other);
    };
    EXPECT_EQ(said("number", "b"), "column number must hold numbers, got bool");
    EXPECT_EQ(said("number", "u"), "column number must hold numbers, got utf8");
    EXPECT_EQ(said("word", "g"), "column word must hold words, got float64");
    EXPECT_EQ(said("text", "l"), "column text must hold texts, got int64");
    EXPECT_EQ(said("date", "g"), "column date must hold dates, got float64");
    EXPECT_EQ(said("count", "tdD"), "column count must hold counts, got date32");
    EXPECT_EQ(said("number", "e"), "column number has a type that is not taken, float16");
    EXPECT_EQ(said("number", "d:10,2"), "column number has a type that is not taken, decimal");
    EXPECT_EQ(said("number", "z"), "column number has a type that is not taken, binary");
}

TEST(ArrowStream, RefusesValuesWithTheirRow)
{
    const auto said = [](auto&& read_it) { return refusal(read_it); };
    const auto inf = std::numeric_limits<double>::infinity();
    EXPECT_EQ(said([&] { (void)one_column<double>("number", "g", {1, inf}); }),
              "number must be a finite number, got inf (row 1)");
    EXPECT_EQ(said([] { (void)one_column<double>("count", "g", {1.5}); }),
              "count must be a whole number below 2147483648, got 1.5 (row 0)");
    EXPECT_EQ(said([] { (void)one_column<std::int64_t>("count", "l", {1, 2147483648}); }),
              "count must be a whole number below 2147483648, got 2147483648 (row 1)");
}

TEST(ArrowStream, TakesNanAsMissingAndNullsForAnything)
{
    const auto nan = std::numeric_limits<double>::quiet_NaN();
    const auto column = one_column<double>("number", "g", {nan, 1.0, nan});
    EXPECT_EQ(column.missing_count(), 2U);
    EXPECT_TRUE(column.present(1));
    EXPECT_TRUE(one_column<double>("word", "g", {nan, nan}).is_absent());
    OtherSide other;
    other.batches = {{{"word", "n", {}, 3, 0, 3}, {"date", "n", {}, 3, 0, 3}}};
    EXPECT_EQ(read(other).column("date").missing_count(), 3U);
}

TEST(ArrowStream, RefusesANewerSchemaAndAnotherTable)
{
    OtherSide other;
    other.batches = {{{"number", "g", {nullptr, values.data()}, 1}}};
    other.metadata = metadata_bytes({{"pandas", "{}"}, {"schema", "enginewright.sample/2"}});
    EXPECT_NE(refusal([&] { (void)read(other); }).find("newer version"), std::string::npos);
    EXPECT_EQ(other.released.streams, 1);
}

TEST(ArrowStream, TakesAColumnOfNoRowsWithoutMemory)
{
    OtherSide other;
    other.batches = {{{"number", "g", {nullptr, nullptr}, 0, 1},
                      {"count", "l", {nullptr, nullptr}, 0, 1},
                      {"whole", "i", {nullptr, nullptr}, 0, 1},
                      {"date", "tss:", {nullptr, nullptr}, 0, 1},
                      {"text", "U", {nullptr, nullptr, nullptr}, 0, 1},
                      {"word", "u", {nullptr, nullptr, nullptr}, 0, 1}}};
    const auto table = read(other);
    EXPECT_EQ(table.rows(), 0U);
    EXPECT_EQ(table.columns().size(), spec().columns.size());
}

TEST(ArrowStream, RefusesMalformedBatches)
{
    OtherSide wrong_count;
    wrong_count.batches = {{{"number", "g", {nullptr, values.data()}, 1}},
                           {{"number", "g", {nullptr, values.data()}, 1},
                            {"count", "i", {nullptr, values.data()}, 1}}};
    EXPECT_THROW((void)read(wrong_count), std::invalid_argument);
    OtherSide shorter;
    shorter.batches = {{{"number", "g", {nullptr, values.data()}, 3},
                        {"count", "i", {nullptr, values.data()}, 2}}};
    EXPECT_THROW((void)read(shorter), std::invalid_argument);
    OtherSide hollow;
    hollow.batches = {{{"number", "g", {nullptr, nullptr}, 3}}};
    EXPECT_THROW((void)read(hollow), std::invalid_argument);
    OtherSide bare;
    bare.batches = {{{"number", "g", {nullptr}, 3}}};
    EXPECT_THROW((void)read(bare), std::invalid_argument);
    OtherSide far;
    far.batches = {{{"number", "g", {nullptr, values.data()}, 3}}};
    far.batch_offset = std::numeric_limits<std::int64_t>::max();
    EXPECT_EQ(refusal([&] { (void)read(far); }),
              "column number must follow the Arrow interface, its array is shorter than its batch");
    EXPECT_EQ(wrong_count.released.batches, 2);
    EXPECT_EQ(bare.released.batches, 1);
}

/// Every kind of column, with something missing in each, and columns that are only carried.
Table sample()
{
    OtherSide other;
    const std::array<std::int8_t, 6> codes{0, 1, 0, 1, 0, 1};
    const std::array<std::int32_t, 6> counts{1, 2, 3, 4, 5, 6};
    const std::array<std::int64_t, 6> wholes{1, -2, 3, std::int64_t{1} << 60, 5, 6};
    const std::array<std::int64_t, 7> offsets{0, 1, 1, 2, 3, 4, 5};
    const auto* const some = bits.data();
    other.batches = {{{"word", "c", {some, codes.data()}, 6, 0, 2, &top_bottom},
                      {"number", "g", {some, values.data()}, 6, 0, 2},
                      {"count", "i", {some, counts.data()}, 6, 0, 2},
                      {"date", "tdD", {some, counts.data()}, 6, 0, 2},
                      {"text", "U", {some, offsets.data(), "abcde"}, 6, 0, 2},
                      {"whole", "l", {some, wholes.data()}, 6, 0, 2},
                      {"carried truth", "b", {some, bits.data()}, 6, 0, 2},
                      {"carried time", "tsn:Europe/Berlin", {some, wholes.data()}, 6, 0, 2},
                      {"carried words", "c", {nullptr, codes.data()}, 6, 0, 0, &top_bottom}}};
    const auto borrowed = read(other);
    // Out of the arrays of this function, into memory of its own.
    const std::vector<std::int64_t> all{0, 1, 2, 3, 4, 5};
    return borrowed.take(all);
}

TEST(ArrowStream, OfATableComesBackAsTheSameTable)
{
    const auto table = sample();
    for (const auto& part : {table, table.slice(0, 0), table.slice(1, 4), table.slice(5, 1),
                             Table::arranged(spec(), 3, {}), Table::arranged(spec(), 0, {})}) {
        ArrowArrayStream stream;
        table::write_stream(part, stream);
        EXPECT_TRUE(table::read_stream(stream, spec()) == part) << part.rows();
        EXPECT_EQ(stream.release, nullptr);
    }
}

TEST(ArrowStream, OfATablePointsIntoItsColumns)
{
    const auto table = sample();
    ArrowArrayStream stream;
    table::write_stream(table, stream);
    StreamReader reader(stream);
    const auto batch = reader.next();
    const ArrowArray& array = **batch;
    ASSERT_EQ(array.n_children, 9);
    EXPECT_EQ(array.children[1]->buffers[1], table.column("number").numbers().values.data());
    EXPECT_EQ(array.children[0]->buffers[1], table.column("word").words().codes.data());
    EXPECT_EQ(array.children[1]->null_count, 2);
    EXPECT_STREQ(reader.schema().children[0]->format, "i");
    EXPECT_STREQ(reader.schema().children[0]->dictionary->format, "u");
    EXPECT_STREQ(reader.schema().children[7]->format, "tsn:Europe/Berlin");
    EXPECT_EQ(
        metadata_of(reader.schema()),
        (std::vector<std::pair<std::string, std::string>>{{"schema", "enginewright.sample/1"}}));
    EXPECT_EQ(reader.next(), nullptr);
}

TEST(ArrowStream, LetsAChildBeTakenOutOfItsBatch)
{
    const auto table = sample();
    ArrowArrayStream stream;
    table::write_stream(table, stream);
    StreamReader reader(stream);
    ArrowArray batch{};
    {
        const auto held = reader.next();
        // As the interface allows: the child is moved out, its parent is released before it.
        batch = *(**held).children[1];
        (**held).children[1]->release = nullptr;
    }
    EXPECT_EQ(static_cast<const double*>(batch.buffers[1])[0], 1.5);
    batch.release(&batch);
    EXPECT_EQ(batch.release, nullptr);
}

TEST(ArrowMetadata, GoesThereAndBack)
{
    const std::vector<std::pair<std::string, std::string>> pairs{{"schema", "a/1"}, {"", "\n"}};
    const auto bytes = metadata_bytes(pairs);
    ArrowSchema schema;
    schema.metadata = bytes.c_str();
    EXPECT_EQ(metadata_of(schema), pairs);
    EXPECT_TRUE(metadata_of(ArrowSchema{}).empty());
}

}  // namespace
}  // namespace enginewright::arrow
