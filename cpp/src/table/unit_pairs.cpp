#include "table/unit_pairs.hpp"

#include <algorithm>

#include "enginewright/units.hpp"

namespace enginewright::table {

namespace {

const VocabularyWord* known_quantity(std::string_view word)
{
    const auto words = vocabulary();
    const auto found = std::find_if(words.begin(), words.end(), [&](const VocabularyWord& each) {
        return each.kind != "feature" && each.word == word;
    });
    return found == words.end() ? nullptr : &*found;
}

}  // namespace

UnitPairs::UnitPairs(WordView quantities, WordView units)
    : quantities_(quantities),
      units_(units),
      pairs_((quantities.words.size() + 1) * std::max<std::size_t>(units.words.size(), 1))
{
}

void UnitPairs::look_up(UnitPair& pair, std::int32_t quantity, std::int32_t unit)
{
    pair.looked_up = true;
    const auto symbol = units_.words[static_cast<std::size_t>(unit)];
    const auto word =
        quantity < 0 ? std::string_view{} : quantities_.words[static_cast<std::size_t>(quantity)];
    const auto* const known = known_quantity(word);
    const auto dimension =
        known == nullptr ? std::string_view{} : std::string_view(known->dimension);
    // A meter's own scale: nothing is known of it but that it is the reading's.
    if (known != nullptr && dimension.empty() && !known->unit.empty()) {
        pair.suits = true;
        pair.canonical = encoder_.encode(symbol);
        return;
    }
    try {
        const auto& found =
            units::unit(symbol, dimension.empty() ? std::nullopt : std::optional(dimension));
        pair.suits = true;
        pair.factor = found.factor;
        pair.offset = found.offset;
        pair.canonical = encoder_.encode(units::canonical(found.dimension));
    } catch (const units::UnitError& refused) {
        pair.reason =
            "unit must suit " + (word.empty() ? std::string("position") : std::string(word));
        pair.reason += dimension.empty() ? "" : ", a " + std::string(dimension);
        pair.reason += ", got '" + std::string(symbol) + "': " + refused.what();
    }
}

}  // namespace enginewright::table
