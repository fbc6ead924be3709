#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "enginewright/record.hpp"

/// Columns: one kind of thing, written down row after row, and never changed.
///
/// A column either owns its memory or points into memory that somebody else made (a NumPy array,
/// an Arrow buffer, the vectors of `Findings`) and keeps that alive. Slicing shares the memory,
/// choosing rows copies them. Words that are missing have code -1, everything else that may be
/// missing has a mask beside its values, as Arrow keeps it.
namespace enginewright::table {

/// What a column holds.
///
/// word    text that repeats ("bore", "top"): int32 codes into a list of words, -1 = none
/// number  float64 with a missing mask
/// count   int32 with a missing mask: which cylinder, which repeat, which row of the sheet
/// date    int32 days since 1970-01-01 with a missing mask
/// text    plain UTF-8 that need not repeat: notes, sentences
/// whole   int64 with a missing mask: the number of a finding, columns of other programs
/// truth   one byte a row with a missing mask: columns of other programs only
/// moment  int64 with a missing mask: timestamps of other programs only, carried through
enum class Kind { word, number, count, date, text, whole, truth, moment };

/// A word column, by reference: codes into `words`, -1 where there is none.
///
/// An empty span of codes is a column that is not there: every row reads -1.
/// Codes are range-checked once, where the column enters the library.
struct WordView {
    std::span<const std::int32_t> codes;
    std::span<const std::string_view> words;

    std::int32_t code(std::size_t row) const { return codes.empty() ? -1 : codes[row]; }
    std::string_view text(std::size_t row) const
    {
        const auto c = code(row);
        return c < 0 ? std::string_view{} : words[static_cast<std::size_t>(c)];
    }
};

/// A missing mask as Arrow keeps it: bit i (least significant first) is 1 where row i is present.
/// A null pointer: every row is present. `offset` counts bits before the first row.
struct Validity {
    const std::uint8_t* bits = nullptr;
    std::int64_t offset = 0;

    bool present(std::size_t row) const
    {
        const auto at = static_cast<std::size_t>(offset) + row;
        return bits == nullptr || ((bits[at >> 3U] >> (at & 7U)) & 1U) != 0;
    }
};

/// A number column, by reference. An empty span is a column that is not there.
struct NumberView {
    std::span<const double> values;
    Validity valid{};

    bool present(std::size_t row) const { return !values.empty() && valid.present(row); }
};

/// A count or date column, by reference. An empty span is a column that is not there.
struct CountView {
    std::span<const std::int32_t> values;
    Validity valid{};

    bool present(std::size_t row) const { return !values.empty() && valid.present(row); }
};

/// A column of int64, by reference. An empty span is a column that is not there.
struct WholeView {
    std::span<const std::int64_t> values;
    Validity valid{};

    bool present(std::size_t row) const { return !values.empty() && valid.present(row); }
};

/// A text column, by reference: row i is bytes[offsets[i]] .. bytes[offsets[i + 1]].
///
/// An empty span of offsets is a column that is not there.
struct TextView {
    std::span<const std::int64_t> offsets;
    const char* bytes = nullptr;
    Validity valid{};

    bool present(std::size_t row) const { return !offsets.empty() && valid.present(row); }
    std::string_view text(std::size_t row) const
    {
        if (!present(row) || offsets[row] == offsets[row + 1]) {
            return {};
        }
        return {bytes + offsets[row], static_cast<std::size_t>(offsets[row + 1] - offsets[row])};
    }
};

/// Memory that a column points into, and what keeps it alive.
template <class T>
struct Buffer {
    const T* data = nullptr;
    std::shared_ptr<const void> owner{};
};

/// A buffer that owns what was in a vector; nothing is copied.
template <class T>
Buffer<T> hold(std::vector<T> values)
{
    auto owner = std::make_shared<const std::vector<T>>(std::move(values));
    return {owner->data(), owner};
}

/// A missing mask with its owner; a null pointer: every row is present.
struct Mask {
    Buffer<std::uint8_t> bits{};
    std::int64_t offset = 0;
};

/// A mask from one byte a row, 0 = missing; no mask at all when every row is present.
Mask mask_from_present(std::span<const std::uint8_t> present);

/// A mask of the values that are not NaN; no mask at all when none is.
Mask mask_from_numbers(std::span<const double> values);

/// The words of a column, each once, in the order in which they were first seen.
///
/// Stays where it is: the views point into the texts.
class WordList {
  public:
    explicit WordList(std::vector<std::string> texts);
    WordList(const WordList&) = delete;
    WordList& operator=(const WordList&) = delete;

    std::span<const std::string_view> views() const { return views_; }
    std::size_t size() const { return views_.size(); }

  private:
    std::vector<std::string> texts_;
    std::vector<std::string_view> views_;
};

/// Gives each distinct word a code, in the order of first sight. The empty word has code -1.
class WordEncoder {
  public:
    /// Code of a word; a new word is taken into the list.
    ///
    /// Throws std::length_error beyond 2^31 - 1 words.
    std::int32_t encode(std::string_view text);

    /// The list so far; the encoder is empty afterwards.
    std::shared_ptr<const WordList> finish();

  private:
    struct Slot {
        std::size_t hash = 0;
        std::int32_t code = -1;
    };
    void grow();

    std::vector<Slot> slots_{};
    std::vector<std::string> texts_{};
    std::int32_t last_ = -1;
};

/// One column of a table. Immutable; copies share the memory.
class Column {
  public:
    /// A column of no rows.
    Column() = default;

    /// A column in which every row is missing; it takes no memory.
    static Column absent(Kind kind, std::size_t rows);

    /// A column of words. `words` are distinct and not empty texts.
    ///
    /// Throws std::invalid_argument: a code below -1 or beyond the list, with its row.
    static Column of_words(Buffer<std::int32_t> codes, std::size_t rows,
                           std::shared_ptr<const WordList> words);

    /// The same from codes that are known to be right: the library's own.
    static Column of_own_words(Buffer<std::int32_t> codes, std::size_t rows,
                               std::shared_ptr<const WordList> words);
    static Column of_numbers(Buffer<double> values, std::size_t rows, Mask mask = {});
    static Column of_counts(Buffer<std::int32_t> values, std::size_t rows, Mask mask = {});
    static Column of_dates(Buffer<std::int32_t> days, std::size_t rows, Mask mask = {});
    static Column of_wholes(Buffer<std::int64_t> values, std::size_t rows, Mask mask = {});
    static Column of_truths(Buffer<std::uint8_t> values, std::size_t rows, Mask mask = {});

    /// Timestamps that are only carried; `format` is their Arrow format, "tsu:UTC".
    static Column of_moments(Buffer<std::int64_t> values, std::size_t rows, Mask mask,
                             std::string format);

    /// Texts. `offsets` has one entry more than there are rows and never falls.
    ///
    /// Throws std::invalid_argument: offsets that fall, or bytes that are no UTF-8.
    static Column of_texts(Buffer<std::int64_t> offsets, Buffer<char> bytes, std::size_t rows,
                           Mask mask = {});

    /// The same from offsets and bytes that are known to be right: the library's own.
    static Column of_own_texts(Buffer<std::int64_t> offsets, Buffer<char> bytes, std::size_t rows,
                               Mask mask = {});

    /// A text column from words, where the text and not the code is wanted.
    static Column texts_from_words(const Column& words);

    Kind kind() const { return kind_; }
    std::size_t rows() const { return rows_; }
    /// True when the column has no memory: every row is missing.
    bool is_absent() const { return data_ == nullptr; }
    /// How many rows are missing.
    std::size_t missing_count() const;
    bool present(std::size_t row) const;

    /// The column as what it holds.
    ///
    /// Throws std::invalid_argument when it holds something else.
    WordView words() const;
    NumberView numbers() const;
    CountView counts() const;  ///< counts and dates
    WholeView wholes() const;  ///< whole numbers and moments
    std::span<const std::uint8_t> truths() const;
    TextView texts() const;

    Validity validity() const { return {mask_.bits.data, mask_offset()}; }
    const std::shared_ptr<const WordList>& word_list() const { return words_; }
    /// Arrow format of a column of moments.
    const std::string& format() const { return format_; }
    /// What keeps the values alive.
    const std::shared_ptr<const void>& owner() const { return owner_; }

    /// Rows `first` .. `first + count`; shares the memory.
    Column slice(std::size_t first, std::size_t count) const;

    /// The named rows in the order given; copies them.
    ///
    /// Throws std::invalid_argument: a row that is not there.
    Column take(std::span<const std::int64_t> rows) const;

    /// Same kind, same rows missing, same values: words by their text, numbers bit for bit.
    bool operator==(const Column& other) const;

  private:
    template <class T>
    static Column made(Kind kind, Buffer<T> values, std::size_t rows, Mask mask);
    template <class T>
    std::span<const T> span_of() const;
    void require_kind(bool right, const char* wanted) const;
    std::int64_t mask_offset() const { return mask_.offset + static_cast<std::int64_t>(first_); }

    Kind kind_ = Kind::number;
    std::size_t rows_ = 0;
    std::size_t first_ = 0;
    const void* data_ = nullptr;
    std::shared_ptr<const void> owner_{};
    Buffer<char> bytes_{};
    Mask mask_{};
    std::shared_ptr<const WordList> words_{};
    std::string format_{};
};

/// Columns of one kind, one after the other. Words are merged by their text.
///
/// Throws std::invalid_argument when the kinds differ.
Column concatenate(std::span<const Column> parts);

/// "C14", "AB3": a cell as spreadsheets name it, from row and column counted from 1.
std::string cell_name(std::int32_t row, std::int32_t column);

/// Days since 1970-01-01 of a date of the Gregorian calendar.
///
/// Source: the civil calendar's 400-year cycle of 146 097 days (ISO 8601-1:2019).
std::int32_t days_of(int year, int month, int day);

/// Days since 1970-01-01 of "2027-02-01".
///
/// Throws std::invalid_argument: another form, or a day that the month has not.
std::int32_t days_of_text(std::string_view name, std::string_view text);

/// "2027-02-01" of a number of days since 1970-01-01.
std::string date_text(std::int32_t days);

}  // namespace enginewright::table

namespace enginewright {
template <>
inline constexpr Words<8> words<table::Kind>{
    "kind", {"word", "number", "count", "date", "text", "whole", "truth", "moment"}};
}  // namespace enginewright
