"""From figures to places on the board, and labels that keep out of each other's way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["Scale", "apart"]


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight scale: `low` stands at the place `start`, `high` at `end`; y runs downwards."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Give the place of a value."""
        return self.start + (value - self.low) * (self.end - self.start) / (self.high - self.low)

    @classmethod
    def around(
        cls, values: Sequence[float], start: float, end: float, margin: float = 0.06
    ) -> Scale:
        """Make a scale that holds all values, with some room beyond them."""
        low, high = min(values), max(values)
        room = (high - low) * margin or max(abs(high), 1.0) * 1e-3
        return cls(low - room, high + room, start, end)


def apart(places: Sequence[float], least: float, first: float, last: float) -> list[float]:
    """Move places so that no two are nearer than `least`, between `first` and `last`.

    Each stays as near to where it was as the others allow; the order stays.

    >>> apart([10.0, 10.5, 30.0], 3.0, 0.0, 40.0)
    [8.75, 11.75, 30.0]
    """
    order = sorted(range(len(places)), key=lambda i: places[i])
    groups: list[tuple[float, list[int]]] = []
    for i in order:
        middle, members = places[i], [i]
        # A group that would touch the one before it joins it, about their common middle.
        while groups:
            before, others = groups[-1]
            if middle - before >= least * (len(members) + len(others)) / 2:
                break
            groups.pop()
            weight = len(members) + len(others)
            middle = (middle * len(members) + before * len(others)) / weight
            members = others + members
        half = least * (len(members) - 1) / 2
        groups.append((min(max(middle, first + half), last - half), members))
    moved = list(places)
    for middle, members in groups:
        top = middle - least * (len(members) - 1) / 2
        for k, i in enumerate(members):
            moved[i] = top + least * k
    return moved
