#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>

/// What a reading's repeatability came from, so that more readings can be thought through.
namespace enginewright::measure {

/// How one term of a reading's doubt was found: the one that more readings make smaller.
///
/// `slope` is what one millimetre of it moves the size by, 1 but for the warmth of the part.
struct Repeats {
    std::optional<std::uint64_t> source{};  ///< of the term, in the size; absent: no such term
    double slope = 1;                       ///< of the size along the term
    double resolution = 0;                  ///< smallest step of the gauge, mm
    std::optional<double> record{};         ///< standard deviation on the gauge's card, mm
    double record_freedom = std::numeric_limits<double>::infinity();
    bool operator==(const Repeats&) const = default;
};

/// The term itself for a count of readings: standard uncertainty and degrees of freedom.
struct Repeatability {
    double uncertainty = 0;
    double freedom = std::numeric_limits<double>::infinity();
    bool assessed = false;    ///< false: one reading, and nothing on the card
    bool stands_out = false;  ///< the readings scatter more than the card allows
    bool by_resolution = false;
    bool operator==(const Repeatability&) const = default;
};

/// Repeatability of the mean of some readings, or the gauge's resolution where that is larger.
///
/// The scatter s / sqrt(n) with n - 1 degrees of freedom, or the recorded repeatability / sqrt(n)
/// with its own, whichever has more (on a tie the record). When s stands out of the record by the F
/// test at 99 %, s counts. Resolution / sqrt(12) takes the place of either when it is larger:
/// scatter contains rounding already.
///
/// repeats    resolution and record of the gauge
/// count      how many readings, at least 1
/// deviation  their standard deviation, mm; absent: a single reading
///
/// Source: JCGM 100:2008, 4.2.3, F.2.2.1; ISO 14253-2 (resolution or scatter, not both).
Repeatability repeatability(const Repeats& repeats, std::size_t count,
                            std::optional<double> deviation);

}  // namespace enginewright::measure
