"""The build sheet: what was found, what was done, what was made, and who stands for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from enginewright._lines import Line, is_plan
from enginewright.report import sections
from enginewright.report.balancing import balance_record, is_balance
from enginewright.report.benches import BENCHES, arranged, bench_of
from enginewright.report.blocks import Block, Cell, Column, Heading, Points, SignOff, Table
from enginewright.report.classes import classes
from enginewright.report.desk import NOTHING, Desk
from enginewright.report.doubts import worst_doubt
from enginewright.report.drawings import drawings

__all__ = ["build_paper"]

#: Quantities that are a room between two parts.
ROOM = ("clearance", "gap", "gap difference", "end float")


def build_paper(desk: Desk) -> Iterator[Block]:
    """Give the blocks of the build sheet."""
    say, job = desk.say, desk.facts.head
    made = [line for line in desk.now if not is_plan(line.worst)]
    left = sections.still_open(made)
    yield from sections.head(desk)
    yield from sections.outcome(desk, _outcome(desk, left))
    for key, sentences in (("found", job.found), ("done", job.done)):
        if sentences:
            yield Heading(say(f"build.{key}"))
            yield Points(sentences)
    if left:
        yield Heading(say("build.open"))
        yield _open(desk, left)
        yield from worst_doubt(desk, left)
    rooms = [line for line in made if line.worst.quantity in ROOM]
    torques = [line for line in made if line.worst.quantity == "torque"]
    apart = {id(line) for line in (*rooms, *torques)}
    sizes = [line for line in made if id(line) not in apart and not is_balance(line)]
    yield from _section(desk, "build.sizes", sizes)
    yield from _section(desk, "build.clearances", rooms)
    yield from _section(desk, "build.torques", torques)
    yield from balance_record(desk)
    yield from classes(desk)
    # Signed where the figures end, not on a page of its own behind the small print.
    yield Heading(say("sign.title"))
    places = (
        (say("sign.name"), job.signed_by), (say("sign.signature"), ""), (say("sign.date"), ""),
    )  # fmt: skip
    yield SignOff(say("sign.text"), places)
    yield from sections.customer_cautions(desk)
    yield from sections.foot(desk)


def _outcome(desk: Desk, left: Sequence[Line]) -> str:
    if not left:
        judged = any(line.verdict == "within" for line in desk.now)
        return desk.say("outcome.all_within" if judged else "outcome.none_judged")
    return desk.say("outcome.not_ready", count=len(left))


def _open(desk: Desk, left: Sequence[Line]) -> Table:
    say = desk.say
    columns = (
        Column(say("columns.part"), 2.6), Column(say("columns.read"), 2.2),
        Column(say("columns.limits"), 2.4), Column(say("columns.verdict"), 2.0),
        Column(say("columns.settle"), 4.0),
    )  # fmt: skip
    rows = tuple(
        (
            Cell(desk.part(row), desk.asked(row), strong=True), desk.value(line),
            desk.limits(row), desk.verdict(line.verdict), Cell(row.next or row.reason or NOTHING),
        )
        for line in left
        for row in (line.worst,)
    )  # fmt: skip
    return Table(columns, rows, style="results")


def _section(desk: Desk, title: str, found: Sequence[Line]) -> Iterator[Block]:
    if not found:
        return
    yield Heading(desk.say(title))
    for bench in BENCHES:
        own = arranged(line for line in found if bench_of(line.worst.feature) == bench)
        if not own:
            continue
        yield Heading(desk.say(f"benches.{bench}"), 3)
        yield from drawings(desk, bench, worn=False, among=own)
        yield _made(desk, own)


def _made(desk: Desk, found: Sequence[Line]) -> Table:
    """Give sizes as made beside those found: what the customer paid for, in two columns."""
    say = desk.say
    earlier: dict[object, Line] = {}
    for line in sorted(desk.before, key=lambda line: line.rank):
        earlier.setdefault(line.key, line)
    groups = list(sections.groups_of(found, apart=lambda line: line.key in earlier))
    shown = [earlier.get(alike[0].key) for alike in groups]
    columns = [
        Column(say("columns.part"), 2.4), Column(say("columns.asked"), 1.4),
        Column(say("columns.as_found"), 2.6), Column(say("columns.as_made"), 2.9),
        Column(desk.doubt_title(), 1.4), Column(say("columns.limits"), 2.6),
        Column(say("columns.verdict"), 1.8),
    ]  # fmt: skip
    rows = []
    for alike, old in zip(groups, shown, strict=True):
        row = alike[0].worst
        was = Cell(NOTHING) if old is None else _light(desk.value(old))
        part = Cell(desk.parts(alike), _not_finished(desk, alike[0]))
        rows.append(
            [
                part, Cell(desk.asked(row)), was, desk.values(alike), sections.doubt(desk, alike),
                desk.limits(row), desk.verdict(alike[0].verdict),
            ]
        )  # fmt: skip
    if not any(shown):
        columns.pop(2)
        for cells in rows:
            cells.pop(2)
    return Table(tuple(columns), tuple(map(tuple, rows)), style="results")


def _not_finished(desk: Desk, line: Line) -> str:
    """Name the stage of a size that was not taken again at the end: it is not a size made."""
    stage = line.worst.stage
    return "" if stage == "finished" else desk.say.say("stage", stage)


def _light(cell: Cell) -> Cell:
    return Cell(cell.text, cell.under)
