#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <initializer_list>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "enginewright/check.hpp"
#include "enginewright/measure.hpp"

/// Sets of figures beside one limit, and targets between limits: what several benches ask.
namespace enginewright::judging {

/// The verdicts of a set, and what there is to say of those that are not within.
struct JudgedSet {
    std::vector<Standing> verdicts{};
    Standing verdict = Standing::unlimited;  ///< the worst
    std::vector<std::string> outside{};      ///< a sentence each
    std::vector<std::string> unproven{};
};

/// Judges each figure with its own standard uncertainty.
///
/// what  names figure i in its sentence: "run-out of journal 3"
/// unit  of the figures: "mm" or "degrees"
JudgedSet judge_set(std::span<const double> figures, std::span<const double> uncertainties,
                    std::optional<double> lower, std::optional<double> upper,
                    const std::function<std::string(std::size_t)>& what,
                    std::string_view unit = "mm");

/// The worst verdict of some sets and their reasons in one line, what is outside first.
Standing worst_of(std::initializer_list<const JudgedSet*> sets);
std::string reasons_of(std::initializer_list<const JudgedSet*> sets);

/// Refuses limits that are no lengths or cross.
void require_limits(double lower, double upper);

/// The middle of the limits, or the target given; refused when it lies outside them.
double target_between(double lower, double upper, std::optional<double> target);

/// Refuses a set of another size: "journals must hold 5 readings, one a housing bore, got 4".
void require_count(std::string_view name, std::size_t got, std::size_t wanted,
                   std::string_view each);

/// Refuses a set that is empty, or an element in it that is no size.
void require_sizes(std::string_view name, std::span<const double> sizes);

/// Refuses a list in which a size stands twice.
void require_different(std::string_view name, std::span<const double> sizes);

/// Refuses a stock of another length than the sizes, or a count below 0.
void require_stock(std::string_view name, std::span<const int> stock, std::size_t sizes);

/// Limits and fits are kept with this much slack in favour of the part, mm.
inline constexpr double slack = 1e-9;

inline bool inside(double value, double lower, double upper)
{
    return value >= lower - slack && value <= upper + slack;
}

/// A distance as selections compare it: whole tenths of a nanometre, so that equal is equal.
inline std::int64_t whole(double distance) { return std::llround(std::abs(distance) * 1e10); }

}  // namespace enginewright::judging
