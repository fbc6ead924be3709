"""Piston rings: end gaps, clearances in the groove, and which ring goes in which bore.

What goes wrong here: the gap is read at the worn top of a bore and the ring butts lower down (read
it at the smallest place that the ring passes); a set is gapped before the last hone; one figure is
used for road and boost; the second ring is tighter than the top one, so that pressure between the
two lifts the top ring; a ring is filed that fitted another bore as it was.

`gap_at_bore` carries a gap from one bore to another, `gap_by_rule` gives a starting figure where
the maker gives none, `gap_plan` says which ring goes where and what comes off its ends, and
`second_ring` compares the two gaps.

    plan = ew.rings.gap_plan([0.31, 0.36, 0.28], target=0.35,
                             bores=[86.01, 86.00, 86.02], reference_bore=86.00)
    plan.rings, plan.filing, plan.next

Caution: file inwards, from one end only, and take the burr off with a fine stone. Rings are sharp
and they break: protect your eyes. Mark each ring for its cylinder, clean it, measure again. The
rules here are starting points for petrol engines; the piston and ring maker's sheet goes first. A
gap that is too wide costs a little power; ends that butt break the land and the engine.
"""

from enginewright import _core

GapPlan = _core.rings.GapPlan
GapRule = _core.rings.GapRule
LeakArea = _core.rings.LeakArea
RuleGap = _core.rings.RuleGap
SecondRing = _core.rings.SecondRing
back_clearance = _core.rings.back_clearance
gap_at_bore = _core.rings.gap_at_bore
gap_by_rule = _core.rings.gap_by_rule
gap_plan = _core.rings.gap_plan
gap_rules = _core.rings.gap_rules
hot_gap = _core.rings.hot_gap
leak_area = _core.rings.leak_area
second_ring = _core.rings.second_ring
side_clearance = _core.rings.side_clearance
thermal_gap = _core.rings.thermal_gap

__all__ = [
    "GapPlan",
    "GapRule",
    "LeakArea",
    "RuleGap",
    "SecondRing",
    "back_clearance",
    "gap_at_bore",
    "gap_by_rule",
    "gap_plan",
    "gap_rules",
    "hot_gap",
    "leak_area",
    "second_ring",
    "side_clearance",
    "thermal_gap",
]
