#include "fits/classes.hpp"

#include <algorithm>
#include <cctype>

#include "enginewright/check.hpp"

namespace enginewright::fits::iso {

namespace {

constexpr double greatest_size = 500;

std::string grade_text(int grade) { return grade == finest_grade ? "01" : std::to_string(grade); }

Found none(std::string reason) { return {.deviations = std::nullopt, .reason = std::move(reason)}; }

/// Deviations whose fundamental one lies below them, or above.
Found upwards(Hundredths lower, Hundredths width)
{
    return {.deviations = Deviations{lower, lower + width, lower}, .reason = {}};
}
Found downwards(Hundredths upper, Hundredths width)
{
    return {.deviations = Deviations{upper - width, upper, upper}, .reason = {}};
}

/// Why a letter has no entry at a size, in the words of the table.
std::string missing(std::string_view letter)
{
    if (letter == "t" || letter == "v" || letter == "y") {
        const char* from = letter == "t" ? "24" : letter == "v" ? "14" : "18";
        return std::string(letter) + " begins above " + from + " mm";
    }
    return std::string(letter) + " ends at 50 mm";
}

Found shaft(std::string_view letter, int grade, double size, Hundredths width)
{
    if (letter == "j") {
        const auto lower = j_deviation(grade, size);
        return lower ? upwards(*lower, width) : none("j has grades 5, 6, 7, and 8 up to 3 mm");
    }
    // The table of k is for grades 4 to 7; all others begin at the nominal size.
    if (letter == "k" && (grade < 4 || grade > 7)) {
        return upwards(0, width);
    }
    const auto given = shaft_deviation(letter, size);
    if (!given) {
        return none(missing(letter));
    }
    return letter.front() < 'h' ? downwards(*given, width) : upwards(*given, width);
}

/// What a hole of grade 3 to 8 gains over its shaft: a hole is one grade coarser than its shaft,
/// and the fit shall be the same either way round.
Hundredths delta(int grade, double size)
{
    return grade >= 3 && grade <= 8 && size > 3
               ? tolerance(size, grade) - tolerance(size, grade - 1)
               : 0;
}

/// K, M and N above IT8, where each goes its own way.
Found coarse_k_m_n(char letter, double size, Hundredths ei, Hundredths width)
{
    switch (letter) {
        case 'k':
            return size <= 3 ? downwards(0, width) : none("K above IT8 ends at 3 mm");
        case 'm':
            return downwards(-ei, width);
        default:
            if (size <= 1) {
                return none("N above IT8 begins above 1 mm");
            }
            return downwards(size <= 3 ? -ei : 0, width);
    }
}

Found hole(std::string_view letter, int grade, double size, Hundredths width)
{
    if (letter == "j") {
        const auto upper = hole_j_deviation(grade, size);
        return upper ? downwards(*upper, width) : none("J has grades 6, 7 and 8");
    }
    const auto given = shaft_deviation(letter, size);
    if (!given) {
        return none(missing(letter));
    }
    if (letter.front() < 'h') {
        return upwards(-*given, width);
    }
    const bool near = letter == "k" || letter == "m" || letter == "n";
    if (near && grade > 8) {
        return coarse_k_m_n(letter.front(), size, *given, width);
    }
    // The one cell that the standard prints otherwise than its rule gives.
    if (letter == "m" && grade == 6 && size > 250 && size <= 315) {
        return downwards(from_micrometres(-9), width);
    }
    return downwards(-*given + (grade <= (near ? 8 : 7) ? delta(grade, size) : 0), width);
}

}  // namespace

std::string Class::text() const
{
    std::string written = letter;
    if (kind == Part::hole) {
        std::transform(written.begin(), written.end(), written.begin(),
                       [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
    }
    return written + grade_text(grade);
}

Found deviations(const Class& of, double size)
{
    if (size <= 1 && of.grade >= 14) {
        return none("IT14 and coarser begin above 1 mm");
    }
    if (size <= 1 && (of.letter == "a" || of.letter == "b")) {
        return none("a and b begin above 1 mm");
    }
    const Hundredths width = tolerance(size, of.grade);
    if (of.letter == "js") {
        return {.deviations = Deviations{-width / 2, width / 2, width / 2}, .reason = {}};
    }
    if (of.letter == "h") {
        return of.kind == Part::hole ? upwards(0, width) : downwards(0, width);
    }
    return of.kind == Part::hole ? hole(of.letter, of.grade, size, width)
                                 : shaft(of.letter, of.grade, size, width);
}

int grade_number(std::string_view name, const GradeName& grade)
{
    std::string text = std::holds_alternative<int>(grade) ? std::to_string(std::get<int>(grade))
                                                          : std::get<std::string>(grade);
    std::string_view digits = text;
    if (digits.starts_with("IT")) {
        digits.remove_prefix(2);
    }
    for (int number = finest_grade; number <= coarsest_grade; ++number) {
        if (digits == grade_text(number)) {
            return number;
        }
    }
    refuse_word(name, "IT01, IT0, IT1 to IT18", text);
}

void require_nominal(double size)
{
    require_positive("size", size, "mm");
    require_at_most("size", size, greatest_size, "mm");
}

Limits limits_of(const Class& of, double size, const Deviations& found)
{
    const double lower = millimetres(found.lower);
    const double upper = millimetres(found.upper);
    return {.size = size,
            .tolerance_class = of.text(),
            .kind = of.kind,
            .lower = size + lower,
            .upper = size + upper,
            .lower_deviation = lower,
            .upper_deviation = upper,
            .tolerance = millimetres(found.upper - found.lower),
            .fundamental_deviation = millimetres(found.fundamental)};
}

}  // namespace enginewright::fits::iso
