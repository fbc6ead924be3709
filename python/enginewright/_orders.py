"""Parts to send for: pistons and shells for the sizes of the plans, rings for the new bores."""

from __future__ import annotations

from collections.abc import Sequence

from enginewright import _numbers as numbers
from enginewright._rows import FindingRow
from enginewright._words import Words

__all__ = ["part_order", "rings_by_part", "too_wide"]

#: What is fitted to a part that a plan brings to another size.
FITTED_TO = {
    "bore": "piston", "main journal": "main bearing", "big-end journal": "big-end bearing",
}  # fmt: skip


def part_order(row: FindingRow, say: Words, *, rings: bool = False) -> tuple[str, str]:
    """Say what a regrind or rebore asks for, and the size that it must fit.

    rings  no ring of the job was measured: they are ordered with their pistons

    Returns
    -------
    tuple of two str
        "pistons 0.50 mm over", "86.500 mm".
    """
    step = f"{row.value:.2f} mm"
    fitted = FITTED_TO.get(row.feature, "")
    if row.check == "rebore":
        size = numbers.figure(row.target, "mm").first
        return say(f"tasks.order_pistons{'_and_rings' if rings else ''}", step=step), size
    size = numbers.band(row.lower, row.upper, "mm", say).first
    return say("tasks.order_shells", bearing=say.say("feature", fitted), step=step), size


def too_wide(row: FindingRow) -> bool:
    """Say whether a ring's gap, carried to the finished bore, is beyond its upper limit."""
    if row.check != "ring gap" or row.verdict != "outside":
        return False
    return row.value is not None and row.upper is not None and row.value > row.upper


def rings_by_part(rows: Sequence[FindingRow], say: Words) -> str:
    """Count rings by their part: "top ring: 2 (cylinders 1, 3), second ring: 1 (cylinder 2)"."""
    sets: dict[str, list[FindingRow]] = {}
    for row in rows:
        sets.setdefault(row.part, []).append(row)
    return say("outcome.join").join(_of_part(own, say) for own in sets.values())


def _of_part(rows: Sequence[FindingRow], say: Words) -> str:
    name = say.say("part", rows[0].part) or say.say("feature", rows[0].feature)
    listed = say("outcome.join").join(str(row.number) for row in rows)
    key = "ring_cylinder" if len(rows) == 1 else "ring_cylinders"
    return say("tasks.ring", part=name, count=len(rows), cylinders=say(f"tasks.{key}", list=listed))
