#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "enginewright/fits/limits.hpp"
#include "fits/iso_tables.hpp"

/// Classes by letter and grade: the rules of ISO 286-1 over its tables.
namespace enginewright::fits::iso {

/// The letters of shafts; those of holes are the same in capitals.
inline constexpr std::array<std::string_view, 28> shaft_letters{
    "a", "b", "c", "cd", "d", "e", "ef", "f", "fg", "g", "h", "js", "j",  "k",
    "m", "n", "p", "r",  "s", "t", "u",  "v", "x",  "y", "z", "za", "zb", "zc"};

/// A class taken apart: the letter in small letters, whom it belongs to, the grade as a number.
struct Class {
    std::string letter{};
    Part kind = Part::hole;
    int grade = 0;

    /// As it is written: "H7", "js6", "h01".
    std::string text() const;
};

/// Both deviations from the nominal size, and the one that the letter gives.
struct Deviations {
    Hundredths lower = 0;
    Hundredths upper = 0;
    Hundredths fundamental = 0;
};

/// Deviations of a class at a size in the table; where the standard has none, why not.
struct Found {
    std::optional<Deviations> deviations{};
    std::string reason{};
};

/// Deviations of a class at a size above 0 and up to 500 mm.
Found deviations(const Class& of, double size);

/// A grade's number, -1 for IT01, from the many ways to write it; refused by name.
int grade_number(std::string_view name, const GradeName& grade);

/// Refuses a size that no table reaches.
void require_nominal(double size);

/// The record of a class whose deviations are known.
Limits limits_of(const Class& of, double size, const Deviations& found);

}  // namespace enginewright::fits::iso
