#include <cstring>
#include <unordered_map>

#include "enginewright/table/column.hpp"

namespace enginewright::table {

namespace {

/// Codes of the first list for the words of the second; -2 for a word that the first has not.
std::vector<std::int32_t> translation(WordView first, WordView second)
{
    std::unordered_map<std::string_view, std::int32_t> codes;
    for (std::size_t i = 0; i < first.words.size(); ++i) {
        codes.emplace(first.words[i], static_cast<std::int32_t>(i));
    }
    std::vector<std::int32_t> translated;
    translated.reserve(second.words.size());
    for (const auto word : second.words) {
        const auto found = codes.find(word);
        translated.push_back(found == codes.end() ? -2 : found->second);
    }
    return translated;
}

bool same_words(WordView first, WordView second)
{
    const auto translated = translation(first, second);
    for (std::size_t i = 0; i < first.codes.size(); ++i) {
        const auto code = second.codes[i];
        if (first.codes[i] != (code < 0 ? -1 : translated[static_cast<std::size_t>(code)])) {
            return false;
        }
    }
    return true;
}

/// Present rows hold the same bytes; what lies in missing rows does not count.
template <class T>
bool same_values(std::span<const T> first, std::span<const T> second, Validity valid)
{
    if (valid.bits == nullptr) {
        return first.empty() || std::memcmp(first.data(), second.data(), first.size_bytes()) == 0;
    }
    for (std::size_t i = 0; i < first.size(); ++i) {
        // Bit for bit is what equal columns are.
        // NOLINTNEXTLINE(bugprone-suspicious-memory-comparison)
        if (valid.present(i) && std::memcmp(&first[i], &second[i], sizeof(T)) != 0) {
            return false;
        }
    }
    return true;
}

bool same_texts(const TextView& first, const TextView& second, std::size_t rows)
{
    for (std::size_t i = 0; i < rows; ++i) {
        if (first.text(i) != second.text(i)) {
            return false;
        }
    }
    return true;
}

bool same_presence(const Column& first, const Column& second)
{
    const bool all = !first.is_absent() && !second.is_absent() &&
                     first.validity().bits == nullptr && second.validity().bits == nullptr;
    // Words carry their presence in the codes.
    if (all && first.kind() != Kind::word) {
        return true;
    }
    for (std::size_t i = 0; i < first.rows(); ++i) {
        if (first.present(i) != second.present(i)) {
            return false;
        }
    }
    return true;
}

}  // namespace

bool Column::operator==(const Column& other) const
{
    if (kind_ != other.kind_ || rows_ != other.rows_ || format_ != other.format_) {
        return false;
    }
    if (is_absent() && other.is_absent()) {
        return true;
    }
    if (kind_ == Kind::word && !is_absent() && !other.is_absent()) {
        return same_words(words(), other.words());
    }
    if (!same_presence(*this, other)) {
        return false;
    }
    if (is_absent() || other.is_absent()) {
        return true;
    }
    switch (kind_) {
        case Kind::number:
            return same_values(numbers().values, other.numbers().values, validity());
        case Kind::count:
        case Kind::date:
            return same_values(counts().values, other.counts().values, validity());
        case Kind::whole:
        case Kind::moment:
            return same_values(wholes().values, other.wholes().values, validity());
        case Kind::truth:
            return same_values(truths(), other.truths(), validity());
        case Kind::text:
            return same_texts(texts(), other.texts(), rows_);
        case Kind::word:
            break;
    }
    return true;
}

}  // namespace enginewright::table
