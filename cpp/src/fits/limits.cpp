#include "enginewright/fits/limits.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>
#include <tuple>

#include "enginewright/check.hpp"
#include "fits/classes.hpp"

namespace enginewright::fits {

namespace {

/// Limits and windows are compared with this much slack in favour of the class, mm.
constexpr double slack = 1e-9;

[[noreturn]] void refuse_form(std::string_view example, std::string_view given)
{
    constexpr std::size_t shown = 40;
    refuse_all("designation", "be written as " + std::string(example) + ", got '" +
                                  std::string(given.substr(0, shown)) + "'");
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

std::string_view trimmed(std::string_view text)
{
    const auto first = text.find_first_not_of(' ');
    return first == std::string_view::npos
               ? std::string_view{}
               : text.substr(first, text.find_last_not_of(' ') - first + 1);
}

template <class Wanted>
std::string_view take(std::string_view& text, Wanted wanted)
{
    const auto end = std::find_if_not(text.begin(), text.end(), wanted);
    const auto taken = text.substr(0, static_cast<std::size_t>(end - text.begin()));
    text.remove_prefix(taken.size());
    return taken;
}

/// A designation taken apart: "Ø40,5 H7".
struct Designation {
    std::optional<double> size{};
    iso::Class of{};
};

/// The nominal size before a class; none when the text begins with a letter.
std::optional<double> take_size(std::string_view& text, std::string_view whole)
{
    for (const std::string_view sign : {"Ø", "ø", "⌀"}) {
        if (text.starts_with(sign)) {
            text = trimmed(text.substr(sign.size()));
            break;
        }
    }
    std::string digits(take(text, [](char c) { return is_digit(c) || c == '.' || c == ','; }));
    if (digits.empty()) {
        return std::nullopt;
    }
    std::replace(digits.begin(), digits.end(), ',', '.');
    double size = 0;
    const char* end = digits.data() + digits.size();
    if (const auto read = std::from_chars(digits.data(), end, size);
        read.ec != std::errc{} || read.ptr != end) {
        refuse_form("'40 H7'", whole);
    }
    return size;
}

iso::Class class_of(std::string_view letters, std::string_view grade, std::string_view whole)
{
    const bool capitals =
        std::all_of(letters.begin(), letters.end(), [](char c) { return c >= 'A' && c <= 'Z'; });
    const bool small =
        std::all_of(letters.begin(), letters.end(), [](char c) { return c >= 'a' && c <= 'z'; });
    if (!capitals && !small) {
        refuse_all("designation",
                   "write its letters all in capitals, a hole, or all small, a shaft, got '" +
                       std::string(whole) + "'");
    }
    std::string lower(letters);
    std::transform(lower.begin(), lower.end(), lower.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    const auto& known = iso::shaft_letters;
    if (std::find(known.begin(), known.end(), lower) == known.end()) {
        refuse_all("designation", "name a class of ISO 286, which has no letter " +
                                      std::string(letters) + ", got '" + std::string(whole) + "'");
    }
    return {.letter = lower,
            .kind = capitals ? Part::hole : Part::shaft,
            .grade = iso::grade_number("grade", std::string(grade))};
}

Designation taken_apart(std::string_view given)
{
    constexpr std::size_t longest = 40;
    std::string_view text = trimmed(given);
    if (text.size() > longest) {
        refuse_form("'40 H7'", given);
    }
    Designation found{.size = take_size(text, given)};
    text = trimmed(text);
    const auto letters = take(text, is_letter);
    const auto grade = take(text, is_digit);
    if (letters.empty() || grade.empty() || !text.empty()) {
        refuse_form("'40 H7'", given);
    }
    found.of = class_of(letters, grade, given);
    return found;
}

Limits limits_at(const iso::Class& of, double size)
{
    iso::require_nominal(size);
    const auto found = iso::deviations(of, size);
    if (!found.deviations) {
        refuse_all("designation", "name a class that ISO 286 has at " + number_text(size) +
                                      " mm: " + found.reason + ", got '" + of.text() + "'");
    }
    return iso::limits_of(of, size, *found.deviations);
}

Fit fit_of(const Limits& hole, const Limits& shaft)
{
    // From the deviations, which are exact to a hundredth of a micrometre, not from the sizes.
    const auto between = [](double a, double b) { return std::round((a - b) * 1e5) / 1e5; };
    const double least = between(hole.lower_deviation, shaft.upper_deviation);
    const double greatest = between(hole.upper_deviation, shaft.lower_deviation);
    return {.size = hole.size,
            .hole = hole,
            .shaft = shaft,
            .kind = least >= 0      ? FitKind::clearance
                    : greatest <= 0 ? FitKind::interference
                                    : FitKind::transition,
            // Plus 0: a clearance of nothing has no sign.
            .minimum_clearance = least + 0.0,
            .maximum_clearance = greatest + 0.0};
}

void require_hole(const iso::Class& of, std::string_view name)
{
    if (of.kind != Part::hole) {
        refuse_all(name, "name a hole, in capital letters, got '" + of.text() + "'");
    }
}

}  // namespace

// By value: the bindings stretch a function over arrays argument by argument.
// NOLINTNEXTLINE(performance-unnecessary-value-param)
double grade(double size, GradeName grade)
{
    iso::require_nominal(size);
    const int number = iso::grade_number("grade", grade);
    if (number >= 14 && size <= 1) {
        refuse("size", "above 1 mm for IT14 and coarser", size);
    }
    return iso::millimetres(iso::tolerance(size, number));
}

Limits limits(std::string_view designation, std::optional<double> size)
{
    const auto named = taken_apart(designation);
    if (named.size && size) {
        refuse("size", "left out where the designation says it", *size);
    }
    if (!named.size && !size) {
        refuse_all("size", "be given, or stand in the designation as in '40 H7', got '" +
                               std::string(designation) + "'");
    }
    return limits_at(named.of, named.size ? *named.size : *size);
}

Fit fit(std::string_view designation)
{
    constexpr std::string_view form = "'40 H7/p6'";
    const auto slash = designation.find('/');
    if (slash == std::string_view::npos) {
        refuse_form(form, designation);
    }
    const auto hole = taken_apart(designation.substr(0, slash));
    const auto shaft = taken_apart(designation.substr(slash + 1));
    if (!hole.size || shaft.size) {
        refuse_form(form, designation);
    }
    if (hole.of.kind != Part::hole || shaft.of.kind != Part::shaft) {
        refuse_all("designation", "name the hole first, in capitals, then the shaft, got '" +
                                      std::string(designation) + "'");
    }
    return fit_of(limits_at(hole.of, *hole.size), limits_at(shaft.of, *hole.size));
}

std::vector<Fit> classes(double size, double minimum_clearance, double maximum_clearance,
                         std::string_view hole, const std::vector<GradeName>& grades)
{
    iso::require_nominal(size);
    require_length("minimum_clearance", minimum_clearance);
    require_length("maximum_clearance", maximum_clearance);
    require_ordered("minimum_clearance", minimum_clearance, "maximum_clearance", maximum_clearance,
                    "mm");
    const auto named = taken_apart(hole);
    require_hole(named.of, "hole");
    if (named.size) {
        refuse("size", "left out of the hole's class", *named.size);
    }
    const Limits bore = limits_at(named.of, size);
    std::vector<int> numbers;
    for (std::size_t i = 0; i < grades.size(); ++i) {
        const int number = iso::grade_number(element_name("grades", i), grades[i]);
        if (std::find(numbers.begin(), numbers.end(), number) == numbers.end()) {
            numbers.push_back(number);
        }
    }
    std::vector<Fit> inside;
    for (const auto letter : iso::shaft_letters) {
        for (const int number : numbers) {
            const iso::Class of{
                .letter = std::string(letter), .kind = Part::shaft, .grade = number};
            const auto found = iso::deviations(of, size);
            if (!found.deviations) {
                continue;
            }
            Fit each = fit_of(bore, iso::limits_of(of, size, *found.deviations));
            if (each.minimum_clearance >= minimum_clearance - slack &&
                each.maximum_clearance <= maximum_clearance + slack) {
                inside.push_back(std::move(each));
            }
        }
    }
    // Whole nanometres, so that two that are equally good on paper are not parted by a last bit.
    const auto nanometres = [](double value) { return std::llround(value * 1e6); };
    const double middle = (minimum_clearance + maximum_clearance) / 2;
    const auto rank = [&](const Fit& each) {
        const double off = (each.minimum_clearance + each.maximum_clearance) / 2 - middle;
        return std::tuple(-nanometres(each.maximum_clearance - each.minimum_clearance),
                          nanometres(std::abs(off)), each.shaft.tolerance_class);
    };
    std::sort(inside.begin(), inside.end(),
              [&](const Fit& a, const Fit& b) { return rank(a) < rank(b); });
    return inside;
}

}  // namespace enginewright::fits
