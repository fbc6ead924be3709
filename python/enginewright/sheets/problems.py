"""What could not be read, cell by cell: severity, place, what was found, what to do.

A problem is content, so it is collected and never raised; `SheetError` is for a file that cannot be
read at all, for a map that is not valid, and for whoever asks for a clean reading.
"""

from __future__ import annotations

import html
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from typing import Any, overload

from enginewright.sheets.grid import cell_name

__all__ = ["Problem", "Problems", "SAVE_AS", "SheetError", "counted"]

SAVE_AS = "save it as .xlsx or CSV"
_ORDER = {"error": 0, "warning": 1, "note": 2}


def counted(count: int, word: str) -> str:
    """Return a count with its word: "1 error", "3 errors"."""
    if count == 1:
        return f"1 {word}"
    return f"{count} {' or '.join(f'{each}s' for each in word.split(' or '))}"


class SheetError(ValueError):
    """An unreadable file, or a map that is not valid: one sentence a fault, with its place."""


@dataclass(frozen=True)
class Problem:
    """One thing that a sheet said and that was not understood as it stands.

    An *error* cost at least one cell; a *warning* cost nothing but should be looked at; a *note*
    says how something was understood.
    """

    severity: str
    code: str
    message: str
    file: str = ""
    sheet: str = ""
    row: int | None = None
    column: int | None = None
    found: str = ""
    suggestion: str = ""

    @property
    def place(self) -> str:
        """Where it is, as a person says it: "Block!C14", "Block, row 14", "received.xlsx"."""
        if self.row is not None and self.column is not None:
            return cell_name(self.sheet, self.row, self.column)
        if self.row is not None:
            return f"{self.sheet}, row {self.row}"
        if self.column is not None:
            return f"{cell_name(self.sheet, None, self.column)}"
        return self.sheet or self.file

    def __str__(self) -> str:
        """Return the line that goes to the screen."""
        tail = f"; {self.suggestion}" if self.suggestion else ""
        return f"{self.severity}: {self.place}: {self.message}{tail}"

    def as_dict(self) -> dict[str, Any]:
        """Return the fields by name, in the order in which a person reads them."""
        fields = asdict(self)
        order = ("severity", "code", "file", "sheet", "row", "column", "found", "message")
        return {name: fields[name] for name in (*order, "suggestion")}


class Problems(Sequence[Problem]):
    """All problems of a reading, errors first, then in the order of the file."""

    def __init__(self, problems: Iterable[Problem] = ()) -> None:
        self._problems = tuple(sorted(problems, key=lambda problem: _ORDER[problem.severity]))

    @overload
    def __getitem__(self, index: int) -> Problem: ...
    @overload
    def __getitem__(self, index: slice) -> Problems: ...
    def __getitem__(self, index: int | slice) -> Problem | Problems:
        if isinstance(index, slice):
            return Problems(self._problems[index])
        return self._problems[index]

    def __len__(self) -> int:
        return len(self._problems)

    def __iter__(self) -> Iterator[Problem]:
        return iter(self._problems)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Problems) and self._problems == other._problems

    def __hash__(self) -> int:
        return hash(self._problems)

    def __add__(self, other: Iterable[Problem]) -> Problems:
        return Problems((*self._problems, *other))

    @property
    def errors(self) -> Problems:
        """Those that cost at least one cell."""
        return self._of("error")

    @property
    def warnings(self) -> Problems:
        """Those that cost nothing and should be looked at."""
        return self._of("warning")

    @property
    def notes(self) -> Problems:
        """How something was understood."""
        return self._of("note")

    def _of(self, severity: str) -> Problems:
        return Problems(problem for problem in self._problems if problem.severity == severity)

    def as_dict(self) -> dict[str, list[Any]]:
        """Return the columns by name: `pandas.DataFrame(problems.as_dict())` is the frame."""
        rows = [problem.as_dict() for problem in self._problems]
        names = Problem("note", "", "").as_dict()
        return {name: [row[name] for row in rows] for name in names}

    def __repr__(self) -> str:
        counts = ", ".join(
            counted(len(self._of(severity)), severity) for severity in _ORDER if self._of(severity)
        )
        lines = [
            f"Problems: {counts or 'none'}",
            *(str(problem) for problem in self._problems[:20]),
        ]
        if len(self) > 20:
            lines.append(f"... and {len(self) - 20} more")
        return "\n".join(lines)

    def _repr_html_(self) -> str:
        cells = [
            (problem.severity, problem.place, problem.found, problem.message, problem.suggestion)
            for problem in self._problems[:20]
        ]
        body = "".join(
            "<tr>" + "".join(f"<td>{html.escape(text)}</td>" for text in row) + "</tr>"
            for row in cells
        )
        heads = "".join(
            f"<th>{text}</th>" for text in ("severity", "place", "found", "message", "suggestion")
        )
        more = f"<p>and {len(self) - 20} more</p>" if len(self) > 20 else ""
        return f"<table><thead><tr>{heads}</tr></thead><tbody>{body}</tbody></table>{more}"
