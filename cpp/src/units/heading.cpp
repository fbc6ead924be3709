#include <algorithm>
#include <array>
#include <string>

#include "enginewright/units.hpp"
#include "units/dimension.hpp"
#include "units/spelling.hpp"
#include "units/text.hpp"

/// Headings of columns: what stands before the unit, the unit, and what is neither.
namespace enginewright::units {

namespace {

using Wanted = std::optional<std::string_view>;

// Words seldom meant as a unit: "Bore min" is the least bore, "Gap second" that of the second ring,
// "Drawing rev" a revision, "Bore (F)" the front one.
constexpr std::array<std::string_view, 6> doubtful{"min", "second", "seconds", "rev", "C", "F"};

/// Whether a spelling is rather a name, unless it is a unit of the dimension that is told.
bool is_rather_a_name(std::string_view spelling, Wanted dimension)
{
    if (spelling.empty() || spelling == "1") {
        return true;
    }
    if (dimension && find_unit(spelling, dimension) != nullptr) {
        return false;
    }
    if (std::any_of(doubtful.begin(), doubtful.end(),
                    [&](std::string_view word) { return same_spelling(spelling, word); })) {
        return true;
    }
    // One letter is a unit as its symbol alone: "(g)" is, "(G)" and "(L)" for left are not.
    constexpr std::string_view symbols = "gmshNKl";
    const char letter = spelling.front();
    const bool is_letter = (letter >= 'a' && letter <= 'z') || (letter >= 'A' && letter <= 'Z');
    return spelling.size() == 1 && is_letter && symbols.find(letter) == std::string_view::npos;
}

/// A unit that is set apart by a bracket, a comma or a stroke.
const Unit* stated_unit(std::string_view spelling, Wanted dimension)
{
    if (is_rather_a_name(spelling, dimension)) {
        return nullptr;
    }
    const auto* found = find_unit(spelling, dimension);
    if (found == nullptr && dimension && find_unit(spelling, std::nullopt) != nullptr) {
        throw UnitError(why_unknown(spelling, dimension));
    }
    return found;
}

Header with_unit(std::string_view name, const Unit& unit)
{
    return {.name = std::string(trimmed(name)), .unit = unit.symbol, .dimension = unit.dimension};
}

/// Where the bracket opens that closes at the end; npos when none does.
///
/// A bracket behind a stroke belongs to a unit: "µm/(m·K)".
std::size_t opening_of_last(std::string_view text)
{
    if (!text.ends_with(')') && !text.ends_with(']')) {
        return std::string_view::npos;
    }
    const char close = text.back();
    const char open = close == ')' ? '(' : '[';
    int depth = 0;
    for (std::size_t at = text.size(); at-- > 0;) {
        depth += text[at] == close ? 1 : text[at] == open ? -1 : 0;
        if (depth == 0) {
            return at > 0 && text[at - 1] == '/' ? std::string_view::npos : at;
        }
    }
    return std::string_view::npos;
}

/// A unit behind the last comma or the last stroke between blanks.
std::optional<Header> behind_mark(std::string_view text, Wanted dimension)
{
    for (const std::string_view mark : {",", " / "}) {
        const auto at = text.rfind(mark);
        if (at == std::string_view::npos || at == 0) {
            continue;
        }
        if (const auto* found = stated_unit(trimmed(text.substr(at + mark.size())), dimension)) {
            return with_unit(text.substr(0, at), *found);
        }
    }
    return std::nullopt;
}

bool has_two_letters(std::string_view word)
{
    return std::count_if(word.begin(), word.end(), [](char c) {
               return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c & 0x80) != 0;
           }) >= 2;
}

/// A unit as the last words: "Torque Nm", "Torque lbf ft", "Sump US fl oz".
std::optional<Header> as_last_words(std::string_view text, Wanted dimension)
{
    for (const int count : {3, 2, 1}) {
        auto at = text.size();
        for (int i = 0; i < count && at != std::string_view::npos && at > 0; ++i) {
            at = text.rfind(' ', at - 1);
        }
        if (at == std::string_view::npos || at == 0) {
            continue;
        }
        const auto words = text.substr(at + 1);
        if (!has_two_letters(words) || is_rather_a_name(words, dimension)) {
            continue;
        }
        if (const auto* found = find_unit(words, dimension)) {
            return with_unit(text.substr(0, at), *found);
        }
    }
    return std::nullopt;
}

Header read_heading(std::string_view text, Wanted dimension)
{
    const auto open = opening_of_last(text);
    if (open != std::string_view::npos) {
        const auto inside = trimmed(text.substr(open + 1, text.size() - open - 2));
        const auto before = trimmed(text.substr(0, open));
        if (const auto* found = stated_unit(inside, dimension)) {
            return with_unit(before, *found);
        }
        Header noted = before.empty() ? Header{} : read_heading(before, dimension);
        if (!inside.empty()) {
            // "Bore [mm] (front) (cold)": notes read from left to right.
            noted.note =
                noted.note ? *noted.note + "; " + std::string(inside) : std::string(inside);
        }
        return noted;
    }
    if (const auto marked = behind_mark(text, dimension)) {
        return *marked;
    }
    if (const auto worded = as_last_words(text, dimension)) {
        return *worded;
    }
    return {.name = std::string(text)};
}

}  // namespace

Header header(std::string_view text, std::optional<std::string_view> dimension)
{
    if (dimension) {
        require_dimension(*dimension);
    }
    std::string line = normalised(text);
    std::replace(line.begin(), line.end(), '\n', ' ');
    Header heading = read_heading(line, dimension);
    heading.text = std::string(text);
    return heading;
}

}  // namespace enginewright::units
