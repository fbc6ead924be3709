#include "units/spelling.hpp"

#include <algorithm>
#include <array>
#include <functional>
#include <unordered_map>
#include <utility>

#include "units/table.hpp"
#include "units/text.hpp"

namespace enginewright::units {

namespace {

/// No unit has a longer spelling; what is longer is not looked at, however long it is.
constexpr std::size_t longest_spelling = 48;
constexpr std::string_view product = "·";

char lower(char sign) { return sign >= 'A' && sign <= 'Z' ? static_cast<char>(sign + 32) : sign; }
bool is_letter(char sign) { return lower(sign) >= 'a' && lower(sign) <= 'z'; }

std::string lowered(std::string text)
{
    std::transform(text.begin(), text.end(), text.begin(), lower);
    return text;
}

bool is_blank(std::string_view sign)
{
    return sign == " " || sign == "\n" || sign == "\u00A0" || sign == "\u202F";
}

bool separates(std::string_view sign)
{
    return is_blank(sign) || sign == product || sign == "⋅" || sign == "*" || sign == "." ||
           sign == "-";
}

std::string_view plain_sign(std::string_view sign)
{
    constexpr std::array<std::pair<std::string_view, std::string_view>, 8> alike{{
        {"²", "2"},
        {"³", "3"},
        {"₂", "2"},
        {"\u03BC", "\u00B5"},
        {"\u00BA", "\u00B0"},
        {"\u2206", "\u0394"},
        {"’", "'"},
        {"”", "\""},
    }};
    for (const auto& [from, to] : alike) {
        if (from == sign) {
            return to;
        }
    }
    return sign;
}

/// A spelling in one form, its case kept: "lbs. ft" is "lbs·ft", "µm/(m·K)" is "µm/m·K".
///
/// A product is one "·" however it is written; around a stroke stands none. At the ends only blanks
/// and the point of an abbreviation are left out: "5 mm*" has a mark that means something.
std::string in_one_form(std::string_view spelling)
{
    std::string form;
    bool apart = false;
    bool bracket = false;
    const auto last = spelling.find_last_not_of(" \n");
    spelling = spelling.substr(0, last == std::string_view::npos ? 0 : last + 1);
    for (std::size_t at = 0; at < spelling.size();) {
        const auto length = std::max<std::size_t>(sign_length(spelling.substr(at)), 1);
        const auto sign = spelling.substr(at, length);
        at += length;
        const bool inside = !form.empty() && at < spelling.size();
        if (separates(sign) && (inside || is_blank(sign) || (sign == "." && !form.empty()))) {
            apart = true;
            continue;
        }
        const char next = at < spelling.size() ? spelling[at] : '\0';
        if (sign == "^" && !form.empty() && (next == '2' || next == '3')) {
            continue;
        }
        if (sign == "(" && form.ends_with('/') && !bracket) {
            bracket = true;
            continue;
        }
        if (sign == ")" && bracket && at == spelling.size()) {
            continue;
        }
        if (apart && !form.empty() && !form.ends_with('/') && sign != "/") {
            form += product;
        }
        apart = false;
        form += plain_sign(sign);
    }
    return form;
}

std::string without_products(std::string form)
{
    for (auto at = form.find(product); at != std::string::npos; at = form.find(product, at)) {
        form.erase(at, product.size());
    }
    return form;
}

/// A spelling of one unit.
struct Spelled {
    std::size_t unit = 0;
    std::string form{};      ///< in one form, its case as listed
    bool when_told = false;  ///< only where its dimension is told
};

struct Hash {
    using is_transparent = void;
    std::size_t operator()(std::string_view text) const
    {
        return std::hash<std::string_view>{}(text);
    }
};
using Index = std::unordered_map<std::string, std::vector<Spelled>, Hash, std::equal_to<>>;

void put(Index& all, std::size_t unit, std::string_view spelling, bool when_told)
{
    const std::string form = in_one_form(spelling);
    for (const auto& each : {form, without_products(form)}) {
        auto& list = all[lowered(each)];
        if (std::none_of(list.begin(), list.end(),
                         [&](const Spelled& known) { return known.unit == unit; })) {
            list.push_back({unit, each, when_told});
        }
    }
}

/// Units by their spellings in one form and small letters, in the order of the table.
const Index& index()
{
    static const Index made = [] {
        Index all;
        const auto units = table();
        for (std::size_t i = 0; i < units.size(); ++i) {
            put(all, i, units[i].symbol, false);
            for (const auto& alias : units[i].aliases) {
                put(all, i, alias, only_when_told(units[i].dimension, alias));
            }
        }
        return all;
    }();
    return made;
}

/// Places of a form at which m or M is a prefix: at the start of mm, mg, ml, mbar, MPa.
bool is_prefix(std::string_view form, std::size_t at)
{
    constexpr std::array<std::string_view, 8> prefixed{
        {"mm", "mg", "ml", "mbar", "MPa", "mmH", "mmHg", "mmwg"}};
    if ((form[at] != 'm' && form[at] != 'M') || (at > 0 && is_letter(form[at - 1]))) {
        return false;
    }
    std::size_t end = at;
    while (end < form.size() && is_letter(form[end])) {
        ++end;
    }
    const auto letters = form.substr(at, end - at);
    return std::find(prefixed.begin(), prefixed.end(), letters) != prefixed.end();
}

/// Whether the case of a given form will do: an SI prefix m or M stands as listed, unless the
/// whole spelling is in capitals. mPa, mpa and Mm are nothing; MM is mm and MPA is MPa.
bool case_suits(std::string_view given, std::string_view listed)
{
    if (std::none_of(given.begin(), given.end(), [](char c) { return c >= 'a' && c <= 'z'; })) {
        return true;
    }
    for (std::size_t at = 0; at < listed.size(); ++at) {
        if (is_prefix(listed, at) && given[at] != listed[at]) {
            return false;
        }
    }
    // Written together and small, N·m is a nanometre.
    return listed != "Nm" || given[0] == 'N';
}

/// How many slips lie between two spellings: a letter too many, missing, wrong, or two swapped.
std::size_t distance(std::string_view one, std::string_view other)
{
    std::vector<std::size_t> before(other.size() + 1);
    std::vector<std::size_t> last(other.size() + 1);
    std::vector<std::size_t> line(other.size() + 1);
    for (std::size_t j = 0; j <= other.size(); ++j) {
        last[j] = j;
    }
    for (std::size_t i = 1; i <= one.size(); ++i) {
        line[0] = i;
        for (std::size_t j = 1; j <= other.size(); ++j) {
            const std::size_t changed = last[j - 1] + (one[i - 1] == other[j - 1] ? 0U : 1U);
            line[j] = std::min({last[j] + 1, line[j - 1] + 1, changed});
            if (i > 1 && j > 1 && one[i - 1] == other[j - 2] && one[i - 2] == other[j - 1]) {
                line[j] = std::min(line[j], before[j - 2] + 1);
            }
        }
        before.swap(last);
        last.swap(line);
    }
    return last.back();
}

/// Up to three units whose spelling is near, nearest first, then in the order of the table.
std::vector<std::string> near_spellings(std::string_view spelling,
                                        std::optional<std::string_view> dimension)
{
    std::vector<std::pair<std::size_t, std::size_t>> scored;
    const std::string wanted = lowered(in_one_form(spelling));
    const std::size_t most = wanted.size() > 4 ? 2 : 1;
    for (const auto& [key, list] : index()) {
        const auto far = key.size() > wanted.size() + most || wanted.size() > key.size() + most
                             ? most + 1
                             : distance(wanted, key);
        for (const auto& each : list) {
            const bool suits = !dimension || table()[each.unit].dimension == *dimension;
            if (far <= most && suits && far < std::max<std::size_t>(wanted.size(), 2)) {
                scored.emplace_back(far, each.unit);
            }
        }
    }
    std::sort(scored.begin(), scored.end());
    std::vector<std::string> near;
    for (const auto& [far, unit] : scored) {
        const auto& symbol = table()[unit].symbol;
        if (near.size() < 3 && std::find(near.begin(), near.end(), symbol) == near.end()) {
            near.push_back(symbol);
        }
    }
    return near;
}

std::string listed(const std::vector<std::string>& words, std::string_view last)
{
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i) {
        text.append(i == 0 ? "" : i + 1 == words.size() ? last : ", ").append(words[i]);
    }
    return text;
}

/// Dimensions that have a spelling once they are told.
std::vector<std::string> dimensions_of(std::string_view form)
{
    std::vector<std::string> all;
    if (const auto found = index().find(lowered(std::string(form))); found != index().end()) {
        for (const auto& each : found->second) {
            if (case_suits(form, each.form)) {
                all.push_back(table()[each.unit].dimension);
            }
        }
    }
    return all;
}

}  // namespace

const Unit* find_unit(std::string_view spelling, std::optional<std::string_view> dimension)
{
    if (spelling.size() > longest_spelling) {
        return nullptr;
    }
    const std::string form = in_one_form(spelling);
    const auto found = index().find(lowered(form));
    if (found == index().end()) {
        return nullptr;
    }
    for (const auto& each : found->second) {
        const auto& unit = table()[each.unit];
        if (dimension ? unit.dimension != *dimension : each.when_told) {
            continue;
        }
        if (case_suits(form, each.form) || (each.form == "Nm" && dimension)) {
            return &unit;
        }
    }
    return nullptr;
}

std::string why_unknown(std::string_view spelling, std::optional<std::string_view> dimension)
{
    const std::string shown = quoted(spelling);
    if (spelling.size() > longest_spelling) {
        return "unknown unit " + shown;
    }
    for (const auto& [refused, why] : refused_spellings()) {
        if (same_spelling(spelling, refused)) {
            return shown + " " + std::string(why);
        }
    }
    const std::string form = in_one_form(spelling);
    const auto others = dimensions_of(form);
    if (!others.empty()) {
        if (!dimension) {
            return shown + " can be of " + listed(others, " or of ") + "; pass dimension=\"" +
                   others.front() + "\" or write another unit";
        }
        return shown + " is a unit of " + listed(others, " and of ") + ", " +
               std::string(*dimension) + " is wanted";
    }
    if (lowered(form) == "nm") {
        return "unknown unit " + shown + "; did you mean N·m, mm or µm?";
    }
    auto near = near_spellings(spelling, dimension);
    if (near.empty() && dimension) {
        near = near_spellings(spelling, std::nullopt);
    }
    return "unknown unit " + shown +
           (near.empty() ? "" : "; did you mean " + listed(near, " or ") + "?");
}

bool same_spelling(std::string_view one, std::string_view other)
{
    return lowered(in_one_form(one)) == lowered(in_one_form(other));
}

}  // namespace enginewright::units
