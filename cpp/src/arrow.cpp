#include "enginewright/arrow.hpp"

#include <array>
#include <bit>
#include <cstring>
#include <stdexcept>
#include <string_view>

namespace enginewright::arrow {

StreamReader::StreamReader(ArrowArrayStream& stream) : stream_(stream)
{
    if (stream_.done()) {
        throw std::invalid_argument("stream must not have been read before, got an empty one");
    }
    ArrowSchema schema{};
    const int code = stream_->get_schema(stream_.get(), &schema);
    if (code != 0) {
        fail("the stream gave no schema", code);
    }
    schema_ = Schema(schema);
    if (schema_.done() || schema_->format == nullptr) {
        throw std::invalid_argument("stream must have a schema, got one without");
    }
}

void StreamReader::fail(const char* what, int code)
{
    std::string text = what;
    const char* const said = stream_->get_last_error(stream_.get());
    text += said != nullptr ? ": " + std::string(said) : ": error " + std::to_string(code);
    throw std::runtime_error(text);
}

std::shared_ptr<const Batch> StreamReader::next()
{
    ArrowArray array{};
    const int code = stream_->get_next(stream_.get(), &array);
    if (code != 0) {
        fail("the stream broke off", code);
    }
    if (array.release == nullptr) {
        return {};
    }
    return std::make_shared<const Batch>(array);
}

namespace {

std::int32_t read_count(const char*& at)
{
    std::int32_t value = 0;
    std::memcpy(&value, at, sizeof value);
    at += sizeof value;
    return value < 0 ? 0 : value;
}

std::string read_text(const char*& at)
{
    const auto length = static_cast<std::size_t>(read_count(at));
    std::string text(at, length);
    at += length;
    return text;
}

void write_count(std::string& out, std::size_t value)
{
    const auto count = static_cast<std::int32_t>(value);
    std::array<char, sizeof count> bytes{};
    std::memcpy(bytes.data(), &count, sizeof count);
    out.append(bytes.data(), bytes.size());
}

struct NamedFormat {
    std::string_view format;
    std::string_view name;
};

// Source: Apache Arrow, "The Arrow C data interface", format strings.
constexpr std::array<NamedFormat, 26> plain_formats{{
    {"n", "null"},         {"b", "bool"},
    {"c", "int8"},         {"C", "uint8"},
    {"s", "int16"},        {"S", "uint16"},
    {"i", "int32"},        {"I", "uint32"},
    {"l", "int64"},        {"L", "uint64"},
    {"e", "float16"},      {"f", "float32"},
    {"g", "float64"},      {"z", "binary"},
    {"Z", "large_binary"}, {"vz", "binary_view"},
    {"u", "utf8"},         {"U", "large_utf8"},
    {"vu", "string_view"}, {"tdD", "date32"},
    {"tdm", "date64"},     {"+l", "list"},
    {"+L", "large_list"},  {"+s", "struct"},
    {"+m", "map"},         {"+r", "run_end_encoded"},
}};

constexpr std::array<NamedFormat, 10> format_beginnings{{
    {"ts", "timestamp"},
    {"tt", "time"},
    {"tD", "duration"},
    {"ti", "interval"},
    {"d:", "decimal"},
    {"w:", "fixed_size_binary"},
    {"+w:", "fixed_size_list"},
    {"+u", "union"},
    {"+vl", "list_view"},
    {"+vL", "large_list_view"},
}};

std::string plain_type_name(std::string_view format)
{
    for (const auto& each : plain_formats) {
        if (each.format == format) {
            return std::string(each.name);
        }
    }
    for (const auto& each : format_beginnings) {
        if (format.starts_with(each.format)) {
            return std::string(each.name);
        }
    }
    return "type '" + std::string(format) + "'";
}

}  // namespace

std::vector<std::pair<std::string, std::string>> metadata_of(const ArrowSchema& schema)
{
    std::vector<std::pair<std::string, std::string>> pairs;
    const char* at = schema.metadata;
    if (at == nullptr) {
        return pairs;
    }
    for (auto left = read_count(at); left > 0; --left) {
        auto key = read_text(at);
        auto value = read_text(at);
        pairs.emplace_back(std::move(key), std::move(value));
    }
    return pairs;
}

std::string metadata_bytes(const std::vector<std::pair<std::string, std::string>>& pairs)
{
    std::string bytes;
    write_count(bytes, pairs.size());
    for (const auto& [key, value] : pairs) {
        write_count(bytes, key.size());
        bytes += key;
        write_count(bytes, value.size());
        bytes += value;
    }
    return bytes;
}

std::string type_name(const ArrowSchema& schema)
{
    if (schema.dictionary != nullptr) {
        return "dictionary of " + type_name(*schema.dictionary);
    }
    return plain_type_name(schema.format);
}

std::int64_t null_count(const ArrowArray& array)
{
    if (array.null_count >= 0 || array.n_buffers == 0 || array.buffers[0] == nullptr) {
        return array.null_count < 0 ? 0 : array.null_count;
    }
    const auto* const bits = static_cast<const std::uint8_t*>(array.buffers[0]);
    std::int64_t count = 0;
    for (auto i = array.offset; i < array.offset + array.length; ++i) {
        count += 1 - ((bits[i >> 3] >> (i & 7)) & 1);
    }
    return count;
}

}  // namespace enginewright::arrow
