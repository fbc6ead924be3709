#include "units/text.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace enginewright::units {

namespace {

constexpr std::string_view group_blank = " ";
constexpr std::string_view cutting_blank = "\n";

/// Signs beyond ASCII that are read as another; what becomes "" is invisible.
constexpr std::array<std::pair<std::string_view, std::string_view>, 52> alike{{
    {"\u2212", "-"},
    {"\u2010", "-"},
    {"\u2011", "-"},
    {"\u2013", "-"},
    {"\u03BC", "\u00B5"},
    {"\u00BA", "\u00B0"},
    {"\u02DA", "\u00B0"},
    {"\u2103", "\u00B0C"},
    {"\u2109", "\u00B0F"},
    {"\u212A", "K"},
    {"\u2206", "\u0394"},
    {"\u2018", "'"},
    {"\u2019", "'"},
    {"\u02BC", "'"},
    {"\u201C", "\""},
    {"\u201D", "\""},
    {"\u2044", "/"},
    {"\u2215", "/"},
    {"\u22C5", "\u00B7"},
    {"\u2219", "\u00B7"},
    {"\u2022", "\u00B7"},
    {"\u00D7", "\u00B7"},
    {"\u00A0", group_blank},
    {"\u202F", group_blank},
    {"\u2007", group_blank},
    {"\u2009", group_blank},
    {"\u2000", cutting_blank},
    {"\u2001", cutting_blank},
    {"\u2002", cutting_blank},
    {"\u2003", cutting_blank},
    {"\u2004", cutting_blank},
    {"\u2005", cutting_blank},
    {"\u2006", cutting_blank},
    {"\u2008", cutting_blank},
    {"\u200A", cutting_blank},
    {"\u2028", cutting_blank},
    {"\u2029", cutting_blank},
    {"\u205F", cutting_blank},
    {"\u3000", cutting_blank},
    {"\u1680", cutting_blank},
    {"\u00AD", ""},
    {"\u200B", ""},
    {"\u200C", ""},
    {"\u200D", ""},
    {"\u200E", ""},
    {"\u200F", ""},
    {"\u2060", ""},
    {"\uFEFF", ""},
    {"\u2061", ""},
    {"\u2062", ""},
    {"\u2063", ""},
    {"\u2064", ""},
}};

std::string_view in_one_form(std::string_view sign)
{
    for (const auto& [from, to] : alike) {
        if (from == sign) {
            return to;
        }
    }
    return sign;
}

bool is_blank(std::string_view sign)
{
    return sign == group_blank || (sign.size() == 1 && sign[0] >= '\t' && sign[0] <= '\r');
}

bool continues(std::string_view text, std::size_t at)
{
    return at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U;
}

/// Marks that turn the direction of writing: what is shown would not be what is there.
bool turns_writing(std::string_view sign)
{
    return sign.size() == 3 &&
           ((sign >= "\u202A" && sign <= "\u202E") || (sign >= "\u2066" && sign <= "\u2069"));
}

bool is_control(std::string_view sign)
{
    const auto byte = static_cast<unsigned char>(sign.front());
    const bool upper =
        sign.size() == 2 && byte == 0xC2 && static_cast<unsigned char>(sign[1]) < 0xA0;
    return (sign.size() == 1 && (byte < 0x20 || byte == 0x7F)) || upper || turns_writing(sign);
}

std::string escaped(std::string_view bytes)
{
    constexpr std::string_view hexadecimal = "0123456789abcdef";
    std::string text;
    for (const char each : bytes) {
        const std::size_t byte = static_cast<unsigned char>(each);
        text += "\\x";
        text += hexadecimal[byte / 16];
        text += hexadecimal[byte % 16];
    }
    return text;
}

}  // namespace

std::size_t sign_length(std::string_view text)
{
    if (text.empty()) {
        return 0;
    }
    const auto first = static_cast<unsigned char>(text[0]);
    if (first < 0x80) {
        return 1;
    }
    const auto second = text.size() > 1 ? static_cast<unsigned char>(text[1]) : 0U;
    if (first >= 0xC2 && first <= 0xDF) {
        return continues(text, 1) ? 2 : 0;
    }
    if (first >= 0xE0 && first <= 0xEF) {
        const bool kept = !(first == 0xE0 && second < 0xA0) && !(first == 0xED && second > 0x9F);
        return kept && continues(text, 1) && continues(text, 2) ? 3 : 0;
    }
    if (first >= 0xF0 && first <= 0xF4) {
        const bool kept = !(first == 0xF0 && second < 0x90) && !(first == 0xF4 && second > 0x8F);
        return kept && continues(text, 1) && continues(text, 2) && continues(text, 3) ? 4 : 0;
    }
    return 0;
}

std::string normalised(std::string_view text)
{
    std::string out;
    out.reserve(text.size());
    char waiting = '\0';
    for (std::size_t at = 0; at < text.size();) {
        const auto length = std::max<std::size_t>(sign_length(text.substr(at)), 1);
        auto sign = text.substr(at, length);
        at += length;
        if (length > 1) {
            sign = in_one_form(sign);
        }
        if (sign.empty()) {
            continue;
        }
        if (is_blank(sign)) {
            waiting = waiting == '\n' || sign != group_blank ? '\n' : ' ';
            continue;
        }
        if (waiting != '\0' && !out.empty()) {
            out += waiting;
        }
        waiting = '\0';
        out += sign;
    }
    return out;
}

std::string quoted(std::string_view text)
{
    constexpr int most = 60;
    std::string out = "'";
    int count = 0;
    for (std::size_t at = 0; at < text.size(); ++count) {
        if (count == most) {
            out += "...";
            break;
        }
        const auto length = sign_length(text.substr(at));
        const auto sign = text.substr(at, std::max<std::size_t>(length, 1));
        out += length == 0 || is_control(sign) ? escaped(sign) : std::string(sign);
        at += sign.size();
    }
    return out + "'";
}

std::string_view trimmed(std::string_view text)
{
    while (!text.empty() && (text.front() == ' ' || text.front() == '\n')) {
        text.remove_prefix(1);
    }
    while (!text.empty() && (text.back() == ' ' || text.back() == '\n')) {
        text.remove_suffix(1);
    }
    return text;
}

}  // namespace enginewright::units
