#pragma once

#include <optional>
#include <span>
#include <tuple>

#include "enginewright/record.hpp"

/// What a row of numbers says by itself.
namespace enginewright::stats {

/// Count, mean, spread and memory of a row of numbers, in their unit.
struct Summary {
    int count = 0;
    double mean = 0;
    std::optional<double> standard_deviation{};
    double minimum = 0;
    double maximum = 0;
    double range = 0;
    double median = 0;
    std::optional<double> lag_one{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"count", "", &Summary::count, "how many"},
            Field{"mean", "", &Summary::mean, "average"},
            Field{"standard_deviation", "", &Summary::standard_deviation,
                  "with count - 1; None for one number"},
            Field{"minimum", "", &Summary::minimum, "smallest"},
            Field{"maximum", "", &Summary::maximum, "largest"},
            Field{"range", "", &Summary::range, "largest less smallest"},
            Field{"median", "", &Summary::median, "the one in the middle"},
            Field{"lag_one", "", &Summary::lag_one,
                  "correlation of each with the one before; None without spread"},
        };
    }
    bool operator==(const Summary&) const = default;
};
static_assert(lists_every_member<Summary>);

/// Mean, spread and the rest of a row of numbers.
///
/// `lag_one` near 0 says that each number stands for itself; near 1, that the process wanders: its
/// scatter then says little about the next part, and a trend or a drift chart says more.
///
///     standard_deviation = sqrt((sum of e² - (sum of e)² / n) / (n - 1)), e = value - mean
///     lag_one = sum of e_t e_(t-1) / sum of e_t²
///
/// Numbers are shifted by the first and summed with their rounding errors, so that ten million and
/// a tenth keeps its tenth. A spread below 1e-140 counts as none.
///
/// values  at least 1, finite, up to 1e100
///
/// Throws std::invalid_argument: no numbers, one that is not finite.
///
/// Source: NIST/SEMATECH e-Handbook 1.3.5.12 (lag one); two passes with correction: Chan, Golub,
///     LeVeque, American Statistician 37 (1983) 242.
///
/// >>> honed = ew.stats.summary([82.012, 82.015, 82.011, 82.014])
/// >>> round(honed.mean, 4), round(honed.standard_deviation, 5)
/// (82.013, 0.00183)
Summary summary(std::span<const double> values);

}  // namespace enginewright::stats
