#include <functional>
#include <limits>
#include <stdexcept>

#include "enginewright/table/column.hpp"

namespace enginewright::table {

WordList::WordList(std::vector<std::string> texts)
    : texts_(std::move(texts)), views_(texts_.begin(), texts_.end())
{
}

void WordEncoder::grow()
{
    std::vector<Slot> wider(slots_.empty() ? 16 : slots_.size() * 2);
    const auto mask = wider.size() - 1;
    for (const auto& slot : slots_) {
        if (slot.code >= 0) {
            auto at = slot.hash & mask;
            while (wider[at].code >= 0) {
                at = (at + 1) & mask;
            }
            wider[at] = slot;
        }
    }
    slots_ = std::move(wider);
}

std::int32_t WordEncoder::encode(std::string_view text)
{
    if (text.empty()) {
        return -1;
    }
    // Readings come in runs: most words are the word of the row before.
    if (last_ >= 0 && texts_[static_cast<std::size_t>(last_)] == text) {
        return last_;
    }
    if (texts_.size() * 2 >= slots_.size()) {
        grow();
    }
    const auto hash = std::hash<std::string_view>{}(text);
    const auto mask = slots_.size() - 1;
    auto at = hash & mask;
    for (; slots_[at].code >= 0; at = (at + 1) & mask) {
        const auto code = slots_[at].code;
        if (slots_[at].hash == hash && texts_[static_cast<std::size_t>(code)] == text) {
            return last_ = code;
        }
    }
    if (texts_.size() >= static_cast<std::size_t>(std::numeric_limits<std::int32_t>::max())) {
        throw std::length_error("a column of words holds too many different words");
    }
    last_ = static_cast<std::int32_t>(texts_.size());
    texts_.emplace_back(text);
    slots_[at] = {hash, last_};
    return last_;
}

std::shared_ptr<const WordList> WordEncoder::finish()
{
    slots_.clear();
    last_ = -1;
    return std::make_shared<const WordList>(std::exchange(texts_, {}));
}

}  // namespace enginewright::table
