#include <algorithm>
#include <charconv>
#include <cmath>
#include <string>

#include "units/number.hpp"
#include "units/text.hpp"

/// Decimals: which of their marks is the decimal one.
namespace enginewright::units {

namespace {

bool is_mark(char sign) { return sign == '.' || sign == ','; }
bool is_blank_group(char sign) { return sign == ' ' || sign == '\''; }

/// Whether exactly three digits stand at a place.
bool three_digits_at(std::string_view text, std::size_t at)
{
    std::size_t count = 0;
    while (count < 4 && at + count < text.size() && is_digit(text[at + count])) {
        ++count;
    }
    return count == 3;
}

/// A first group: one to three digits, the first not 0. "0 250" are two readings, not 250.
bool can_start_groups(std::string_view digits)
{
    return !digits.empty() && digits.size() <= 3 && digits.front() != '0';
}

/// How far digits, points, commas and groups behind blanks or apostrophes reach.
std::size_t length_of_run(std::string_view text)
{
    char group = '\0';
    bool marked = false;
    std::size_t at = 0;
    for (; at < text.size(); ++at) {
        const char sign = text[at];
        if (is_mark(sign)) {
            marked = true;
            continue;
        }
        if (is_digit(sign)) {
            continue;
        }
        const bool first = group == '\0' && can_start_groups(text.substr(0, at));
        if (!is_blank_group(sign) || marked || !(first || group == sign) ||
            !three_digits_at(text, at + 1)) {
            break;
        }
        group = sign;
    }
    return at;
}

/// Whether the marks of one kind cut the digits into a first group and groups of three.
bool groups_in_threes(std::string_view digits, char mark)
{
    auto at = digits.find(mark);
    if (at == std::string_view::npos) {
        return true;
    }
    if (!can_start_groups(digits.substr(0, at))) {
        return false;
    }
    for (; at != std::string_view::npos; at = digits.find(mark, at + 1)) {
        if (!three_digits_at(digits, at + 1)) {
            return false;
        }
    }
    return true;
}

void require_groups(std::string_view digits, char mark, const Manner& manner)
{
    if (!groups_in_threes(digits, mark)) {
        refuse_number(manner, std::string("its '") + mark + "' does not group digits in threes");
    }
}

/// The run with one decimal mark, all others before it and grouping in threes.
char with_decimal_mark(std::string_view run, char mark, const Manner& manner)
{
    const char other = mark == '.' ? ',' : '.';
    const auto at = run.find(mark);
    if (std::count(run.begin(), run.end(), mark) > 1) {
        refuse_number(manner, "it has more than one decimal mark");
    }
    const auto before = run.substr(0, at);
    require_groups(before, other, manner);
    if (before.find(other) != std::string_view::npos &&
        before.find_first_of(" '") != std::string_view::npos) {
        refuse_number(manner, "it has two kinds of group marks");
    }
    if (at != std::string_view::npos && run.find(other, at) != std::string_view::npos) {
        refuse_number(manner, "a group mark stands behind its decimal mark");
    }
    return mark;
}

/// A single comma: the decimal mark, except where it can as well be a group mark.
char single_comma(std::string_view run, const Manner& manner)
{
    const auto at = run.find(',');
    const auto before = run.substr(0, at);
    const auto behind = run.substr(at + 1);
    if (behind.empty()) {
        refuse_number(manner, "nothing stands behind its comma");
    }
    if (behind.size() == 3 && can_start_groups(before)) {
        throw UnitError(quoted(manner.shown)
                            .append(" can be ")
                            .append(before)
                            .append(".")
                            .append(behind)
                            .append(" or ")
                            .append(before)
                            .append(" ")
                            .append(behind)
                            .append("; pass decimal=\",\" or decimal=\".\""));
    }
    return ',';
}

/// The decimal mark of a run, or a mark that it does not hold.
char decimal_mark(std::string_view run, const Manner& manner)
{
    if (manner.decimal != Decimal::automatic) {
        return with_decimal_mark(run, manner.decimal == Decimal::point ? '.' : ',', manner);
    }
    const auto points = std::count(run.begin(), run.end(), '.');
    const auto commas = std::count(run.begin(), run.end(), ',');
    if (points > 0 && commas > 0) {
        return with_decimal_mark(run, run[run.find_last_of(".,")], manner);
    }
    if (points > 1 || commas > 1) {
        // All of them group, so the mark of the decimals is the one that is absent.
        return with_decimal_mark(run, points > 1 ? ',' : '.', manner);
    }
    return commas == 1 ? single_comma(run, manner) : '.';
}

/// Takes an exponent when there is a whole one: "5 e" is a unit that starts with e.
std::string_view take_exponent(Scanner& scan)
{
    Scanner ahead = scan;
    if (!(ahead.take("e") || ahead.take("E"))) {
        return {};
    }
    const auto all = ahead.rest();
    ahead.take_minus();
    if (ahead.take_digits().empty()) {
        return {};
    }
    scan = ahead;
    return all.substr(0, all.size() - ahead.rest().size());
}

/// Place value of the last written digit.
std::optional<double> place_of(int decimals, std::string_view exponent)
{
    long long power = 0;
    if (exponent.starts_with('+')) {
        exponent.remove_prefix(1);
    }
    if (std::from_chars(exponent.data(), exponent.data() + exponent.size(), power).ec ==
        std::errc::result_out_of_range) {
        return std::nullopt;
    }
    return power > 1000 || power < -1000 ? std::nullopt : power_of_ten(power - decimals);
}

}  // namespace

WrittenNumber read_decimal(Scanner scan, const Manner& manner)
{
    std::string plain = scan.take_minus() ? "-" : "";
    const auto run = scan.take_count(length_of_run(scan.rest()));
    if (std::none_of(run.begin(), run.end(), is_digit)) {
        refuse_number(manner, run.empty() && !scan.rest().empty() ? "it starts with no number"
                                                                  : "it holds no number");
    }
    const char mark = decimal_mark(run, manner);
    int decimals = 0;
    bool behind = false;
    for (const char sign : run) {
        if (is_digit(sign)) {
            plain += sign;
            decimals += behind ? 1 : 0;
        } else if (sign == mark) {
            plain += '.';
            behind = true;
        }
    }
    const auto exponent = take_exponent(scan);
    if (!exponent.empty()) {
        plain.append("e").append(exponent.starts_with('+') ? exponent.substr(1) : exponent);
    }
    double value = 0;
    const auto error = std::from_chars(plain.data(), plain.data() + plain.size(), value).ec;
    if (error != std::errc{} || !std::isfinite(value)) {
        refuse_number(manner, "it is too large or too small to be held");
    }
    return {.value = value,
            .place = place_of(decimals, exponent),
            .form = Form::decimal,
            .rest = trimmed(scan.rest())};
}

}  // namespace enginewright::units
