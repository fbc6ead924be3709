#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string>
#include <string_view>

#include "enginewright/table/foreign.hpp"

/// Foreign columns: what the files that convert one kind each share.
namespace enginewright::table {

/// What NumPy keeps where there is no time.
inline constexpr auto no_time = std::numeric_limits<std::int64_t>::min();

/// "column value must hold numbers, got utf8"
[[noreturn]] void refuse_type(std::string_view name, const Foreign& foreign, Kind wanted);

/// "value must be a finite number, got inf (row 7)"
[[noreturn]] void refuse_row(std::string_view name, std::string_view rule, const std::string& value,
                             std::size_t row);

Validity validity_of(const Foreign& foreign);

/// The mask as it lies; it has a first bit of its own, so it serves converted values too.
Mask borrowed_mask(const Foreign& foreign);

/// Null where there is no memory, as other libraries hand over a column without rows.
template <class T>
const T* values_of(const Foreign& foreign)
{
    const auto* const from = static_cast<const T*>(foreign.data);
    return from == nullptr ? nullptr : from + foreign.first;
}

/// Calls `visit` with a pointer to the values when they are plain numbers; false otherwise.
template <class Visit>
bool visit_numbers(const Foreign& foreign, Visit&& visit)
{
    switch (foreign.storage) {
        case Storage::int8:
            return visit(values_of<std::int8_t>(foreign)), true;
        case Storage::uint8:
            return visit(values_of<std::uint8_t>(foreign)), true;
        case Storage::int16:
            return visit(values_of<std::int16_t>(foreign)), true;
        case Storage::uint16:
            return visit(values_of<std::uint16_t>(foreign)), true;
        case Storage::int32:
            return visit(values_of<std::int32_t>(foreign)), true;
        case Storage::uint32:
            return visit(values_of<std::uint32_t>(foreign)), true;
        case Storage::int64:
            return visit(values_of<std::int64_t>(foreign)), true;
        case Storage::uint64:
            return visit(values_of<std::uint64_t>(foreign)), true;
        case Storage::float32:
            return visit(values_of<float>(foreign)), true;
        case Storage::float64:
            return visit(values_of<double>(foreign)), true;
        default:
            return false;
    }
}

inline bool is_whole(Storage storage)
{
    return storage >= Storage::int8 && storage <= Storage::uint64;
}

inline bool is_text(Storage storage)
{
    return storage == Storage::utf8 || storage == Storage::large_utf8 ||
           storage == Storage::utf8_view;
}

inline bool is_time(Storage storage) { return storage >= Storage::date32; }

/// Text of one row, however texts lie.
class Texts {
  public:
    Texts(std::string_view name, const Foreign& foreign) : name_(name), foreign_(foreign) {}
    std::string_view operator[](std::size_t row) const;

  private:
    template <class Offset>
    std::string_view between(const Offset* offsets, std::size_t row) const;
    std::string_view viewed(std::size_t row) const;

    std::string_view name_;
    const Foreign& foreign_;
};

Column to_numbers(std::string_view name, const Foreign& foreign);
Column to_counts(std::string_view name, const Foreign& foreign);
Column to_wholes(std::string_view name, const Foreign& foreign);
Column to_truths(std::string_view name, const Foreign& foreign);
Column to_dates(std::string_view name, const Foreign& foreign);
Column to_words(std::string_view name, const Foreign& foreign);
Column to_texts(std::string_view name, const Foreign& foreign);

/// Floats that are only carried, as they are.
Column carried_numbers(const Foreign& foreign);
/// Timestamps that are only carried.
Column carried_moments(const Foreign& foreign);
/// A dictionary that is only carried: words as words, unless an empty one would be lost.
Column carried_dictionary(std::string_view name, const Foreign& foreign);

/// Codes into `entries`, the dictionary as a column of words.
Column words_through(std::string_view name, const Foreign& foreign, const Column& entries);
/// Rows of `entries`, with missing rows where there is no code.
Column values_through(std::string_view name, const Foreign& foreign, const Column& entries);

}  // namespace enginewright::table
