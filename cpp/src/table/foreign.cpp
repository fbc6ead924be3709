#include "enginewright/table/foreign.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstring>
#include <limits>
#include <optional>
#include <stdexcept>
#include <type_traits>

#include "enginewright/check.hpp"
#include "table/bits.hpp"

namespace enginewright::table {

std::string at_row(std::size_t row) { return " (row " + std::to_string(row) + ")"; }

namespace {

/// What NumPy keeps where there is no time.
constexpr auto no_time = std::numeric_limits<std::int64_t>::min();

[[noreturn]] void refuse_type(std::string_view name, const Foreign& foreign, Kind wanted)
{
    throw TypeRefused(std::string("column ")
                          .append(name)
                          .append(" must hold ")
                          .append(word(wanted))
                          .append("s, got ")
                          .append(foreign.type));
}

[[noreturn]] void refuse_row(std::string_view name, std::string_view rule, const std::string& value,
                             std::size_t row)
{
    throw std::invalid_argument(std::string(name)
                                    .append(" must be ")
                                    .append(rule)
                                    .append(", got ")
                                    .append(value)
                                    .append(at_row(row)));
}

Validity validity_of(const Foreign& foreign)
{
    return {foreign.bits, static_cast<std::int64_t>(foreign.first)};
}

/// The mask as it lies; it has a first bit of its own, so it serves converted values too.
Mask borrowed_mask(const Foreign& foreign)
{
    if (foreign.bits == nullptr || count_bits(validity_of(foreign), foreign.rows) == foreign.rows) {
        return {};
    }
    return {.bits = {foreign.bits, foreign.owner},
            .offset = static_cast<std::int64_t>(foreign.first)};
}

template <class T>
const T* values_of(const Foreign& foreign)
{
    return static_cast<const T*>(foreign.data) + foreign.first;
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

bool is_whole(Storage storage) { return storage >= Storage::int8 && storage <= Storage::uint64; }

bool is_text(Storage storage)
{
    return storage == Storage::utf8 || storage == Storage::large_utf8 ||
           storage == Storage::utf8_view;
}

bool is_time(Storage storage) { return storage >= Storage::date32; }

/// Whether no row says anything: nulls, or floats that are all NaN.
bool says_nothing(const Foreign& foreign)
{
    if (foreign.storage == Storage::nothing) {
        return true;
    }
    const auto valid = validity_of(foreign);
    const auto empty = [&foreign](std::size_t row) {
        if (foreign.storage == Storage::float64) {
            return std::isnan(values_of<double>(foreign)[row]);
        }
        if (foreign.storage == Storage::float32) {
            return std::isnan(values_of<float>(foreign)[row]);
        }
        return foreign.untyped_missing && values_of<std::int64_t>(foreign)[row] == no_time;
    };
    for (std::size_t i = 0; i < foreign.rows; ++i) {
        if (valid.present(i) && !empty(i)) {
            return false;
        }
    }
    return true;
}

/// Text of one row, however texts lie.
class Texts {
  public:
    explicit Texts(std::string_view name, const Foreign& foreign) : name_(name), foreign_(foreign)
    {
    }

    std::string_view operator[](std::size_t row) const
    {
        switch (foreign_.storage) {
            case Storage::utf8:
                return between(values_of<std::int32_t>(foreign_), row);
            case Storage::large_utf8:
                return between(values_of<std::int64_t>(foreign_), row);
            default:
                return viewed(row);
        }
    }

  private:
    struct Head {
        std::int32_t length;
        std::array<char, 4> prefix;
        std::int32_t buffer;
        std::int32_t offset;
    };
    static_assert(sizeof(Head) == 16);

    template <class Offset>
    std::string_view between(const Offset* offsets, std::size_t row) const
    {
        const auto first = offsets[row];
        const auto past = offsets[row + 1];
        if (first < 0 || past < first) {
            throw std::invalid_argument(
                std::string(name_).append(" must hold texts whose offsets never fall") +
                at_row(row));
        }
        return first == past ? std::string_view{}
                             : std::string_view(foreign_.bytes + first,
                                                static_cast<std::size_t>(past - first));
    }

    std::string_view viewed(std::size_t row) const
    {
        const auto* const at =
            static_cast<const char*>(foreign_.data) + sizeof(Head) * (foreign_.first + row);
        Head head{};
        std::memcpy(&head, at, sizeof head);
        const auto length = static_cast<std::size_t>(head.length);
        if (head.length >= 0 && head.length <= 12) {
            return {at + sizeof head.length, length};
        }
        if (head.length < 0 || head.offset < 0 || head.buffer < 0 ||
            static_cast<std::size_t>(head.buffer) >= foreign_.view_count) {
            throw std::invalid_argument(
                std::string(name_).append(" must hold texts that lie within their buffers") +
                at_row(row));
        }
        const auto* const bytes = static_cast<const char*>(foreign_.views[head.buffer]);
        return {bytes + head.offset, length};
    }

    std::string_view name_;
    const Foreign& foreign_;
};

bool any_not_finite(const double* values, std::size_t rows)
{
    constexpr std::uint64_t exponent = 0x7FF0000000000000U;
    std::uint64_t worst = 0;
    for (std::size_t i = 0; i < rows; ++i) {
        worst = std::max(worst, std::bit_cast<std::uint64_t>(values[i]) & exponent);
    }
    return worst == exponent;
}

/// Numbers with NaN taken out into the mask; infinity is refused with its row.
Column numbers_from(std::string_view name, Buffer<double> values, std::size_t rows, Mask mask)
{
    if (rows > 0 && any_not_finite(values.data, rows)) {
        const Validity valid{mask.bits.data, mask.offset};
        std::vector<std::uint8_t> present(rows, 1);
        for (std::size_t i = 0; i < rows; ++i) {
            present[i] = valid.present(i) && !std::isnan(values.data[i]) ? 1 : 0;
            if (present[i] != 0 && std::isinf(values.data[i])) {
                refuse_row(name, "a finite number", number_text(values.data[i]), i);
            }
        }
        mask = mask_from_present(present);
    }
    return Column::of_numbers(std::move(values), rows, std::move(mask));
}

Column to_numbers(std::string_view name, const Foreign& foreign)
{
    if (foreign.storage == Storage::float64) {
        return numbers_from(name, {values_of<double>(foreign), foreign.owner}, foreign.rows,
                            borrowed_mask(foreign));
    }
    std::vector<double> values(foreign.rows);
    const bool taken = visit_numbers(foreign, [&](const auto* from) {
        std::transform(from, from + foreign.rows, values.begin(),
                       [](auto value) { return static_cast<double>(value); });
    });
    if (!taken) {
        refuse_type(name, foreign, Kind::number);
    }
    return numbers_from(name, hold(std::move(values)), foreign.rows, borrowed_mask(foreign));
}

/// One count from one number; nothing when it is missing.
template <class T>
std::optional<std::int32_t> count_from(std::string_view name, T value, std::size_t row)
{
    if constexpr (std::is_floating_point_v<T>) {
        if (std::isnan(value)) {
            return std::nullopt;
        }
        const auto number = static_cast<double>(value);
        if (number != std::floor(number) || std::abs(number) > 2147483647.0) {
            refuse_row(name, "a whole number below 2147483648", number_text(number), row);
        }
    } else {
        if (!std::in_range<std::int32_t>(value)) {
            refuse_row(name, "a whole number below 2147483648", std::to_string(value), row);
        }
    }
    return static_cast<std::int32_t>(value);
}

Column to_counts(std::string_view name, const Foreign& foreign)
{
    if (foreign.storage == Storage::int32) {
        return Column::of_counts({values_of<std::int32_t>(foreign), foreign.owner}, foreign.rows,
                                 borrowed_mask(foreign));
    }
    const auto valid = validity_of(foreign);
    std::vector<std::int32_t> counts(foreign.rows);
    std::vector<std::uint8_t> present(foreign.rows, 0);
    const bool taken = visit_numbers(foreign, [&](const auto* from) {
        for (std::size_t i = 0; i < foreign.rows; ++i) {
            if (!valid.present(i)) {
                continue;
            }
            if (const auto count = count_from(name, from[i], i)) {
                counts[i] = *count;
                present[i] = 1;
            }
        }
    });
    if (!taken) {
        refuse_type(name, foreign, Kind::count);
    }
    return Column::of_counts(hold(std::move(counts)), foreign.rows, mask_from_present(present));
}

Column to_wholes(std::string_view name, const Foreign& foreign)
{
    if (foreign.storage == Storage::int64) {
        return Column::of_wholes({values_of<std::int64_t>(foreign), foreign.owner}, foreign.rows,
                                 borrowed_mask(foreign));
    }
    if (!is_whole(foreign.storage)) {
        refuse_type(name, foreign, Kind::whole);
    }
    std::vector<std::int64_t> values(foreign.rows);
    const auto valid = validity_of(foreign);
    visit_numbers(foreign, [&](const auto* from) {
        for (std::size_t i = 0; i < foreign.rows; ++i) {
            using T = std::remove_cvref_t<decltype(from[i])>;
            if constexpr (std::is_integral_v<T>) {
                if (valid.present(i) && !std::in_range<std::int64_t>(from[i])) {
                    refuse_row(name, "below 2^63", std::to_string(from[i]), i);
                }
            }
            values[i] = static_cast<std::int64_t>(from[i]);
        }
    });
    return Column::of_wholes(hold(std::move(values)), foreign.rows, borrowed_mask(foreign));
}

std::int64_t units_a_day(Storage storage)
{
    constexpr std::int64_t seconds = 24 * 60 * 60;
    switch (storage) {
        case Storage::seconds:
            return seconds;
        case Storage::date64:
        case Storage::milliseconds:
            return seconds * 1000;
        case Storage::microseconds:
            return seconds * 1000 * 1000;
        case Storage::nanoseconds:
            return seconds * 1000 * 1000 * 1000;
        default:
            return 1;
    }
}

/// Dates from the day of each moment, in UTC.
Column dates_from_moments(std::string_view name, const Foreign& foreign)
{
    const auto* const from = values_of<std::int64_t>(foreign);
    const auto valid = validity_of(foreign);
    const auto day = units_a_day(foreign.storage);
    std::vector<std::int32_t> days(foreign.rows);
    std::vector<std::uint8_t> present(foreign.rows, 0);
    for (std::size_t i = 0; i < foreign.rows; ++i) {
        const bool none = foreign.untyped_missing && from[i] == no_time;
        if (!valid.present(i) || none) {
            continue;
        }
        const auto whole = from[i] / day - (from[i] % day < 0 ? 1 : 0);
        if (!std::in_range<std::int32_t>(whole)) {
            refuse_row(name, "a date within 5 million years", std::to_string(whole) + " days", i);
        }
        days[i] = static_cast<std::int32_t>(whole);
        present[i] = 1;
    }
    return Column::of_dates(hold(std::move(days)), foreign.rows, mask_from_present(present));
}

Column dates_from_texts(std::string_view name, const Foreign& foreign)
{
    const Texts texts(name, foreign);
    const auto valid = validity_of(foreign);
    std::vector<std::int32_t> days(foreign.rows);
    std::vector<std::uint8_t> present(foreign.rows, 0);
    for (std::size_t i = 0; i < foreign.rows; ++i) {
        const auto text = valid.present(i) ? texts[i] : std::string_view{};
        if (!text.empty()) {
            days[i] = days_of_text(name, text);
            present[i] = 1;
        }
    }
    return Column::of_dates(hold(std::move(days)), foreign.rows, mask_from_present(present));
}

Column to_dates(std::string_view name, const Foreign& foreign)
{
    if (foreign.storage == Storage::date32) {
        return Column::of_dates({values_of<std::int32_t>(foreign), foreign.owner}, foreign.rows,
                                borrowed_mask(foreign));
    }
    if (is_time(foreign.storage)) {
        return dates_from_moments(name, foreign);
    }
    if (is_text(foreign.storage)) {
        return dates_from_texts(name, foreign);
    }
    refuse_type(name, foreign, Kind::date);
}

std::shared_ptr<const WordList> finished(std::string_view name, WordEncoder& encoder)
{
    auto words = encoder.finish();
    for (const auto each : words->views()) {
        if (!is_utf8(each)) {
            throw std::invalid_argument(std::string(name).append(" must be UTF-8 text"));
        }
    }
    return words;
}

Column to_words(std::string_view name, const Foreign& foreign)
{
    const auto valid = validity_of(foreign);
    WordEncoder encoder;
    std::vector<std::int32_t> codes(foreign.rows, -1);
    const auto encode = [&](auto&& text_of) {
        for (std::size_t i = 0; i < foreign.rows; ++i) {
            if (valid.present(i)) {
                codes[i] = encoder.encode(text_of(i));
            }
        }
    };
    if (is_text(foreign.storage)) {
        encode([texts = Texts(name, foreign)](std::size_t i) { return texts[i]; });
    } else if (is_whole(foreign.storage)) {
        visit_numbers(foreign, [&](const auto* from) {
            encode([from](std::size_t i) {
                if constexpr (std::is_integral_v<std::remove_cvref_t<decltype(from[i])>>) {
                    return std::to_string(from[i]);
                } else {
                    return std::string{};
                }
            });
        });
    } else {
        refuse_type(name, foreign, Kind::word);
    }
    return Column::of_words(hold(std::move(codes)), foreign.rows, finished(name, encoder));
}

Column to_texts(std::string_view name, const Foreign& foreign)
{
    if (!is_text(foreign.storage)) {
        refuse_type(name, foreign, Kind::text);
    }
    if (foreign.rows == 0) {
        return Column::absent(Kind::text, 0);
    }
    if (foreign.storage == Storage::large_utf8) {
        return Column::of_texts({values_of<std::int64_t>(foreign), foreign.owner},
                                {foreign.bytes, foreign.owner}, foreign.rows,
                                borrowed_mask(foreign));
    }
    const Texts texts(name, foreign);
    const auto valid = validity_of(foreign);
    std::vector<std::int64_t> offsets{0};
    std::vector<char> bytes;
    offsets.reserve(foreign.rows + 1);
    for (std::size_t i = 0; i < foreign.rows; ++i) {
        const auto text = valid.present(i) ? texts[i] : std::string_view{};
        bytes.insert(bytes.end(), text.begin(), text.end());
        offsets.push_back(static_cast<std::int64_t>(bytes.size()));
    }
    return Column::of_texts(hold(std::move(offsets)), hold(std::move(bytes)), foreign.rows,
                            borrowed_mask(foreign));
}

Column to_truths(std::string_view name, const Foreign& foreign)
{
    if (foreign.storage == Storage::byte_truth) {
        return Column::of_truths({values_of<std::uint8_t>(foreign), foreign.owner}, foreign.rows,
                                 borrowed_mask(foreign));
    }
    if (foreign.storage != Storage::bit) {
        refuse_type(name, foreign, Kind::truth);
    }
    const Validity bits{static_cast<const std::uint8_t*>(foreign.data),
                        static_cast<std::int64_t>(foreign.first)};
    std::vector<std::uint8_t> values(foreign.rows);
    for (std::size_t i = 0; i < foreign.rows; ++i) {
        values[i] = bits.present(i) ? 1 : 0;
    }
    return Column::of_truths(hold(std::move(values)), foreign.rows, borrowed_mask(foreign));
}

Column to_moments(const Foreign& foreign)
{
    auto mask = borrowed_mask(foreign);
    const auto* const from = values_of<std::int64_t>(foreign);
    if (foreign.untyped_missing) {
        std::vector<std::uint8_t> present(foreign.rows);
        for (std::size_t i = 0; i < foreign.rows; ++i) {
            present[i] = from[i] == no_time ? 0 : 1;
        }
        mask = mask_from_present(present);
    }
    return Column::of_moments({from, foreign.owner}, foreign.rows, std::move(mask), foreign.format);
}

/// Calls `visit(row, entry)` for each row that has a code; refuses one beyond the dictionary.
template <class Visit>
void each_place(std::string_view name, const Foreign& foreign, Visit&& visit)
{
    const auto valid = validity_of(foreign);
    const auto entries = foreign.dictionary->rows;
    const auto walk = [&](const auto* codes) {
        using Code = std::remove_cvref_t<decltype(codes[0])>;
        if constexpr (std::is_integral_v<Code>) {
            for (std::size_t i = 0; i < foreign.rows; ++i) {
                // A code of -1 is none: categories of data frames have it so, without a mask.
                if (!valid.present(i) ||
                    (std::is_signed_v<Code> && codes[i] == static_cast<Code>(-1))) {
                    continue;
                }
                if (std::cmp_less(codes[i], 0) || std::cmp_greater_equal(codes[i], entries)) {
                    refuse_row(name, "a code of its dictionary", std::to_string(codes[i]), i);
                }
                visit(i, static_cast<std::size_t>(codes[i]));
            }
        }
    };
    visit_numbers(foreign, walk);
}

bool each_its_own(WordView words)
{
    for (std::size_t i = 0; i < words.codes.size(); ++i) {
        if (words.codes[i] != static_cast<std::int32_t>(i)) {
            return false;
        }
    }
    return true;
}

/// Codes into `entries`, the dictionary as a column of words.
Column words_through(std::string_view name, const Foreign& foreign, const Column& entries)
{
    if (entries.is_absent()) {
        each_place(name, foreign, [](std::size_t, std::size_t) {});
        return Column::absent(Kind::word, foreign.rows);
    }
    const auto words = entries.words();
    if (foreign.storage == Storage::int32 && each_its_own(words) &&
        borrowed_mask(foreign).bits.data == nullptr) {
        return Column::of_words({values_of<std::int32_t>(foreign), foreign.owner}, foreign.rows,
                                entries.word_list());
    }
    std::vector<std::int32_t> codes(foreign.rows, -1);
    each_place(name, foreign,
               [&](std::size_t row, std::size_t entry) { codes[row] = words.codes[entry]; });
    return Column::of_words(hold(std::move(codes)), foreign.rows, entries.word_list());
}

/// Rows of `entries`, with missing rows where there is no code.
Column values_through(std::string_view name, const Foreign& foreign, const Column& entries)
{
    const std::vector<Column> with_none{entries, Column::absent(entries.kind(), 1)};
    std::vector<std::int64_t> rows(foreign.rows, static_cast<std::int64_t>(entries.rows()));
    each_place(name, foreign, [&](std::size_t row, std::size_t entry) {
        rows[row] = static_cast<std::int64_t>(entry);
    });
    return concatenate(with_none).take(rows);
}

/// A dictionary that is only carried: words as words, unless an empty one would be lost.
Column carried_through(std::string_view name, const Foreign& foreign)
{
    const auto& dictionary = *foreign.dictionary;
    if (is_text(dictionary.storage)) {
        const Texts texts(name, dictionary);
        const auto valid = validity_of(dictionary);
        bool empty = false;
        for (std::size_t i = 0; i < dictionary.rows; ++i) {
            empty = empty || (valid.present(i) && texts[i].empty());
        }
        if (!empty) {
            return words_through(name, foreign, adopt(name, dictionary, Kind::word));
        }
    }
    return values_through(name, foreign, adopt_as_it_is(name, dictionary));
}

/// Floats that are only carried, as they are.
Column carried_numbers(const Foreign& foreign)
{
    if (foreign.storage == Storage::float64) {
        return Column::of_numbers({values_of<double>(foreign), foreign.owner}, foreign.rows,
                                  borrowed_mask(foreign));
    }
    const auto* const from = values_of<float>(foreign);
    return Column::of_numbers(hold(std::vector<double>(from, from + foreign.rows)), foreign.rows,
                              borrowed_mask(foreign));
}

}  // namespace

Column adopt(std::string_view name, const Foreign& foreign, Kind wanted)
{
    if (foreign.dictionary) {
        const auto entries = adopt(name, *foreign.dictionary, wanted);
        return wanted == Kind::word ? words_through(name, foreign, entries)
                                    : values_through(name, foreign, entries);
    }
    if (says_nothing(foreign)) {
        return Column::absent(wanted, foreign.rows);
    }
    switch (wanted) {
        case Kind::word:
            return to_words(name, foreign);
        case Kind::number:
            return to_numbers(name, foreign);
        case Kind::count:
            return to_counts(name, foreign);
        case Kind::date:
            return to_dates(name, foreign);
        case Kind::text:
            return to_texts(name, foreign);
        case Kind::whole:
            return to_wholes(name, foreign);
        case Kind::truth:
            return to_truths(name, foreign);
        case Kind::moment:
            break;
    }
    refuse_type(name, foreign, wanted);
}

Column adopt_as_it_is(std::string_view name, const Foreign& foreign)
{
    if (foreign.dictionary) {
        return carried_through(name, foreign);
    }
    switch (foreign.storage) {
        case Storage::nothing:
            return Column::absent(Kind::word, foreign.rows);
        case Storage::bit:
        case Storage::byte_truth:
            return to_truths(name, foreign);
        case Storage::float32:
        case Storage::float64:
            return carried_numbers(foreign);
        case Storage::int32:
            return to_counts(name, foreign);
        case Storage::utf8:
        case Storage::large_utf8:
        case Storage::utf8_view:
            return to_texts(name, foreign);
        case Storage::date32:
        case Storage::days:
        case Storage::date64:
            return to_dates(name, foreign);
        case Storage::seconds:
        case Storage::milliseconds:
        case Storage::microseconds:
        case Storage::nanoseconds:
            return to_moments(foreign);
        default:
            return to_wholes(name, foreign);
    }
}

}  // namespace enginewright::table
