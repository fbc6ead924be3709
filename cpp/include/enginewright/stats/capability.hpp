#pragma once

#include <array>
#include <optional>
#include <string>
#include <tuple>

#include "enginewright/record.hpp"
#include "enginewright/stats/charts.hpp"

/// Whether a process keeps its drawing, and how surely that is known.
namespace enginewright::stats {

/// What is known about a process and its limits.
enum class Able { capable, not_capable, not_shown, no_spread };

}  // namespace enginewright::stats

namespace enginewright {
template <>
inline constexpr Words<4> words<stats::Able>{"status",
                                             {"capable", "not capable", "not shown", "no spread"}};
}  // namespace enginewright

namespace enginewright::stats {

/// Two ends of an interval.
using Interval = std::array<double, 2>;

/// The indices of a process, each with its interval: quoted alone they promise too much.
///
/// `cp` and `cpk` use the spread within subgroups (what the machine could do), `pp` and `ppk` the
/// spread of all readings (what it did). With one limit there is no `cp`, `pp` and `cpm`.
struct Capability {
    Able status = Able::not_shown;
    int count = 0;
    double mean = 0;
    double sigma_within = 0;
    double sigma_total = 0;
    std::optional<double> cp{};
    std::optional<double> cpk{};
    std::optional<double> pp{};
    std::optional<double> ppk{};
    std::optional<double> cpm{};
    std::optional<Interval> cp_interval{};
    std::optional<Interval> cpk_interval{};
    std::optional<Interval> pp_interval{};
    std::optional<Interval> ppk_interval{};
    double expected_outside = 0;
    double observed_outside = 0;
    std::string reason{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"status", "", &Capability::status, "what the ppk interval says against 1.33"},
            Field{"count", "", &Capability::count, "how many readings"},
            Field{"mean", "", &Capability::mean, "average"},
            Field{"sigma_within", "", &Capability::sigma_within, "spread inside subgroups"},
            Field{"sigma_total", "", &Capability::sigma_total, "spread of all readings"},
            Field{"cp", "", &Capability::cp, "tolerance over six sigma_within"},
            Field{"cpk", "", &Capability::cpk, "nearer limit over three sigma_within"},
            Field{"pp", "", &Capability::pp, "tolerance over six sigma_total"},
            Field{"ppk", "", &Capability::ppk, "nearer limit over three sigma_total"},
            Field{"cpm", "", &Capability::cpm, "tolerance over six root mean squares off target"},
            Field{"cp_interval", "", &Capability::cp_interval, "where cp lies at the level"},
            Field{"cpk_interval", "", &Capability::cpk_interval, "where cpk lies"},
            Field{"pp_interval", "", &Capability::pp_interval, "where pp lies"},
            Field{"ppk_interval", "", &Capability::ppk_interval, "where ppk lies"},
            Field{"expected_outside", "", &Capability::expected_outside,
                  "share outside the limits if normal"},
            Field{"observed_outside", "", &Capability::observed_outside,
                  "share of the readings outside the limits"},
            Field{"reason", "", &Capability::reason, "the finding in one sentence"},
        };
    }
    bool operator==(const Capability&) const = default;
};
static_assert(lists_every_member<Capability>);

/// Whether a process keeps its limits, with the intervals that so many readings allow.
///
/// What goes wrong: a Cpk quoted from six parts, and one quoted from a process that drifts. Look at
/// the chart first; the indices mean something when it is steady.
///
///     cp = (upper - lower) / (6 sigma_within),  pp the same with sigma_total
///     cpk = min(upper - mean, mean - lower) / (3 sigma_within),  ppk with sigma_total
///     cpm = (upper - lower) / (6 sqrt(sigma_total² + (mean - target)²))
///
/// sigma_within is the root of the mean variance of the subgroups, or for single readings the mean
/// moving range over d2(2), which counts as 0.62 (n - 1) degrees of freedom. Intervals of cp and pp
/// come from chi-square, those of cpk and ppk from
/// `estimate -+ z sqrt(1 / (9 n) + estimate² / (2 nu))`.
///
/// "capable": the whole interval of ppk lies at 1.33 or above; "not capable": all of it below;
/// "not shown": these readings cannot tell.
///
/// values        one dimension: single readings, at least 2; two: subgroups by readings
/// lower, upper  limits of the drawing, at least one
/// target        aimed at, for cpm; None: no cpm
/// level         probability of the intervals, above 0 and below 1
///
/// Throws std::invalid_argument: no limit, limits that cross, too few readings, a level out of
///     range.
///
/// Source: NIST/SEMATECH e-Handbook 6.1.6; A. F. Bissell, Applied Statistics 39 (1990) 331 (cpk);
///     1.33: common practice.
///
/// >>> hone = ew.stats.capability([[82.012, 82.015], [82.011, 82.014], [82.013, 82.016]],
/// ...                            82.000, 82.020)
/// >>> hone.status, round(hone.ppk, 2)
/// ('not shown', 1.16)
Capability capability(const Values& values, std::optional<double> lower = std::nullopt,
                      std::optional<double> upper = std::nullopt,
                      std::optional<double> target = std::nullopt, double level = 0.95);

}  // namespace enginewright::stats
