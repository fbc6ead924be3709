"""Readings of many jobs arranged for a gauge study: parts by people by repeats."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from enginewright._arrangements import THING, _one_of, _read_only, _with_values

if TYPE_CHECKING:
    from enginewright.table import Readings

__all__ = ["Crossed", "crossed"]


@dataclass(frozen=True, eq=False)
class Crossed:
    """Every part measured by every person equally often: what `measure.gauge_study` takes."""

    values: npt.NDArray[np.float64]
    """Parts by people by repeats, in `unit`."""
    parts: tuple[str, ...]
    """What each part is: "J7 bore 3 top thrust"."""
    people: tuple[str, ...]
    """Who measured, in the order in which they were first written."""
    unit: str
    left_out: int
    """Readings that no full crossing could use: of parts that not everybody measured, or beyond
    the count of repeats that all have."""

    def __array__(self, dtype: Any = None, copy: bool | None = None) -> npt.NDArray[Any]:
        array = self.values if dtype is None else self.values.astype(dtype, copy=False)
        return array.copy() if copy else array


def crossed(readings: Readings, where: dict[str, Any]) -> Crossed:
    """Return the readings of the parts that everybody measured, as many repeats as all have."""
    chosen = _with_values(readings, where, "a gauge study")
    _one_of(chosen["gauge"], "a gauge study")
    _one_of(chosen["quantity"], "a gauge study")
    unit = _one_of(chosen["unit"], "a gauge study")
    by = chosen["by"].tolist()
    people = tuple(dict.fromkeys(person for person in by if person is not None))
    if len(people) < 2:
        raise ValueError(
            f"by must name at least 2 people in a gauge study, got {', '.join(people) or 'none'}"
        )
    keys = [*THING, "position"]
    columns = [chosen[name].tolist() for name in keys]
    cells: dict[tuple[Any, ...], dict[str, list[float]]] = {}
    values = chosen["value"].values
    for row, (person, *part) in enumerate(zip(by, *columns, strict=True)):
        if person is not None:
            cells.setdefault(tuple(part), {}).setdefault(person, []).append(float(values[row]))
    whole = {part: each for part, each in cells.items() if len(each) == len(people)}
    repeats = min((len(list_) for each in whole.values() for list_ in each.values()), default=0)
    if len(whole) < 2 or repeats < 2:
        raise ValueError(_too_little(cells, people, len(whole), repeats))
    array = np.array([[each[person][:repeats] for person in people] for each in whole.values()])
    return Crossed(
        _read_only(array), _names(whole), people, unit, len(chosen) - int(array.size)
    )  # fmt: skip


def _names(parts: Any) -> tuple[str, ...]:
    """Name the parts by what they differ in, and by the words that say what they are."""
    quantity = THING.index("quantity")
    told = [i for i in range(len(THING) + 1) if len({part[i] for part in parts}) > 1]
    shown = sorted({*told, THING.index("feature"), THING.index("number")} - {quantity})
    return tuple(
        " ".join(str(part[i]) for i in shown if part[i] not in (None, "")) for part in parts
    )


def _too_little(
    cells: dict[tuple[Any, ...], dict[str, list[float]]],
    people: tuple[str, ...],
    whole: int,
    repeats: int,
) -> str:
    if whole < 2:
        counts = Counter(person for each in cells.values() for person in each)
        said = ", ".join(f"{person} measured {counts[person]}" for person in people)
        return (
            f"at least 2 parts must be measured by everybody in a gauge study, got {whole}: {said}"
        )
    return f"everybody must measure each part at least 2 times in a gauge study, got {repeats}"
