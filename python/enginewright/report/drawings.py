"""The figures of a paper: which bench shows what."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING

from enginewright._lines import Line, is_plan
from enginewright._rows import FindingRow
from enginewright._sizes import sizes
from enginewright.report.benches import bench_of
from enginewright.report.blocks import Drawing
from enginewright.report.desk import Desk

if TYPE_CHECKING:
    from enginewright.plots import Picture
    from enginewright.report.plans import SetPlan

__all__ = ["drawings", "ladder"]

#: Judged parts that make a strip worth its paper.
FEWEST = 3
#: Height of a strip that leaves room on its page for the table it belongs to, mm.
TALLEST = 105.0


def drawings(
    desk: Desk, bench: str, *, worn: bool = True, among: Iterable[Line] | None = None
) -> Iterator[Drawing]:
    """Draw what belongs to the results of a bench: wear (if `worn`), ring gaps, verdict strip.

    among  the lines of the section that the drawings stand in; None: all that count
    """
    if not desk.figures:
        return
    from enginewright import plots

    found = desk.now if among is None else tuple(among)
    inch = _inch(desk, bench)
    wear = _some(found, lambda row: row.check == "wear" and row.feature == "bore")
    if (
        bench == "cylinders"
        and worn
        and wear
        and sizes(desk.findings, "bore", readings=desk.readings)
    ):
        name = desk.figure_name("wear map")
        shown = plots.wear_map(desk.findings, desk.readings, inch=inch, name=name, words=desk.say)
        yield _drawing(shown)
    gaps = _some(found, lambda row: row.check == "ring gap" and row.value is not None)
    if bench == "rings" and gaps:
        name = desk.figure_name("ring gaps")
        shown = plots.ring_gaps(gaps, desk.readings, inch=inch, name=name, words=desk.say)
        yield _drawing(shown)
    yield from _liners(desk, bench, found)
    yield from _weights(desk, bench, found)
    yield from _bolts(desk, bench, found)
    judged = _some(found, lambda row: bench_of(row.feature) == bench and row.check != "ring gap")
    # One or two parts are read faster from the table.
    parts = {(row.feature, row.number, row.part, row.check) for row in judged if _stands(row)}
    if len(parts) >= FEWEST:
        name = desk.figure_name(f"verdicts {bench}")
        facts = desk.facts
        shown = plots.verdicts(
            judged,
            rule=facts.rule,
            level=facts.level,
            tallest=TALLEST,
            inch=inch,
            name=name,
            words=desk.say,
        )
        yield _drawing(shown)


def _liners(desk: Desk, bench: str, found: Iterable[Line]) -> Iterator[Drawing]:
    """Draw how the liners stand over the deck, on the shims that were chosen for them."""
    from enginewright import plots
    from enginewright.report.standing import liner_records

    rows = list(_some(found, lambda row: row.check == "liner standing"))
    records = liner_records(desk, rows) if rows and bench == "cylinders" else None
    if records is None:
        return
    limit = next(row for row in rows if row.quantity == "protrusion")
    shown = plots.liners(
        *records, lower=limit.lower, upper=limit.upper, inch=_inch(desk, bench),
        name=desk.figure_name("liners"), words=desk.say,
    )  # fmt: skip
    yield _drawing(shown)


def _weights(desk: Desk, bench: str, found: Iterable[Line]) -> Iterator[Drawing]:
    """Draw the sets of this bench that must be brought to one weight."""
    from enginewright import plots
    from enginewright.report.weights import ENDS, mass_plan, rod_plan

    sets = _some(found, lambda row: row.check == "mass match" and bench_of(row.feature) == bench)
    apart = [row for row in sets if row.verdict == "outside"]
    both = rod_plan(desk, sets) if any(row.part in ENDS for row in apart) else None
    if both is not None:
        plan, names = both
        name = desk.figure_name("rods at pads")
        yield _drawing(plots.rods_at_pads(plan, names=names, name=name, words=desk.say))
    for row in apart:
        own = None if both and row.part in ENDS else mass_plan(desk, row)
        if own is not None:
            plan, names = own
            name = desk.figure_name(f"gram scale {row.feature} {row.part}".strip())
            yield _drawing(plots.gram_scale(plan, names=names, name=name, words=desk.say))


def _bolts(desk: Desk, bench: str, found: Iterable[Line]) -> Iterator[Drawing]:
    """Draw the sets of bolts that do not all go in again."""
    from enginewright import plots
    from enginewright.report.weights import bolt_records

    for row in _some(found, lambda row: row.check == "bolt reuse" and bench == "fasteners"):
        records, names = bolt_records(desk, row) if row.verdict == "outside" else ([], [])
        if records:
            name = desk.figure_name(f"bolts {row.part}".strip())
            yield _drawing(plots.bolt_lineup(records, names=names, name=name, words=desk.say))


def ladder(desk: Desk, row: FindingRow, plan: SetPlan) -> Iterator[Drawing]:
    """Draw the journals of a regrind over the undersizes."""
    if not desk.figures or row.check != "regrind":
        return
    from enginewright import plots

    shown = plots.undersizes(
        plan.sizes, plan.record, standard_lower=plan.standard[0], standard_upper=plan.standard[1],
        steps=plan.steps, feature=row.feature, inch=desk.inch.get(row.index, False),
        name=desk.figure_name("undersizes"), words=desk.say,
    )  # fmt: skip
    yield _drawing(shown)


def _drawing(shown: Picture) -> Drawing:
    return Drawing(shown.to_svg(), shown.title, shown.description)


def _inch(desk: Desk, bench: str) -> bool:
    """Say whether most figures of a bench were written in the inch family."""
    own = [
        desk.inch.get(row.index, False)
        for row in desk.finding_rows
        if bench_of(row.feature) == bench
    ]
    return 2 * sum(own) > len(own)


def _stands(row: FindingRow) -> bool:
    return row.verdict != "unlimited" and row.value is not None and not is_plan(row)


def _some(found: Iterable[Line], wanted: Callable[[FindingRow], bool]) -> tuple[FindingRow, ...]:
    """Give the findings which a figure is about."""
    return tuple(row for line in found for row in line.findings if wanted(row))
