"""The shop's own history: forty honed bores, a year of a grinder, the monthly check of a ring.

What goes wrong here: noise is taken for a fault and the machine is re-set until it really scatters;
a slow drift is missed because each part was within its limits; a Cpk is quoted from six parts.

`chart` says what the process does by itself and which points speak against it, `capability` whether
it keeps its drawing and how surely that is known, `trend` whether it drifts and when it is due,
`drift_chart` watches a gauge's check standard, `summary` gives the plain figures. Any one unit, in
the order in which the parts were made.

    hone = ew.stats.chart(bores)                     # steady first,
    ew.stats.capability(bores, 82.000, 82.020)       # then able
    ew.stats.trend(days, journals, upper=47.995).due

`DEFAULT` holds the patterns that are looked for when no `rules` are named.

Caution: limits of a chart are what the process does, limits of a drawing what the engine needs;
neither replaces the other. A verdict on one part comes from `measure.check`, never from a chart.
"""

from enginewright import _core

DEFAULT = _core.stats.DEFAULT
Capability = _core.stats.Capability
Chart = _core.stats.Chart
Constants = _core.stats.Constants
DriftChart = _core.stats.DriftChart
Signal = _core.stats.Signal
Summary = _core.stats.Summary
Trend = _core.stats.Trend
capability = _core.stats.capability
chart = _core.stats.chart
chart_constants = _core.stats.chart_constants
drift_chart = _core.stats.drift_chart
signals = _core.stats.signals
summary = _core.stats.summary
trend = _core.stats.trend

__all__ = [
    "DEFAULT",
    "Capability",
    "Chart",
    "Constants",
    "DriftChart",
    "Signal",
    "Summary",
    "Trend",
    "capability",
    "chart",
    "chart_constants",
    "drift_chart",
    "signals",
    "summary",
    "trend",
]
