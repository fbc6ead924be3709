#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "json.hpp"
#include "table/faults.hpp"

/// Figures of limits, cards and gauges: texts with their unit, or numbers beside a key `unit`.
namespace enginewright::table {

/// A figure in its canonical unit, and how it was written.
struct Figure {
    double value = 0;
    std::string unit{};
    std::string given_unit{};
    std::string dimension{};
};

/// Where a fault is said to stand, and where it goes.
struct Place {
    std::string text{};
    Faults& faults;

    void fault(std::string_view what) const { faults.add(text, what); }
};

/// Reads one figure; a fault and nothing when it is none.
///
/// key        its name, for the fault
/// written    a text with its unit, or a number
/// unit       unit of a number that has none; empty: it must have its own
/// dimension  it must be of; empty: any
std::optional<Figure> figure(const Place& place, std::string_view key, const Json& written,
                             std::string_view unit, std::string_view dimension);

/// A text; a fault and nothing when it is none.
std::optional<std::string> text_of(const Place& place, std::string_view key, const Json& written);

/// A whole number of at least `least`, also as text ("3"); a fault and nothing when it is none.
std::optional<int> whole_of(const Place& place, std::string_view key, const Json& written,
                            int least);

/// A plain number, also as text; a fault and nothing when it is none.
std::optional<double> number_of(const Place& place, std::string_view key, const Json& written);

/// Whether somebody wrote something: not null, no empty text.
bool says_something(const Json& written);

/// What was written, for a fault: "'86.1'", "86.1", "a list".
std::string shown(const Json& written);

/// A list of objects at one key; faults when it is none. Absent: empty.
std::vector<const Json*> objects_at(const Json& file, std::string_view key, const Place& place);

}  // namespace enginewright::table
