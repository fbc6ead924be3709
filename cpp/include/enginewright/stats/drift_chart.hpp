#pragma once

#include <span>
#include <tuple>
#include <vector>

#include "enginewright/record.hpp"

/// The chart of a gauge's check standard: small drifts, seen early.
namespace enginewright::stats {

/// Weighted averages of a row of readings, with their limits.
struct DriftChart {
    std::vector<double> points{};
    double centre = 0;
    std::vector<double> lower{};
    std::vector<double> upper{};
    std::vector<int> flagged{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"points", "", &DriftChart::points, "weighted average up to each reading"},
            Field{"centre", "", &DriftChart::centre, "what the standard should read"},
            Field{"lower", "", &DriftChart::lower, "lower limit of each point"},
            Field{"upper", "", &DriftChart::upper, "upper limit of each point"},
            Field{"flagged", "", &DriftChart::flagged, "points beyond their limits, from 0"},
        };
    }
    bool operator==(const DriftChart&) const = default;
};
static_assert(lists_every_member<DriftChart>);

/// Exponentially weighted averages of a check standard: they see a drift of one sigma in days.
///
/// The setting ring is measured every month; each point remembers the ones before:
///
///     z_0 = centre,  z_i = weight x_i + (1 - weight) z_(i-1)
///     limits = centre -+ width sigma sqrt(weight / (2 - weight) (1 - (1 - weight)^(2 i)))
///
/// values  readings of the standard, oldest first, at least 1
/// centre  what it should read: the certificate, or the mean of a good period
/// sigma   standard deviation of a reading, above 0
/// weight  of the newest reading, above 0 to 1; small sees small drifts
/// width   of the limits in sigmas of a point, above 0 to 100
/// steady  True: the limits of a long row from the first point on
///
/// Throws std::invalid_argument: no readings, figures out of range.
///
/// Source: S. W. Roberts, Technometrics 1 (1959) 239; NIST/SEMATECH e-Handbook 6.3.2.4.
///
/// >>> ring = ew.stats.drift_chart([0.1, 0.9, 1.2, 1.4, 1.1, 1.6, 1.5], 0.0, 1.0)
/// >>> ring.flagged
/// (6,)
DriftChart drift_chart(std::span<const double> values, double centre, double sigma,
                       double weight = 0.2, double width = 3.0, bool steady = false);

}  // namespace enginewright::stats
