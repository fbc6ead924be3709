// JSON of records: the first line is a record's name (any other line picks one), the rest its JSON.
// What is understood is written and read back to the same, for every record there is.
#include <cstdint>
#include <cstdlib>
#include <numeric>
#include <stdexcept>
#include <string>
#include <type_traits>

#include "every_record.hpp"
#include "json.hpp"

namespace enginewright::fuzzing {

/// Whether a type holds vectors: these are written as amount and angle, which is not to the bit.
template <class T>
constexpr bool holds_vectors()
{
    if constexpr (std::is_same_v<T, std::complex<double>>) {
        return true;
    } else if constexpr (is_optional<T> || is_vector<T>) {
        return holds_vectors<typename T::value_type>();
    } else if constexpr (is_map<T>) {
        return holds_vectors<typename T::mapped_type>();
    } else if constexpr (Record<T>) {
        return std::apply(
            [](const auto&... field) {
                return (holds_vectors<
                            std::remove_cvref_t<decltype(std::declval<T&>().*(field.member))>>() ||
                        ...);
            },
            T::fields());
    } else {
        return false;
    }
}

template <Record R>
void write_and_read(const R& record)
{
    const std::string written = Json(record).dump();
    const R again = parsed_json(written, "record").get<R>();
    if (!holds_vectors<R>() && Json(again).dump() != written) {
        std::abort();
    }
}

template <Record R>
void round_trip(std::string_view text)
{
    R record{};
    try {
        record = parsed_json(text, "record").get<R>();
    } catch (const std::invalid_argument&) {
        return;
    }
    write_and_read(record);
}

template <Record R>
void round_trip_of_defaults(std::string_view)
{
    write_and_read(R{});
}

namespace {

const NamedRecord& chosen(std::string_view line)
{
    for (const auto& each : every_record) {
        if (each.name == line) {
            return each;
        }
    }
    const auto sum = std::accumulate(
        line.begin(), line.end(), std::size_t{0},
        [](std::size_t all, char c) { return all + static_cast<unsigned char>(c); });
    return every_record[sum % every_record.size()];
}

}  // namespace
}  // namespace enginewright::fuzzing

extern "C" int LLVMFuzzerInitialize(int*, char***)
{
    for (const auto& each : enginewright::fuzzing::every_record) {
        each.of_defaults({});
    }
    return 0;
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    const auto end = text.find('\n');
    if (end != std::string_view::npos) {
        enginewright::fuzzing::chosen(text.substr(0, end)).round_trip(text.substr(end + 1));
    }
    return 0;
}
