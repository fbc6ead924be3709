#include "arrow_dice.hpp"

#include <array>
#include <cerrno>

namespace enginewright::fuzzing {

namespace {

constexpr std::array formats{"n", "b", "c", "C", "s",       "S",    "i",    "I",    "l", "L",
                             "f", "g", "u", "U", "vu",      "tdD",  "tdm",  "tss:", "e", "+l",
                             "z", "",  "i", "g", "tsu:UTC", "tsn:", "tsm:", "i",    "u", "g"};
constexpr std::array names{
    "job",         "stage",  "feature", "number",      "quantity", "value", "unit",
    "uncertainty", "repeat", "date",    "observation", "row",      "note",  "of another program"};

/// Bits of one value; none for what is no plain value.
std::size_t width_of(std::string_view format)
{
    if (format == "b") {
        return 1;
    }
    if (format == "c" || format == "C") {
        return 8;
    }
    if (format == "s" || format == "S" || format == "e") {
        return 16;
    }
    if (format == "i" || format == "I" || format == "f" || format == "tdD") {
        return 32;
    }
    return 64;
}

bool is_one_of(std::string_view format, std::string_view letters)
{
    return format.size() == 1 && letters.find(format.front()) != std::string_view::npos;
}

}  // namespace

ArrowRoom::Plan ArrowRoom::plan_of(bool inner)
{
    Plan plan;
    plan.name = names[dice_.below(names.size())];
    plan.format = formats[dice_.below(formats.size())];
    if (!inner && is_one_of(plan.format, "cCsSiIlLg") && dice_.below(2) == 1) {
        plan.dictionary = std::make_shared<Plan>(plan_of(true));
    }
    return plan;
}

ArrowSchema* ArrowRoom::schema_of(const Plan& plan)
{
    const auto& kept = named_.emplace_back(plan);
    auto& schema = schemas_.emplace_back();
    schema.format = kept.format.c_str();
    schema.name = kept.name.c_str();
    schema.release = [](ArrowSchema*) {};
    schema.dictionary = plan.dictionary ? schema_of(*plan.dictionary) : nullptr;
    return &schema;
}

const void* ArrowRoom::memory(const std::string& bytes)
{
    // Room of its own for each, so that one byte too many is seen.
    auto& kept = memory_.emplace_back(std::make_unique<char[]>(bytes.size()));
    std::copy(bytes.begin(), bytes.end(), kept.get());
    return kept.get();
}

template <class Offset>
const void* ArrowRoom::offsets(std::size_t rows, std::size_t size)
{
    std::string bytes;
    for (std::size_t i = 0; i <= rows; ++i) {
        const auto chosen = dice_.below(size + 2);
        const auto offset = chosen > size ? Offset{-1} : static_cast<Offset>(chosen);
        bytes.append(reinterpret_cast<const char*>(&offset), sizeof offset);
    }
    return memory(bytes);
}

void ArrowRoom::fill_views(std::size_t rows, std::vector<const void*>& buffers)
{
    const auto behind = dice_.text(dice_.below(40));
    std::string heads;
    for (std::size_t i = 0; i < rows; ++i) {
        std::array<std::int32_t, 4> head{};
        for (auto& part : head) {
            const auto any = static_cast<std::uint32_t>(dice_.whole());
            part = static_cast<std::int32_t>(any * (dice_.below(2) == 1 ? 4U : 1U));
        }
        heads.append(reinterpret_cast<const char*>(head.data()), sizeof head);
    }
    const auto size = static_cast<std::int64_t>(behind.size());
    buffers.push_back(memory(heads));
    if (dice_.below(4) != 0) {
        buffers.push_back(memory(behind));
        buffers.push_back(memory({reinterpret_cast<const char*>(&size), sizeof size}));
    } else {
        buffers.push_back(memory(""));
    }
}

void ArrowRoom::fill_values(const Plan& plan, ArrowArray& array, std::vector<const void*>& buffers)
{
    const auto rows = static_cast<std::size_t>(array.offset + array.length);
    if (plan.format == "n") {
        return;
    }
    buffers.push_back(dice_.below(3) == 0 ? nullptr : memory(dice_.text((rows + 7) / 8)));
    if (buffers.back() == nullptr && dice_.below(2) == 0) {
        array.null_count = -1;
    }
    if (plan.format == "u" || plan.format == "U" || plan.format == "z") {
        const auto bytes = dice_.text(dice_.below(40));
        buffers.push_back(plan.format == "U" ? offsets<std::int64_t>(rows, bytes.size())
                                             : offsets<std::int32_t>(rows, bytes.size()));
        buffers.push_back(memory(bytes));
    } else if (plan.format == "vu") {
        fill_views(rows, buffers);
    } else if (dice_.below(8) == 0) {
        buffers.push_back(nullptr);
    } else {
        buffers.push_back(memory(dice_.text((rows * width_of(plan.format) + 7) / 8)));
    }
}

ArrowArray* ArrowRoom::array_of(const Plan& plan, std::int64_t length)
{
    auto& array = arrays_.emplace_back();
    auto& buffers = buffers_.emplace_back();
    array.length = length;
    array.offset = static_cast<std::int64_t>(dice_.below(4));
    array.null_count = static_cast<std::int64_t>(dice_.below(3)) - 1;
    fill_values(plan, array, buffers);
    array.n_buffers = static_cast<std::int64_t>(buffers.size());
    array.buffers = buffers.data();
    array.release = [](ArrowArray*) {};
    array.dictionary = plan.dictionary
                           ? array_of(*plan.dictionary, static_cast<std::int64_t>(dice_.below(6)))
                           : nullptr;
    return &array;
}

int ArrowRoom::get_schema(ArrowArrayStream* stream, ArrowSchema* out)
{
    auto& self = *static_cast<ArrowRoom*>(stream->private_data);
    if (self.dice_.byte() == 254) {
        return EIO;
    }
    auto& children = self.schema_pointers_.emplace_back();
    for (const auto& plan : self.plans_) {
        children.push_back(self.schema_of(plan));
    }
    *out = {};
    out->format = self.dice_.byte() == 254 ? "g" : "+s";
    out->metadata = self.metadata_.empty() ? nullptr : self.metadata_.c_str();
    out->n_children = static_cast<std::int64_t>(children.size());
    out->children = children.data();
    out->private_data = &self;
    ++self.held;
    out->release = [](ArrowSchema* schema) {
        --static_cast<ArrowRoom*>(schema->private_data)->held;
        schema->release = nullptr;
    };
    return 0;
}

int ArrowRoom::get_next(ArrowArrayStream* stream, ArrowArray* out)
{
    auto& self = *static_cast<ArrowRoom*>(stream->private_data);
    *out = {};
    if (self.dice_.byte() == 254) {
        return EIO;
    }
    if (self.batches_ == 0) {
        return 0;
    }
    --self.batches_;
    const auto rows = static_cast<std::int64_t>(self.dice_.below(10));
    auto& children = self.array_pointers_.emplace_back();
    for (const auto& plan : self.plans_) {
        children.push_back(self.array_of(plan, rows));
    }
    if (self.dice_.byte() == 254 && !children.empty()) {
        children.pop_back();
    }
    static std::array<const void*, 1> no_validity{};
    const bool odd = self.dice_.byte() == 254;
    out->length = odd ? self.dice_.whole() : rows;
    out->offset = odd ? self.dice_.whole() : 0;
    out->n_buffers = 1;
    out->buffers = no_validity.data();
    out->n_children = static_cast<std::int64_t>(children.size());
    out->children = children.data();
    out->private_data = &self;
    ++self.held;
    out->release = [](ArrowArray* array) {
        --static_cast<ArrowRoom*>(array->private_data)->held;
        array->release = nullptr;
    };
    return 0;
}

void ArrowRoom::open(ArrowArrayStream& stream)
{
    const auto columns = dice_.below(10);
    for (std::size_t i = 0; i < columns; ++i) {
        plans_.push_back(plan_of(false));
    }
    batches_ = dice_.below(3);
    if (dice_.below(3) == 1) {
        metadata_ = arrow::metadata_bytes({{"schema", "enginewright.readings/1"}});
    }
    ++held;
    stream = {.get_schema = &get_schema,
              .get_next = &get_next,
              .get_last_error = [](ArrowArrayStream*) -> const char* { return nullptr; },
              .release =
                  [](ArrowArrayStream* self) {
                      --static_cast<ArrowRoom*>(self->private_data)->held;
                      self->release = nullptr;
                  },
              .private_data = this};
}

}  // namespace enginewright::fuzzing
