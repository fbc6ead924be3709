#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

#include "enginewright/table/column.hpp"

/// Foreign columns: values as another library holds them, and how they become columns of ours.
///
/// NumPy arrays and Arrow arrays are described by the same small struct, so there is one set of
/// rules for both: which types are taken for which kind of column, what is missing, what is
/// refused.
///
/// | kind   | taken from                                                                    |
/// |--------|-------------------------------------------------------------------------------|
/// | word   | texts, whole numbers (a job number 2041 becomes the word "2041")              |
/// | number | float32, float64, whole numbers; NaN is missing, infinity is refused          |
/// | count  | whole numbers, floats without a fraction; NaN is missing                      |
/// | date   | date32, date64, timestamps (the day in UTC), texts such as "2027-02-01"       |
/// | text   | texts                                                                         |
/// | whole  | whole numbers                                                                 |
///
/// A dictionary of any of these counts as these, and a column of nulls as any kind. Anything else
/// is a wrong type, by name. What already lies as the column wants it is not copied: float64 for
/// numbers, int32 for counts and dates, int32 codes into distinct words.
namespace enginewright::table {

/// How the values of a foreign column lie in memory.
enum class Storage {
    nothing,
    bit,
    byte_truth,
    int8,
    uint8,
    int16,
    uint16,
    int32,
    uint32,
    int64,
    uint64,
    float32,
    float64,
    utf8,
    large_utf8,
    utf8_view,
    date32,
    date64,
    days,
    seconds,
    milliseconds,
    microseconds,
    nanoseconds,
};

/// Values as another library holds them. Points into memory that `owner` keeps alive.
struct Foreign {
    Storage storage = Storage::nothing;
    std::size_t rows = 0;
    std::size_t first = 0;               ///< the first row's place in `data` and `bits`
    const void* data = nullptr;          ///< values, codes, offsets of utf8, heads of utf8_view
    const char* bytes = nullptr;         ///< of utf8 and large_utf8
    const void* const* views = nullptr;  ///< buffers that utf8_view points into
    const std::int64_t* view_sizes = nullptr;  ///< bytes of each of these
    std::size_t view_count = 0;
    const std::uint8_t* bits = nullptr;  ///< validity; null: all present
    std::shared_ptr<const void> owner{};
    std::shared_ptr<const Foreign> dictionary{};  ///< when the values are codes into another
    std::string type{};            ///< what its own library calls the type: "list", "utf8"
    std::string format{};          ///< Arrow format of a timestamp, "tsu:UTC"
    bool untyped_missing = false;  ///< the smallest int64 is "no time", as NumPy has it
};

/// A wrong type: the column's name, what it must hold, and what it was.
///
/// Python shows it as TypeError.
class TypeRefused : public std::invalid_argument {
  public:
    using std::invalid_argument::invalid_argument;
};

/// A column of the wanted kind from foreign values, without a copy where they already lie so.
///
/// name     of the column, for refusals
/// foreign  the values
/// wanted   kind of the column
///
/// Throws TypeRefused: "column value must hold numbers, got utf8"; std::invalid_argument for a
/// value that cannot be: "value must be a finite number, got inf (row 7)". Rows count from 0.
Column adopt(std::string_view name, const Foreign& foreign, Kind wanted);

/// A column of whatever kind the foreign values are of; used for columns that are only carried.
///
/// Nothing is refused but a type that no kind can carry.
Column adopt_as_it_is(std::string_view name, const Foreign& foreign);

/// " (row 7)": how a row stands in a refusal; counts from 0.
std::string at_row(std::size_t row);

}  // namespace enginewright::table
