"""How the liners of a job stand, as the record that their figure is drawn from."""

from __future__ import annotations

from typing import Any

from enginewright._rows import FindingRow, ReadingRow
from enginewright.report.desk import Desk
from enginewright.report.plans import card_of, length_of

__all__ = ["liner_records"]

#: Heights are drawn, slopes are not: any radius does where the card names no bore, mm.
ANY_RADIUS = 50.0
#: Figures of the record and of the findings agree so far, mm.
SAME = 1e-6


def liner_records(desk: Desk, rows: list[FindingRow]) -> tuple[Any, Any] | None:
    """Give standing and shims of the liners; None unless every flange was read all round.

    rows  the findings "liner standing" of the stage that counts
    """
    from enginewright import cylinders

    means = {row.number: row for row in rows if row.quantity == "protrusion"}
    heights = _heights(desk, list(means.values()))
    angles = {tuple(flange) for flange in heights.values()}
    if len(heights) < 2 or len(angles) != 1 or len(heights) != len(means):
        return None
    (around,) = angles
    if len(around) < 3:
        return None
    bore = length_of(card_of(desk.facts).get("bore"))
    table = [[flange[angle] for angle in around] for flange in heights.values()]
    radius = bore / 2 if bore else ANY_RADIUS
    standing = cylinders.liner_standing(table, angle=list(around), radius=radius)
    same = all(
        row.value is not None and abs(row.value - float(mean)) < SAME
        for row, mean in zip(means.values(), standing.mean, strict=True)
    )
    return (standing, _shims(desk, rows, standing)) if same else None


def _heights(desk: Desk, means: list[FindingRow]) -> dict[int, dict[float, float]]:
    """Give what was read of each flange, by angle; repeats of one place are averaged."""
    from enginewright import units

    found: dict[int, dict[float, float]] = {}
    for row in sorted(means, key=lambda row: row.number or 0):
        several: dict[float, list[float]] = {}
        for reading in _readings(desk, row):
            assert reading.value is not None and reading.position is not None
            size = float(units.convert(reading.value, reading.unit))
            several.setdefault(reading.position, []).append(size)
        found[row.number or 0] = {
            angle: sum(each) / len(each) for angle, each in sorted(several.items())
        }
    return found


def _readings(desk: Desk, row: FindingRow) -> list[ReadingRow]:
    read = (desk.reading_rows[i] for i in row.readings if i < len(desk.reading_rows))
    return [each for each in read if each.value is not None and each.position is not None]


def _shims(desk: Desk, rows: list[FindingRow], standing: Any) -> Any:
    """Give the shims that the plan chose; None where there is no plan, or not this one."""
    from enginewright import cylinders

    plan = next((row for row in rows if row.quantity == "shim deviation"), None)
    limit = next((row for row in rows if row.quantity == "protrusion"), None)
    step = next((row for row in rows if row.quantity == "step"), None)
    card = card_of(desk.facts)
    shelf = dict(dict(card.get("shelf") or {}).get("liner shim") or {})
    if plan is None or limit is None or limit.lower is None or limit.upper is None or not shelf:
        return None
    chosen = cylinders.liner_shims(
        [float(mean) for mean in standing.mean],
        [length_of(size) for size in shelf], [int(count) for count in shelf.values()],
        lower=limit.lower, upper=limit.upper, target=limit.target,
        neighbour_limit=step.upper if step is not None else None,
        most=min(max(int(card.get("most_shims") or 2), 1), 4),
    )  # fmt: skip
    same = plan.value is not None and chosen.worst_deviation is not None
    if not same or abs(float(chosen.worst_deviation) - float(plan.value or 0.0)) > SAME:
        return None
    return chosen
