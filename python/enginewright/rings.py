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

from enginewright._core.rings import (
    GapPlan,
    GapRule,
    LeakArea,
    RuleGap,
    SecondRing,
    back_clearance,
    gap_at_bore,
    gap_by_rule,
    gap_plan,
    gap_rules,
    hot_gap,
    leak_area,
    second_ring,
    side_clearance,
    thermal_gap,
)

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
