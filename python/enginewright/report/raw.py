"""The readings as they were written down, part by part in small grids."""

from __future__ import annotations

from collections.abc import Iterator

from enginewright import _numbers as numbers
from enginewright._lines import part_name
from enginewright._rows import ReadingRow
from enginewright.report.blocks import Block, Cell, Column, Heading, Table
from enginewright.report.desk import NOTHING, Desk

__all__ = ["as_written"]

#: Columns of a grid that a page bears.
WIDEST = 7
#: Readings of a kind that make a grid.
FEWEST = 3


def as_written(desk: Desk) -> Iterator[Block]:
    """Give every reading in grids: a row a part, a column a place, one grid a kind of reading."""
    if not desk.reading_rows:
        return
    say = desk.say
    yield Heading(say("readings.title"))
    several = len({row.stage for row in desk.reading_rows}) > 1
    groups: dict[tuple[str, ...], list[ReadingRow]] = {}
    for row in desk.reading_rows:
        # Rings are told apart by their part, everything else by its places.
        part = "" if row.feature == "ring" else row.part
        groups.setdefault((row.stage, row.feature, part, row.quantity), []).append(row)
    few = [row for rows in groups.values() if len(rows) < FEWEST for row in rows]
    for (stage, feature, part, quantity), rows in groups.items():
        if len(rows) < FEWEST:
            continue
        caption = ", ".join(
            text
            for text in (
                say.say("feature", feature), say.say("part", part), say.say("quantity", quantity),
                say.say("stage", stage) if several else "",
            )
            if text
        )  # fmt: skip
        yield from _grids(desk, caption, rows)
    if few:
        yield _list(desk, few, several)


def _list(desk: Desk, rows: list[ReadingRow], several: bool) -> Table:
    """Give single readings in one table: a grid of one cell each would only fill the page."""
    say = desk.say
    columns = (
        Column(say("columns.part"), 2.0), Column(say("columns.asked"), 1.0),
        Column(say("columns.at"), 1.5), Column(say("columns.read"), 1.5),
    )  # fmt: skip
    body = []
    for row in rows:
        under = say.say("stage", row.stage) if several else ""
        asked = say.say("quantity", row.quantity)
        place = _place(desk, row, rings=False)
        body.append((Cell(part_name(row, say), under), Cell(asked), Cell(place), _cell([row])))
    return Table(columns, tuple(body), say("readings.single"), "readings")


def _grids(desk: Desk, caption: str, rows: list[ReadingRow]) -> Iterator[Table]:
    say = desk.say
    places = list(dict.fromkeys(_place(desk, row) for row in rows))
    cells: dict[tuple[int | None, str], list[ReadingRow]] = {}
    for row in rows:
        cells.setdefault((row.number, _place(desk, row)), []).append(row)
    parts = list(dict.fromkeys(row.number for row in rows))
    if len(places) == 1:
        yield from _lying(desk, caption, places[0], parts, cells)
        return
    for start in range(0, len(places), WIDEST):
        shown = places[start : start + WIDEST]
        columns = (Column(say("columns.number"), 0.7), *(Column(place) for place in shown))
        body = tuple(
            (
                Cell(NOTHING if number is None else str(number), strong=True),
                *(_cell(cells.get((number, place), [])) for place in shown),
            )
            for number in parts
        )
        yield Table(columns, body, caption, "readings")


def _lying(
    desk: Desk,
    caption: str,
    place: str,
    parts: list[int | None],
    cells: dict[tuple[int | None, str], list[ReadingRow]],
) -> Iterator[Table]:
    """Lay a grid of one place on its side: the parts across, the readings in one line."""
    for start in range(0, len(parts), WIDEST):
        shown = parts[start : start + WIDEST]
        names = (NOTHING if number is None else str(number) for number in shown)
        columns = (Column(desk.say("columns.number"), 0.9), *(Column(name) for name in names))
        body = (Cell(place), *(_cell(cells[number, place]) for number in shown))
        yield Table(columns, (body,), caption, "readings")


def _place(desk: Desk, row: ReadingRow, *, rings: bool = True) -> str:
    say = desk.say
    words = [
        say.say("part", row.part) if rings and row.feature == "ring" else "",
        say.say("station", row.station),
        say.say("axis", row.axis),
        f"{row.position:g} {row.position_unit}" if row.position is not None else "",
    ]
    return " / ".join(filter(None, words)) or (say("readings.one_place") if rings else NOTHING)


def _cell(rows: list[ReadingRow]) -> Cell:
    """Show what was written at one place; repeats one after the other."""
    texts, unders = [], []
    for row in rows:
        if row.value is None:
            texts.append(row.observation)
            continue
        shown = numbers.as_written(row.value, row.unit, row.quantity)
        texts.append(shown.first)
        unders.append(shown.second)
    return Cell("; ".join(texts) or NOTHING, "; ".join(filter(None, unders)))
