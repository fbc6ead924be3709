#include <stdexcept>
#include <type_traits>
#include <utility>

#include "table/foreign_parts.hpp"

namespace enginewright::table {

namespace {

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

}  // namespace

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

Column values_through(std::string_view name, const Foreign& foreign, const Column& entries)
{
    const std::vector<Column> with_none{entries, Column::absent(entries.kind(), 1)};
    std::vector<std::int64_t> rows(foreign.rows, static_cast<std::int64_t>(entries.rows()));
    each_place(name, foreign, [&](std::size_t row, std::size_t entry) {
        rows[row] = static_cast<std::int64_t>(entry);
    });
    return concatenate(with_none).take(rows);
}

Column carried_dictionary(std::string_view name, const Foreign& foreign)
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

}  // namespace enginewright::table
