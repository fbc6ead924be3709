#pragma once

#include <optional>
#include <string>

#include "enginewright/measure.hpp"

/// What to do about a verdict that the gauge could not give.
namespace enginewright::measure {

/// How an unproven verdict can be settled.
///
/// - "settled": there is nothing to settle, the verdict stands.
/// - "more readings": the same gauge decides with more readings at the same place.
/// - "better gauge": no count of readings decides; something else in the budget must shrink.
/// - "on the limit": the value lies on its limit to the last bit: no gauge will ever decide.
enum class Settling { settled, more_readings, better_gauge, on_the_limit };

}  // namespace enginewright::measure

namespace enginewright {
template <>
inline constexpr Words<4> words<measure::Settling>{
    "status", {"settled", "more readings", "better gauge", "on the limit"}};
}  // namespace enginewright

namespace enginewright::measure {

/// The next action for one unproven reading.
///
/// - `readings` is the smallest total count that decides, those already taken among them; None
///   unless the status is "more readings".
/// - `needed_uncertainty` is the standard uncertainty at which this very value would be decided by
///   its nearer limit; 0 on the limit, None without a limit.
/// - `largest_source` names the row of the budget to attack; None without any uncertainty.
///
/// Source: JCGM 106:2012, clause 8.3; JCGM 100:2008, G.4.
struct Settle {
    Settling status = Settling::settled;
    std::optional<int> readings{};
    std::optional<double> needed_uncertainty{};
    std::optional<std::string> largest_source{};
    std::string reason{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"status", "", &Settle::status, "how it can be settled"},
            Field{"readings", "", &Settle::readings, "smallest total count that decides"},
            Field{"needed_uncertainty", "mm", &Settle::needed_uncertainty,
                  "standard uncertainty that would decide"},
            Field{"largest_source", "", &Settle::largest_source, "row of the budget to attack"},
            Field{"reason", "", &Settle::reason, "what to do, in one sentence"},
        };
    }
    bool operator==(const Settle&) const = default;
};
static_assert(lists_every_member<Settle>);

/// How to settle a reading that its gauge could not prove within or outside.
///
/// What goes wrong: an unproven journal is measured three more times and the lowest figure is
/// written down; or it is measured fifty times with a gauge whose certificate alone is wider than
/// what is left to the limit. This says which of the two it is, before anybody measures.
///
/// For n readings in all, at an unchanged mean and scatter s,
///
///     u_n^2 = u_rest^2 + u_repeat(n)^2
///
/// with `u_repeat` by the rules of `reading` (the gauge's record keeps its own degrees of freedom,
/// the resolution stays the floor) and the degrees of freedom of the sum by Welch and
/// Satterthwaite. n is counted upward until the guarded verdict is within or outside.
///
///     needed_uncertainty = |margin| / z_level       (1.645 at 95 %)
///
/// A difference of readings, or any other Quantity, has no count to raise: it is settled by a
/// better gauge or not at all.
///
/// reading       as `reading` gives it
/// lower, upper  limits, inclusive, mm; None: none on that side
/// level         probability asked for, above 0.5 and below 1
/// most          greatest count of readings that anybody would take, 1 to 10000
///
/// Throws std::invalid_argument: lower above upper; level not in (0.5, 1); most out of its range.
///
/// Source: JCGM 106:2012, clause 8.3; JCGM 100:2008, G.4.
///
/// >>> card = ew.measure.gauge("bore gauge", resolution=0.001, calibration_uncertainty=0.002)
/// >>> bore = ew.measure.reading([86.095, 86.099, 86.097], card)
/// >>> ew.measure.check(bore, upper=86.099).verdict
/// 'unproven'
/// >>> settle = ew.measure.settle(bore, upper=86.099)
/// >>> settle.status, settle.readings
/// ('more readings', 9)
Settle settle(const Reading& reading, std::optional<double> lower = {},
              std::optional<double> upper = {}, double level = 0.95, int most = 50,
              const Sources& sources = Sources::shared());

}  // namespace enginewright::measure
