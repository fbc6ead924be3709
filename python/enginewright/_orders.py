"""Rings that a rebore makes too wide: other rings are ordered, whatever is filed or cut."""

from __future__ import annotations

from collections.abc import Sequence

from enginewright._rows import FindingRow
from enginewright._words import Words

__all__ = ["rings_by_part", "too_wide"]


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
