#include "enginewright/table/column.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "enginewright/check.hpp"
#include "enginewright/table/foreign.hpp"
#include "table/bits.hpp"

namespace enginewright::table {

namespace {

void require_codes(std::span<const std::int32_t> codes, std::size_t words)
{
    // One unsigned comparison covers both ends: -1 becomes 0.
    const auto beyond = [words](std::int32_t code) {
        return static_cast<std::uint32_t>(code) + 1U > words;
    };
    std::uint32_t greatest = 0;
    for (const auto code : codes) {
        greatest = std::max(greatest, static_cast<std::uint32_t>(code) + 1U);
    }
    if (static_cast<std::size_t>(greatest) > words) {
        const auto row = std::find_if(codes.begin(), codes.end(), beyond) - codes.begin();
        const auto at = static_cast<std::size_t>(row);
        throw std::invalid_argument("codes must be between -1 and " + std::to_string(words) +
                                    " less 1, the number of words, got " +
                                    std::to_string(codes[at]) + at_row(at));
    }
}

void require_offsets(std::span<const std::int64_t> offsets)
{
    bool rising = offsets.front() >= 0;
    for (std::size_t i = 1; i < offsets.size(); ++i) {
        rising = rising && offsets[i] >= offsets[i - 1];
    }
    if (!rising) {
        throw std::invalid_argument("text offsets must start at 0 or above and never fall");
    }
}

Mask mask_where(std::size_t rows, auto&& present)
{
    std::vector<std::uint8_t> bits((rows + 7) / 8);
    bool all = true;
    for (std::size_t i = 0; i < rows; ++i) {
        const bool there = present(i);
        all = all && there;
        bits[i >> 3U] |= static_cast<std::uint8_t>((there ? 1U : 0U) << (i & 7U));
    }
    return all ? Mask{} : Mask{.bits = hold(std::move(bits))};
}

}  // namespace

Mask mask_from_present(std::span<const std::uint8_t> present)
{
    return mask_where(present.size(), [&](std::size_t i) { return present[i] != 0; });
}

Mask mask_from_numbers(std::span<const double> values)
{
    // Most columns have every value: seen without a branch, before any bit is set.
    bool gaps = false;
    for (const double each : values) {
        gaps |= each != each;
    }
    return gaps ? mask_where(values.size(), [&](std::size_t i) { return !std::isnan(values[i]); })
                : Mask{};
}

template <class T>
Column Column::made(Kind kind, Buffer<T> values, std::size_t rows, Mask mask)
{
    Column column;
    column.kind_ = kind;
    column.rows_ = rows;
    column.data_ = values.data;
    column.owner_ = std::move(values.owner);
    column.mask_ = std::move(mask);
    return column;
}

Column Column::absent(Kind kind, std::size_t rows) { return made<double>(kind, {}, rows, {}); }

Column Column::of_words(Buffer<std::int32_t> codes, std::size_t rows,
                        std::shared_ptr<const WordList> words)
{
    require_codes({codes.data, rows}, words->size());
    return of_own_words(std::move(codes), rows, std::move(words));
}

Column Column::of_own_words(Buffer<std::int32_t> codes, std::size_t rows,
                            std::shared_ptr<const WordList> words)
{
    auto column = made(Kind::word, std::move(codes), rows, {});
    column.words_ = std::move(words);
    return column;
}

Column Column::of_numbers(Buffer<double> values, std::size_t rows, Mask mask)
{
    return made(Kind::number, std::move(values), rows, std::move(mask));
}

Column Column::of_counts(Buffer<std::int32_t> values, std::size_t rows, Mask mask)
{
    return made(Kind::count, std::move(values), rows, std::move(mask));
}

Column Column::of_dates(Buffer<std::int32_t> days, std::size_t rows, Mask mask)
{
    return made(Kind::date, std::move(days), rows, std::move(mask));
}

Column Column::of_wholes(Buffer<std::int64_t> values, std::size_t rows, Mask mask)
{
    return made(Kind::whole, std::move(values), rows, std::move(mask));
}

Column Column::of_truths(Buffer<std::uint8_t> values, std::size_t rows, Mask mask)
{
    return made(Kind::truth, std::move(values), rows, std::move(mask));
}

Column Column::of_moments(Buffer<std::int64_t> values, std::size_t rows, Mask mask,
                          std::string format)
{
    auto column = made(Kind::moment, std::move(values), rows, std::move(mask));
    column.format_ = std::move(format);
    return column;
}

Column Column::of_texts(Buffer<std::int64_t> offsets, Buffer<char> bytes, std::size_t rows,
                        Mask mask)
{
    require_offsets({offsets.data, rows + 1});
    const auto first = offsets.data[0];
    const auto used = static_cast<std::size_t>(offsets.data[rows] - first);
    const bool whole = used == 0 || is_utf8({bytes.data + first, used});
    // A row that begins inside a character would be no text by itself.
    const auto inside = [&](std::int64_t at) {
        return at < offsets.data[rows] &&
               (static_cast<unsigned char>(bytes.data[at]) & 0xC0U) == 0x80U;
    };
    if (!whole || std::any_of(offsets.data, offsets.data + rows, inside)) {
        throw std::invalid_argument("text must be UTF-8");
    }
    return of_own_texts(std::move(offsets), std::move(bytes), rows, std::move(mask));
}

Column Column::of_own_texts(Buffer<std::int64_t> offsets, Buffer<char> bytes, std::size_t rows,
                            Mask mask)
{
    auto column = made(Kind::text, std::move(offsets), rows, std::move(mask));
    column.bytes_ = std::move(bytes);
    return column;
}

Column Column::texts_from_words(const Column& words)
{
    if (words.is_absent()) {
        return absent(Kind::text, words.rows());
    }
    const auto view = words.words();
    std::vector<std::int64_t> offsets{0};
    std::vector<char> bytes;
    offsets.reserve(words.rows() + 1);
    for (std::size_t i = 0; i < words.rows(); ++i) {
        const auto text = view.text(i);
        bytes.insert(bytes.end(), text.begin(), text.end());
        offsets.push_back(static_cast<std::int64_t>(bytes.size()));
    }
    return of_texts(hold(std::move(offsets)), hold(std::move(bytes)), words.rows(),
                    mask_where(words.rows(), [&](std::size_t i) { return view.code(i) >= 0; }));
}

bool Column::present(std::size_t row) const
{
    if (is_absent()) {
        return false;
    }
    return kind_ == Kind::word ? words().code(row) >= 0 : validity().present(row);
}

std::size_t Column::missing_count() const
{
    if (is_absent()) {
        return rows_;
    }
    if (kind_ == Kind::word) {
        const auto codes = words().codes;
        return static_cast<std::size_t>(std::count(codes.begin(), codes.end(), -1));
    }
    return mask_.bits.data == nullptr ? 0 : rows_ - count_bits(validity(), rows_);
}

template <class T>
std::span<const T> Column::span_of() const
{
    if (is_absent()) {
        return {};
    }
    return {static_cast<const T*>(data_) + first_, rows_};
}

void Column::require_kind(bool right, const char* wanted) const
{
    if (!right) {
        throw std::invalid_argument("column must hold " + std::string(wanted) + "s, it holds " +
                                    std::string(word(kind_)) + "s");
    }
}

WordView Column::words() const
{
    require_kind(kind_ == Kind::word, "word");
    return {span_of<std::int32_t>(),
            words_ ? words_->views() : std::span<const std::string_view>{}};
}

NumberView Column::numbers() const
{
    require_kind(kind_ == Kind::number, "number");
    return {span_of<double>(), validity()};
}

CountView Column::counts() const
{
    require_kind(kind_ == Kind::count || kind_ == Kind::date, "count");
    return {span_of<std::int32_t>(), validity()};
}

WholeView Column::wholes() const
{
    require_kind(kind_ == Kind::whole || kind_ == Kind::moment, "whole");
    return {span_of<std::int64_t>(), validity()};
}

std::span<const std::uint8_t> Column::truths() const
{
    require_kind(kind_ == Kind::truth, "truth");
    return span_of<std::uint8_t>();
}

TextView Column::texts() const
{
    require_kind(kind_ == Kind::text, "text");
    if (is_absent()) {
        return {};
    }
    return {{static_cast<const std::int64_t*>(data_) + first_, rows_ + 1}, bytes_.data, validity()};
}

Column Column::slice(std::size_t first, std::size_t count) const
{
    if (first > rows_ || count > rows_ - first) {
        throw std::invalid_argument("slice must lie within " + std::to_string(rows_) +
                                    " rows, got " + std::to_string(count) + " from row " +
                                    std::to_string(first));
    }
    Column part = *this;
    part.first_ += first;
    part.rows_ = count;
    return part;
}

namespace {

template <class T>
Buffer<T> picked(std::span<const T> values, std::span<const std::int64_t> rows)
{
    std::vector<T> out(rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
        out[i] = values[static_cast<std::size_t>(rows[i])];
    }
    return hold(std::move(out));
}

/// Offsets of the texts of some rows; their bytes go to `bytes`.
Buffer<std::int64_t> picked_offsets(const TextView& texts, std::span<const std::int64_t> rows,
                                    Buffer<char>& bytes)
{
    std::vector<std::int64_t> offsets{0};
    std::vector<char> taken;
    offsets.reserve(rows.size() + 1);
    for (const auto row : rows) {
        const auto text = texts.text(static_cast<std::size_t>(row));
        taken.insert(taken.end(), text.begin(), text.end());
        offsets.push_back(static_cast<std::int64_t>(taken.size()));
    }
    bytes = hold(std::move(taken));
    return hold(std::move(offsets));
}

}  // namespace

Column Column::take(std::span<const std::int64_t> rows) const
{
    for (const auto row : rows) {
        if (row < 0 || static_cast<std::size_t>(row) >= rows_) {
            throw std::invalid_argument("row must be between 0 and " + std::to_string(rows_) +
                                        " less 1, got " + std::to_string(row));
        }
    }
    if (is_absent()) {
        return absent(kind_, rows.size());
    }
    Column part = *this;
    part.first_ = 0;
    part.rows_ = rows.size();
    const auto valid = validity();
    if (valid.bits != nullptr) {
        part.mask_ = mask_where(rows.size(), [&](std::size_t i) {
            return valid.present(static_cast<std::size_t>(rows[i]));
        });
    }
    const auto put = [&part](auto buffer) {
        part.data_ = buffer.data;
        part.owner_ = std::move(buffer.owner);
    };
    switch (kind_) {
        case Kind::word:
        case Kind::count:
        case Kind::date:
            put(picked(span_of<std::int32_t>(), rows));
            break;
        case Kind::number:
            put(picked(span_of<double>(), rows));
            break;
        case Kind::whole:
        case Kind::moment:
            put(picked(span_of<std::int64_t>(), rows));
            break;
        case Kind::truth:
            put(picked(span_of<std::uint8_t>(), rows));
            break;
        case Kind::text:
            put(picked_offsets(texts(), rows, part.bytes_));
            break;
    }
    return part;
}

}  // namespace enginewright::table
