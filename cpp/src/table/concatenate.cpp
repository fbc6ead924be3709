#include <algorithm>
#include <stdexcept>

#include "enginewright/table/column.hpp"

namespace enginewright::table {

namespace {

/// Rows of all parts, and their validity one byte a row.
struct Joined {
    std::size_t rows = 0;
    std::vector<std::uint8_t> present{};

    explicit Joined(std::span<const Column> parts)
    {
        bool missing = false;
        for (const auto& part : parts) {
            rows += part.rows();
            missing = missing || part.is_absent() || part.validity().bits != nullptr;
        }
        if (!missing || parts.front().kind() == Kind::word) {
            return;
        }
        present.reserve(rows);
        for (const auto& part : parts) {
            for (std::size_t i = 0; i < part.rows(); ++i) {
                present.push_back(part.present(i) ? 1 : 0);
            }
        }
    }
    Mask mask() const { return present.empty() ? Mask{} : mask_from_present(present); }
};

/// Values of all parts; a part that is absent gives zeros.
template <class T, class View>
Buffer<T> joined(std::span<const Column> parts, std::size_t rows, View&& view)
{
    std::vector<T> values;
    values.reserve(rows);
    for (const auto& part : parts) {
        const std::span<const T> here = view(part);
        values.insert(values.end(), here.begin(), here.end());
        values.resize(values.size() + part.rows() - here.size());
    }
    return hold(std::move(values));
}

Column joined_words(std::span<const Column> parts, std::size_t rows)
{
    WordEncoder encoder;
    std::vector<std::int32_t> codes;
    codes.reserve(rows);
    for (const auto& part : parts) {
        const auto view = part.words();
        std::vector<std::int32_t> now;
        now.reserve(view.words.size());
        for (const auto word : view.words) {
            now.push_back(encoder.encode(word));
        }
        for (std::size_t i = 0; i < part.rows(); ++i) {
            const auto code = view.code(i);
            codes.push_back(code < 0 ? -1 : now[static_cast<std::size_t>(code)]);
        }
    }
    return Column::of_words(hold(std::move(codes)), rows, encoder.finish());
}

Column joined_texts(std::span<const Column> parts, const Joined& all)
{
    std::vector<std::int64_t> offsets{0};
    std::vector<char> bytes;
    offsets.reserve(all.rows + 1);
    for (const auto& part : parts) {
        const auto view = part.texts();
        for (std::size_t i = 0; i < part.rows(); ++i) {
            const auto text = view.text(i);
            bytes.insert(bytes.end(), text.begin(), text.end());
            offsets.push_back(static_cast<std::int64_t>(bytes.size()));
        }
    }
    return Column::of_texts(hold(std::move(offsets)), hold(std::move(bytes)), all.rows, all.mask());
}

}  // namespace

Column concatenate(std::span<const Column> parts)
{
    if (parts.empty()) {
        throw std::invalid_argument("parts must hold at least 1 column, got 0");
    }
    const auto& first = parts.front();
    for (const auto& part : parts) {
        if (part.kind() != first.kind() || part.format() != first.format()) {
            throw std::invalid_argument("parts of a column must all hold the same kind");
        }
    }
    const Joined all(parts);
    if (std::all_of(parts.begin(), parts.end(), [](const Column& c) { return c.is_absent(); })) {
        return Column::absent(first.kind(), all.rows);
    }
    if (parts.size() == 1) {
        return first;
    }
    const auto wholes = [&] {
        return joined<std::int64_t>(parts, all.rows,
                                    [](const Column& c) { return c.wholes().values; });
    };
    const auto counts = [&] {
        return joined<std::int32_t>(parts, all.rows,
                                    [](const Column& c) { return c.counts().values; });
    };
    switch (first.kind()) {
        case Kind::word:
            return joined_words(parts, all.rows);
        case Kind::text:
            return joined_texts(parts, all);
        case Kind::number:
            return Column::of_numbers(
                joined<double>(parts, all.rows, [](const Column& c) { return c.numbers().values; }),
                all.rows, all.mask());
        case Kind::count:
            return Column::of_counts(counts(), all.rows, all.mask());
        case Kind::date:
            return Column::of_dates(counts(), all.rows, all.mask());
        case Kind::whole:
            return Column::of_wholes(wholes(), all.rows, all.mask());
        case Kind::moment:
            return Column::of_moments(wholes(), all.rows, all.mask(), first.format());
        case Kind::truth:
            return Column::of_truths(
                joined<std::uint8_t>(parts, all.rows, [](const Column& c) { return c.truths(); }),
                all.rows, all.mask());
    }
    return first;
}

}  // namespace enginewright::table
