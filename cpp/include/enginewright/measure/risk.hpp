#pragma once

#include <optional>

#include "enginewright/record.hpp"

/// What a decision rule costs over many parts: bad ones passed, good ones turned away.
namespace enginewright::measure {

/// Shares of the parts of a process that are judged with a gauge, 0 to 1.
///
/// `consumer` and `producer` are shares of all parts, not of the bad or of the accepted ones:
/// `conforming - producer + consumer` is `accepted`.
///
/// Source: JCGM 106:2012, clause 9.3 (global risks).
struct Risk {
    double consumer = 0;
    double producer = 0;
    double accepted = 0;
    double conforming = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"consumer", "", &Risk::consumer, "bad parts that are accepted, share of all"},
            Field{"producer", "", &Risk::producer, "good parts that are rejected, share of all"},
            Field{"accepted", "", &Risk::accepted, "parts that are accepted"},
            Field{"conforming", "", &Risk::conforming, "parts that are good"},
        };
    }
    bool operator==(const Risk&) const = default;
};
static_assert(lists_every_member<Risk>);

/// The risks of judging many parts with a gauge that has doubt.
///
/// What goes wrong: a guard band is chosen by feel. A wide one sends good parts back to the hone, a
/// narrow one sends bad ones to the customer; this says how many of each.
///
/// Parts have sizes of the normal distribution (mean, deviation), the gauge adds a normal error of
/// its own, and a part is accepted when its indication lies within the acceptance limits `lower +
/// guard` and `upper - guard`:
///
///     consumer = integral over the sizes outside the limits of density * P(accepted | size)
///     producer = integral over the sizes inside the limits of density * P(rejected | size)
///
/// A negative guard accepts beyond the limits. When the guard leaves no acceptance zone nothing is
/// accepted. Absolute error below 1e-10.
///
/// mean                  of the parts' sizes, in the unit of the limits
/// deviation             standard deviation of the parts' sizes; 0: all parts are alike
/// standard_uncertainty  of one indication, k = 1; 0: the gauge sees the size itself
/// lower, upper          limits, inclusive; None: none on that side
/// guard                 width of the guard band on either side
///
/// Throws std::invalid_argument: a deviation or uncertainty below 0, limits that cross.
///
/// Source: JCGM 106:2012, clause 9.5.3 and formulas 17 to 20.
///
/// >>> process = dict(mean=86.005, deviation=0.002, standard_uncertainty=0.001)
/// >>> plain = ew.measure.risk(**process, lower=86.0, upper=86.01)
/// >>> guarded = ew.measure.risk(**process, lower=86.0, upper=86.01, guard=0.00165)
/// >>> round(plain.consumer, 4), round(guarded.consumer, 4)
/// (0.0037, 0.0002)
/// >>> round(plain.producer, 4), round(guarded.producer, 4)
/// (0.0166, 0.1219)
Risk risk(double mean, double deviation, double standard_uncertainty,
          std::optional<double> lower = {}, std::optional<double> upper = {}, double guard = 0.0);

}  // namespace enginewright::measure
