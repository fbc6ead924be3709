"""What is wrong with a map: collected until all of it has been looked at, told at once by line."""

from __future__ import annotations

from collections.abc import Iterable

from enginewright.sheets import vocabulary
from enginewright.sheets.problems import SheetError
from enginewright.sheets.toml_lines import KeyPath, line_of

__all__ = ["Faults"]


class Faults:
    """What is wrong with a map, collected until all of it has been looked at."""

    def __init__(self, name: str, places: dict[KeyPath, int] | None = None) -> None:
        self.name = name
        self._places = places or {}
        self._lines: list[tuple[int, str]] = []

    def line(self, path: KeyPath) -> int | None:
        """Return the line of a key."""
        return line_of(self._places, path)

    def add(self, path: KeyPath, text: str) -> None:
        """Note a fault of a key."""
        self.add_at(self.line(path), text)

    def add_at(self, line: int | None, text: str) -> None:
        """Note a fault on a line."""
        entry = (line or 0, text)
        if entry not in self._lines:
            self._lines.append(entry)

    def unknown(self, path: KeyPath, where: str, known: Iterable[str]) -> None:
        """Note a key that this place does not have."""
        known = list(known)
        hits = vocabulary.near(str(path[-1]), known)
        told = (
            f"did you mean {' or '.join(map(repr, hits))}?"
            if hits
            else (f"known here: {', '.join(known)}")
        )
        self.add(path, f"{where} has no key {path[-1]!r}; {told}")

    def __bool__(self) -> bool:
        return bool(self._lines)

    def error(self) -> SheetError:
        """Return all faults as one refusal, in the order of the lines."""
        lines = [
            f"  line {line}: {text}" if line else f"  {text}" for line, text in sorted(self._lines)
        ]
        return SheetError("\n".join([f"{self.name} is not a valid map:", *lines]))

    def raise_any(self) -> None:
        """Refuse the map if anything was noted."""
        if self:
            raise self.error()
