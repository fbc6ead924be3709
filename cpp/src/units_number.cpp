#include "units_number.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>

namespace enginewright::units {

namespace {

bool digit(char c) { return c >= '0' && c <= '9'; }

[[noreturn]] void not_a_number(std::string_view shown, std::string_view why)
{
    throw UnitError("'" + std::string(shown) +
                    "' is not a number with a unit: " + std::string(why));
}

struct Vulgar {
    std::string_view sign;
    int above, below;
};
constexpr std::array<Vulgar, 9> vulgars{{{"½", 1, 2},
                                         {"¼", 1, 4},
                                         {"¾", 3, 4},
                                         {"⅛", 1, 8},
                                         {"⅜", 3, 8},
                                         {"⅝", 5, 8},
                                         {"⅞", 7, 8},
                                         {"⅓", 1, 3},
                                         {"⅔", 2, 3}}};

/// Walks over a text; what it reads it leaves behind.
struct Reader {
    std::string_view text;
    std::size_t at = 0;

    bool done() const { return at >= text.size(); }
    char now() const { return done() ? '\0' : text[at]; }
    std::string_view rest() const { return text.substr(at); }
    bool take(std::string_view sign)
    {
        if (!rest().starts_with(sign)) {
            return false;
        }
        at += sign.size();
        return true;
    }
    std::string_view digits()
    {
        const auto first = at;
        while (digit(now())) {
            ++at;
        }
        return text.substr(first, at - first);
    }
};

std::int64_t whole(std::string_view digits, std::string_view shown)
{
    std::int64_t value = 0;
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
    if (error != std::errc{} || end != digits.data() + digits.size()) {
        not_a_number(shown, "the whole number is too long");
    }
    return value;
}

bool take_sign(Reader& reader)
{
    const bool minus = reader.take("-");
    if (!minus) {
        reader.take("+");
    }
    return minus;
}

std::string trimmed(std::string_view text)
{
    while (text.starts_with(' ')) {
        text.remove_prefix(1);
    }
    return std::string(text);
}

std::optional<WrittenNumber> degrees(Reader reader, std::string_view shown)
{
    const bool minus = take_sign(reader);
    const auto whole_degrees = reader.digits();
    if (whole_degrees.empty() || !reader.take("°")) {
        return std::nullopt;
    }
    reader.take(" ");
    const auto minutes = reader.digits();
    if (minutes.empty() || !(reader.take("'") || reader.take("′"))) {
        return std::nullopt;
    }
    double seconds = 0;
    double place = 1.0 / 60;
    reader.take(" ");
    if (digit(reader.now())) {
        const auto first = reader.at;
        reader.digits();
        place = 1.0 / 3600;
        if (reader.take(".")) {
            place *= std::pow(10.0, -static_cast<double>(reader.digits().size()));
        }
        const auto written = reader.text.substr(first, reader.at - first);
        std::from_chars(written.data(), written.data() + written.size(), seconds);
        if (!(reader.take("\"") || reader.take("″"))) {
            not_a_number(shown, "seconds end with \"");
        }
    }
    if (whole(minutes, shown) >= 60 || seconds >= 60) {
        not_a_number(shown, "minutes and seconds are below 60");
    }
    const double value = static_cast<double>(whole(whole_degrees, shown)) +
                         (static_cast<double>(whole(minutes, shown)) * 60 + seconds) / 3600;
    return WrittenNumber{.value = minus ? -value : value,
                         .place = place,
                         .angle = true,
                         .rest = trimmed(reader.rest())};
}

std::optional<WrittenNumber> fraction(Reader reader, std::string_view shown)
{
    const bool minus = take_sign(reader);
    auto first = reader.digits();
    std::int64_t units = 0;
    const auto made = [&](std::int64_t above, std::int64_t below) {
        if (below == 0) {
            not_a_number(shown, "a fraction is not over zero");
        }
        // One division, so one rounding: 3 1/2 is 7/2.
        const double value =
            static_cast<double>(units * below + above) / static_cast<double>(below);
        return WrittenNumber{
            .value = minus ? -value : value, .fraction = true, .rest = trimmed(reader.rest())};
    };
    const auto before = reader.at;
    if (!first.empty()) {
        if (reader.now() == '/') {
            units = 0;
            reader.take("/");
            const auto below = reader.digits();
            if (below.empty()) {
                return std::nullopt;
            }
            return made(whole(first, shown), whole(below, shown));
        }
        if (!(reader.take(" ") || reader.take("-"))) {
            reader.at = before;
        }
        units = first.size() > 9 ? 0 : whole(first, shown);
    }
    for (const auto& each : vulgars) {
        if (reader.take(each.sign)) {
            return made(each.above, each.below);
        }
    }
    if (first.empty() || reader.at == before) {
        return std::nullopt;
    }
    const auto above = reader.digits();
    if (above.empty() || !reader.take("/")) {
        return std::nullopt;
    }
    const auto below = reader.digits();
    if (below.empty()) {
        return std::nullopt;
    }
    return made(whole(above, shown), whole(below, shown));
}

/// Whether exactly three digits follow here.
bool three_digits(std::string_view rest)
{
    return rest.size() >= 3 && digit(rest[0]) && digit(rest[1]) && digit(rest[2]) &&
           (rest.size() == 3 || !digit(rest[3]));
}

/// Digits with points and commas, blanks and apostrophes of groups taken out.
std::string marked_digits(Reader& reader)
{
    std::string marked;
    bool decimal_seen = false;
    while (!reader.done()) {
        const char c = reader.now();
        if (digit(c)) {
            marked += c;
            ++reader.at;
        } else if (c == '.' || c == ',') {
            marked += c;
            ++reader.at;
            decimal_seen = true;
        } else if ((c == ' ' || c == '\'') && !decimal_seen && !marked.empty() &&
                   digit(marked.back()) && three_digits(reader.rest().substr(1))) {
            ++reader.at;
        } else {
            break;
        }
    }
    return marked;
}

/// Whether the marks of one kind cut the digits into a first group and groups of three.
bool groups_in_threes(std::string_view digits, char mark)
{
    const auto first = digits.find(mark);
    if (first == 0 || first > 3) {
        return false;
    }
    for (auto at = first; at != std::string_view::npos;) {
        const auto next = digits.find(mark, at + 1);
        const auto length = (next == std::string_view::npos ? digits.size() : next) - at - 1;
        if (length != 3) {
            return false;
        }
        at = next;
    }
    return true;
}

/// Which mark is the decimal one: '.', ',' or 0 for none. Throws where it cannot be told.
char decimal_mark(std::string_view marked, Decimal decimal, std::string_view shown)
{
    const auto points = std::count(marked.begin(), marked.end(), '.');
    const auto commas = std::count(marked.begin(), marked.end(), ',');
    const auto group_or_refuse = [&](std::string_view digits, char mark) {
        if (digits.find(mark) != std::string_view::npos && !groups_in_threes(digits, mark)) {
            not_a_number(shown, std::string("'") + mark + "' does not group the digits in threes");
        }
    };
    if (decimal != Decimal::automatic) {
        const char mark = decimal == Decimal::point ? '.' : ',';
        const char other = mark == '.' ? ',' : '.';
        if ((mark == '.' ? points : commas) > 1) {
            not_a_number(shown, "more than one decimal mark");
        }
        const auto at = marked.find(mark);
        group_or_refuse(marked.substr(0, at), other);
        if (at != std::string_view::npos && marked.find(other, at) != std::string_view::npos) {
            not_a_number(shown, "a group mark behind the decimal mark");
        }
        return at == std::string_view::npos ? '\0' : mark;
    }
    if (points > 0 && commas > 0) {
        const char mark = marked.rfind('.') > marked.rfind(',') ? '.' : ',';
        const char other = mark == '.' ? ',' : '.';
        if ((mark == '.' ? points : commas) > 1) {
            not_a_number(shown, "more than one decimal mark");
        }
        group_or_refuse(marked.substr(0, marked.find(mark)), other);
        return mark;
    }
    if (points > 1 || commas > 1) {
        group_or_refuse(marked, points > 1 ? '.' : ',');
        return '\0';
    }
    if (commas == 1) {
        const auto before = marked.find(',');
        const auto after = marked.size() - before - 1;
        if (before >= 1 && before <= 3 && after == 3 && marked.front() != '0') {
            std::string point(marked);
            point[before] = '.';
            std::string blank(marked);
            blank[before] = ' ';
            throw UnitError("'" + std::string(shown) + "' can be " + point + " or " + blank +
                            "; pass decimal=\",\" or decimal=\".\"");
        }
        return ',';
    }
    return points == 1 ? '.' : '\0';
}

WrittenNumber decimal_number(Reader reader, Decimal decimal, std::string_view shown)
{
    const bool minus = take_sign(reader);
    const std::string marked = marked_digits(reader);
    if (std::none_of(marked.begin(), marked.end(), digit)) {
        not_a_number(shown, "no number");
    }
    const char mark = decimal_mark(marked, decimal, shown);
    std::string plain = minus ? "-" : "";
    int places = 0;
    bool behind = false;
    for (const char c : marked) {
        if (digit(c)) {
            plain += c;
            places += behind ? 1 : 0;
        } else if (c == mark) {
            plain += '.';
            behind = true;
        }
    }
    // An exponent needs its digits: "5 e" is a unit that starts with e.
    if (reader.now() == 'e' || reader.now() == 'E') {
        Reader ahead = reader;
        ++ahead.at;
        const bool down = take_sign(ahead);
        const auto power = ahead.digits();
        if (!power.empty()) {
            plain += (down ? "e-" : "e") + std::string(power);
            places -= static_cast<int>(std::min<std::int64_t>(
                          400, power.size() > 4 ? 400 : whole(power, shown))) *
                      (down ? -1 : 1);
            reader.at = ahead.at;
        }
    }
    double value = 0;
    const auto [end, error] = std::from_chars(plain.data(), plain.data() + plain.size(), value);
    if (error != std::errc{} || !std::isfinite(value)) {
        not_a_number(shown, "beyond every number");
    }
    double place = 1;
    const std::string power = "1e" + std::to_string(-places);
    std::from_chars(power.data(), power.data() + power.size(), place);
    return {.value = value, .place = place, .rest = trimmed(reader.rest())};
}

}  // namespace

std::string normalised(std::string_view text)
{
    constexpr std::array<std::pair<std::string_view, std::string_view>, 15> alike{
        {{"\u2212", "-"},
         {"\u2013", "-"},
         {"\u03BC", "\u00B5"},
         {"\u00BA", "\u00B0"},
         {"\u00A0", " "},
         {"\u202F", " "},
         {"\u2009", " "},
         {"\u2019", "'"},
         {"\u2032", "\u2032"},
         {"\u201D", "\""},
         {"\u2044", "/"},
         {"\uFEFF", ""},
         {"\t", " "},
         {"\n", " "},
         {"\r", " "}}};
    std::string out;
    for (std::size_t i = 0; i < text.size();) {
        bool changed = false;
        for (const auto& [from, to] : alike) {
            if (text.substr(i).starts_with(from)) {
                out += to;
                i += from.size();
                changed = true;
                break;
            }
        }
        if (!changed) {
            out += text[i++];
        }
        while (out.size() > 1 && out.back() == ' ' && out[out.size() - 2] == ' ') {
            out.pop_back();
        }
    }
    while (!out.empty() && out.back() == ' ') {
        out.pop_back();
    }
    return trimmed(out);
}

WrittenNumber read_number(std::string_view text, Decimal decimal, std::string_view shown)
{
    const Reader reader{text};
    if (auto angle = degrees(reader, shown)) {
        return *angle;
    }
    if (auto part = fraction(reader, shown)) {
        return *part;
    }
    return decimal_number(reader, decimal, shown);
}

}  // namespace enginewright::units
