"""How many findings bear each verdict: counted and worded in one place.

Screen, workbook and paper say how a job went; nobody should find two different sums of one job.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from enginewright._lines import is_plan
from enginewright._rows import FindingRow
from enginewright._words import Words

__all__ = ["MARKS", "counted", "mark_of", "told"]

#: What a finding counts as, in the order in which it is told.
MARKS = ("outside", "unproven", "within", "unlimited", "plan")


def mark_of(row: FindingRow) -> str:
    """Give what a finding counts as: a plan that solves the matter is not without a limit."""
    return "plan" if is_plan(row) and row.verdict == "unlimited" else row.verdict


def counted(rows: Iterable[FindingRow]) -> Counter[str]:
    """Count findings by what they count as."""
    return Counter(mark_of(row) for row in rows)


def told(counts: Mapping[str, int], say: Words, *, zeros: bool = False) -> str:
    """Say the counts in one line: "24 outside, 12 unproven, 86 within, 17 no limit, 3 plans".

    zeros  verdicts that no finding bears are said too; plans never
    """
    parts = []
    for mark in MARKS:
        count = counts.get(mark, 0)
        if count or (zeros and mark != "plan"):
            key = "plans" if mark == "plan" and count != 1 else mark
            parts.append(say(f"outcome.{key}", count=count))
    return say("outcome.join").join(parts)
