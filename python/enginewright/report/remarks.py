"""What was written beside readings, put where a paper speaks of the part: once, and short."""

from __future__ import annotations

from collections.abc import Iterable

from enginewright._lines import Line
from enginewright._rows import FindingRow, ReadingRow
from enginewright.report.desk import Desk

__all__ = ["remarks", "remarks_of_part", "with_remarks"]

#: Letters of one remark that a cell bears.
LONGEST = 80


def remarks(desk: Desk, line: Line) -> str:
    """Give the remarks beside the readings of a line; of a whole set with the part's number."""
    indices = dict.fromkeys(i for row in line.findings for i in row.readings)
    return _told(desk, _rows(desk, indices), line.worst.number)


def remarks_of_part(desk: Desk, row: FindingRow, number: int) -> str:
    """Give the remarks beside the readings of one part of a finding about its whole set."""
    own = (read for read in _rows(desk, row.readings) if read.number == number)
    return _told(desk, own, number)


def with_remarks(text: str, told: str) -> str:
    """Put remarks behind what else stands under the name of a part."""
    return " · ".join(filter(None, (text, told)))


def _rows(desk: Desk, indices: Iterable[int]) -> list[ReadingRow]:
    known = desk.reading_rows
    return [known[i] for i in indices if i < len(known) and known[i].note.strip()]


def _told(desk: Desk, rows: Iterable[ReadingRow], number: int | None) -> str:
    """Say each remark once in a paper: beside the first line that speaks of its part."""
    texts = []
    for row in rows:
        text = " ".join(row.note.split())
        key = (row.stage, row.feature, row.number, text)
        if key in desk.remarked:
            continue
        desk.remarked.add(key)
        short = text if len(text) <= LONGEST else text[: LONGEST - 1].rstrip() + "…"
        # A remark about one part of a set says of which.
        alone = row.number is None or row.number == number
        which = "remark" if alone else "remark_of"
        texts.append(desk.say(f"tasks.{which}", text=short, number=row.number))
    return desk.say("outcome.join").join(dict.fromkeys(texts))
