#include <cstring>
#include <stdexcept>
#include <type_traits>

#include "table/bits.hpp"
#include "table/foreign_parts.hpp"

namespace enginewright::table {

namespace {

/// Head of a text view: short texts stand in it, long ones behind it.
struct Head {
    std::int32_t length;
    std::array<char, 4> prefix;
    std::int32_t buffer;
    std::int32_t offset;
};
static_assert(sizeof(Head) == 16);

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

}  // namespace

std::string_view Texts::operator[](std::size_t row) const
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

template <class Offset>
std::string_view Texts::between(const Offset* offsets, std::size_t row) const
{
    const auto first = offsets[row];
    const auto past = offsets[row + 1];
    if (first < 0 || past < first) {
        throw std::invalid_argument(
            std::string(name_).append(" must hold texts whose offsets never fall") + at_row(row));
    }
    return first == past
               ? std::string_view{}
               : std::string_view(foreign_.bytes + first, static_cast<std::size_t>(past - first));
}

std::string_view Texts::viewed(std::size_t row) const
{
    const auto* const at =
        static_cast<const char*>(foreign_.data) + sizeof(Head) * (foreign_.first + row);
    Head head{};
    std::memcpy(&head, at, sizeof head);
    const auto length = static_cast<std::size_t>(head.length);
    if (head.length >= 0 && head.length <= 12) {
        return {at + sizeof head.length, length};
    }
    const bool within = head.length >= 0 && head.offset >= 0 && head.buffer >= 0 &&
                        static_cast<std::size_t>(head.buffer) < foreign_.view_count &&
                        std::int64_t{head.offset} + head.length <= foreign_.view_sizes[head.buffer];
    if (!within) {
        throw std::invalid_argument(
            std::string(name_).append(" must hold texts that lie within their buffers") +
            at_row(row));
    }
    const auto* const bytes = static_cast<const char*>(foreign_.views[head.buffer]);
    return {bytes + head.offset, length};
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
            if constexpr (std::is_integral_v<std::remove_cvref_t<decltype(*from)>>) {
                encode([from](std::size_t i) { return std::to_string(from[i]); });
            }
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

}  // namespace enginewright::table
