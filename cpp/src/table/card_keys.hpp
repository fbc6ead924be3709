#pragma once

#include <span>
#include <string_view>
#include <vector>

/// The keys of the engine card: one line each, and nothing else knows them.
namespace enginewright::table {

/// What a key of the card holds.
enum class Holds {
    text,
    whole,
    wholes,
    share,            ///< a number from 0 to 1
    figure,           ///< one figure with its unit
    figures,          ///< a list of them
    figure_or_each,   ///< one, or a list with one a cylinder
    figures_by_word,  ///< a list of figures for each feature
    text_by_word,     ///< a text for each feature
    whole_by_word,    ///< a whole number for each feature
    shelf,            ///< pieces by size, or wall and pieces by grade
    curve,            ///< angles and lifts
    table,            ///< a table of keys of its own
    tables,           ///< a list of such tables
    number,           ///< a plain number, above or below 0
    word,             ///< one of a few words
};

/// One key of a table on the card, `rotor.zero`.
struct TableKey {
    std::string_view key;
    Holds holds;
    std::string_view dimension{};
    std::string_view unit{};
    std::span<const std::string_view> words{};  ///< what a word may be
};

struct CardKeyRule {
    std::string_view key;
    Holds holds;
    std::string_view dimension;  ///< of its figures
    std::string_view unit;       ///< canonical
    std::string_view meaning;
    std::span<const std::string_view> keys{};   ///< of its tables, values kept as written
    std::span<const TableKey> typed{};          ///< of its tables, values read like the card's own
    std::span<const std::string_view> words{};  ///< what a word may be
};

/// All keys, in the order in which a person fills in a card.
std::span<const CardKeyRule> card_key_rules();

/// The rule of a key; null when there is none.
const CardKeyRule* card_key_rule(std::string_view key);

}  // namespace enginewright::table
