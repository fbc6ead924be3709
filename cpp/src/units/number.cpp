#include "units/number.hpp"

#include <array>
#include <charconv>
#include <cstdint>

#include "units/text.hpp"

namespace enginewright::units {

namespace {

/// So long that no figure of a workshop is longer, so short that all sums below are exact.
constexpr std::size_t longest_whole = 9;
constexpr std::int64_t largest_exact = std::int64_t{1} << 53;

std::int64_t whole(std::string_view digits, const Manner& manner)
{
    if (digits.size() > longest_whole) {
        refuse_number(manner, "it has too many digits");
    }
    std::int64_t value = 0;
    std::from_chars(digits.data(), digits.data() + digits.size(), value);
    return value;
}

/// Minutes or seconds: digits, and decimals where nothing smaller follows.
struct Part {
    std::string written{};
    int places = 0;
};

Part take_part(Scanner& scan, Decimal decimal)
{
    Part part{.written = std::string(scan.take_digits())};
    const char mark = scan.next();
    const bool allowed =
        (mark == '.' && decimal != Decimal::comma) || (mark == ',' && decimal != Decimal::point);
    if (part.written.empty() || !allowed) {
        return part;
    }
    scan.take_count(1);
    const auto decimals = scan.take_digits();
    part.written.append(".").append(decimals);
    part.places = static_cast<int>(decimals.size());
    return part;
}

double below_sixty(const Part& part, const Manner& manner)
{
    double value = 0;
    const auto* end = part.written.data() + part.written.size();
    if (std::from_chars(part.written.data(), end, value).ec != std::errc{} || value >= 60) {
        refuse_number(manner, "minutes and seconds are below 60");
    }
    return value;
}

bool take_seconds_sign(Scanner& scan)
{
    return scan.take("\"") || scan.take("″") || scan.take("''") || scan.take("′′");
}

std::optional<WrittenNumber> read_angle(Scanner scan, const Manner& manner)
{
    const bool minus = scan.take_minus();
    const auto degrees = scan.take_digits();
    if (degrees.empty() || !scan.take("°")) {
        return std::nullopt;
    }
    scan.take_blank();
    const Part minutes = take_part(scan, manner.decimal);
    if (minutes.written.empty() || take_seconds_sign(scan) || !(scan.take("'") || scan.take("′"))) {
        return std::nullopt;
    }
    Scanner ahead = scan;
    ahead.take_blank();
    const Part seconds = take_part(ahead, manner.decimal);
    double total =
        static_cast<double>(whole(degrees, manner)) * 3600 + below_sixty(minutes, manner) * 60;
    double divisor = 60;
    int places = minutes.places;
    if (!seconds.written.empty()) {
        if (!take_seconds_sign(ahead)) {
            refuse_number(manner, "its seconds end with no \"");
        }
        if (minutes.places > 0) {
            refuse_number(manner, "its minutes have decimals, and seconds follow");
        }
        total += below_sixty(seconds, manner);
        divisor = 3600;
        places = seconds.places;
        scan = ahead;
    }
    WrittenNumber written{.value = (minus ? -total : total) / 3600,
                          .form = Form::angle,
                          .rest = trimmed(scan.rest())};
    if (const auto place = power_of_ten(-places)) {
        written.place = *place / divisor;
    }
    return written;
}

struct Ratio {
    std::string_view above{};
    std::string_view below{};
};

struct Vulgar {
    std::string_view sign;
    Ratio ratio;
};
constexpr std::array<Vulgar, 18> vulgars{{
    {"½", {"1", "2"}},
    {"¼", {"1", "4"}},
    {"¾", {"3", "4"}},
    {"⅛", {"1", "8"}},
    {"⅜", {"3", "8"}},
    {"⅝", {"5", "8"}},
    {"⅞", {"7", "8"}},
    {"⅓", {"1", "3"}},
    {"⅔", {"2", "3"}},
    {"⅕", {"1", "5"}},
    {"⅖", {"2", "5"}},
    {"⅗", {"3", "5"}},
    {"⅘", {"4", "5"}},
    {"⅙", {"1", "6"}},
    {"⅚", {"5", "6"}},
    {"⅐", {"1", "7"}},
    {"⅑", {"1", "9"}},
    {"⅒", {"1", "10"}},
}};

std::optional<Ratio> take_vulgar(Scanner& scan)
{
    for (const auto& each : vulgars) {
        if (scan.take(each.sign)) {
            return each.ratio;
        }
    }
    return std::nullopt;
}

std::optional<Ratio> take_ratio(Scanner& scan)
{
    const auto above = scan.take_digits();
    if (above.empty() || !scan.take("/")) {
        return std::nullopt;
    }
    const auto below = scan.take_digits();
    return below.empty() ? std::nullopt : std::optional(Ratio{above, below});
}

std::optional<WrittenNumber> read_fraction(Scanner scan, const Manner& manner)
{
    const bool minus = scan.take_minus();
    std::string_view units;
    Scanner plain = scan;
    auto ratio = take_ratio(plain);
    if (ratio) {
        scan = plain;
    } else {
        units = scan.take_digits();
        const bool joined = !units.empty() && (scan.take_blank() || scan.take("-"));
        ratio = take_vulgar(scan);
        if (!ratio && joined) {
            ratio = take_ratio(scan);
        }
    }
    if (!ratio) {
        return std::nullopt;
    }
    const auto below = whole(ratio->below, manner);
    if (below == 0) {
        refuse_number(manner, "its fraction is over zero");
    }
    const auto above = whole(units, manner) * below + whole(ratio->above, manner);
    if (above > largest_exact) {
        refuse_number(manner, "it has too many digits");
    }
    // 3 1/2 is 7/2: whole numbers and one division, so one rounding.
    const double value = static_cast<double>(above) / static_cast<double>(below);
    return WrittenNumber{
        .value = minus ? -value : value, .form = Form::fraction, .rest = trimmed(scan.rest())};
}

}  // namespace

void refuse_number(const Manner& manner, std::string_view why)
{
    throw UnitError(quoted(manner.shown).append(" is not a number with a unit: ").append(why));
}

std::optional<double> power_of_ten(long long exponent)
{
    const std::string text = "1e" + std::to_string(exponent);
    double value = 0;
    const auto error = std::from_chars(text.data(), text.data() + text.size(), value).ec;
    return error == std::errc{} ? std::optional(value) : std::nullopt;
}

WrittenNumber read_number(std::string_view text, const Manner& manner)
{
    const Scanner scan(text);
    if (const auto angle = read_angle(scan, manner)) {
        return *angle;
    }
    if (const auto fraction = read_fraction(scan, manner)) {
        return *fraction;
    }
    return read_decimal(scan, manner);
}

}  // namespace enginewright::units
