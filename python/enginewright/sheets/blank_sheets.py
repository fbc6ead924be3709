"""Blank bench sheets: a workbook to print or to fill in, which reads back without a map."""

from __future__ import annotations

import io
import os
from collections.abc import Iterable, Mapping
from typing import Any

from enginewright._files import write_whole
from enginewright.sheets.bench_pages import Pages
from enginewright.sheets.benches import BENCHES, LENGTH_UNITS

__all__ = ["blank"]


def blank(
    path: str | os.PathLike[str],
    engine: Any,
    benches: Iterable[str] | None = None,
    *,
    gauges: Iterable[str] | Any = (),
    units: str | Mapping[str, str] = "mm",
    stage: str = "as received",
) -> None:
    """Write blank bench sheets for an engine.

    One sheet a bench, besides Instructions (job, engine and stage are written there once) and
    Gauges. Cells to fill in are outlined and open, the others are locked without a password. A
    value that looks odd is questioned, never refused.

    Parameters
    ----------
    path : str or path
        Workbook to write.
    engine : EngineCard or mapping
        Engine card: `ew.Limits.read("limits.toml").cards["Linnet 2.0"]`. It must say how many
        cylinders there are; `journals` says how many of each.
    benches : iterable of str, optional
        "bores", "journals", "rings", "pistons", "rods", "bolts", "balance"; all
        when absent.
    gauges : Gauges or iterable of str, optional
        What may be chosen as gauge.
    units : str or mapping, optional
        Unit of lengths, "mm", "thou" or "in"; or one a bench.
    stage : str, optional
        Stage that stands on the sheet already.

    Raises
    ------
    ValueError
        An unknown bench or unit, or a card without cylinders.

    Examples
    --------
    >>> import tempfile, pathlib, openpyxl
    >>> file = pathlib.Path(tempfile.mkdtemp()) / "bench.xlsx"
    >>> ew.sheets.blank(file, {"name": "Dunlin V-twin", "cylinders": 2}, ["bores"])
    >>> openpyxl.load_workbook(file).sheetnames
    ['Instructions', 'Bores', 'Gauges']
    """
    names = tuple(BENCHES) if benches is None else _known(benches)
    chosen = _units(units, names)
    card = dict(engine) if isinstance(engine, Mapping) else dict(engine.as_dict())
    count = card.get("cylinders")
    if not isinstance(count, int) or isinstance(count, bool) or not 1 <= count <= 64:
        raise ValueError(f"engine must say how many cylinders there are, 1 to 64, got {count!r}")
    pages = Pages(card, _names(gauges), stage)
    pages.instructions([BENCHES[name] for name in names])
    for name in names:
        pages.bench(BENCHES[name], chosen[name])
    pages.gauges()
    saved = io.BytesIO()
    pages.book.save(saved)
    write_whole(path, saved.getvalue())


def _known(benches: Iterable[str]) -> tuple[str, ...]:
    names = (benches,) if isinstance(benches, str) else tuple(benches)
    for name in names:
        if name not in BENCHES:
            raise ValueError(f"benches must be of {', '.join(BENCHES)}; got {name!r}")
    if not names:
        raise ValueError("benches must name at least one bench, got none")
    return tuple(dict.fromkeys(names))


def _units(units: str | Mapping[str, str], names: tuple[str, ...]) -> dict[str, str]:
    chosen = dict.fromkeys(names, "mm")
    given = dict.fromkeys(names, units) if isinstance(units, str) else dict(units)
    for name, unit in given.items():
        if name not in BENCHES:
            raise ValueError(f"units must name benches of {', '.join(BENCHES)}; got {name!r}")
        if unit not in LENGTH_UNITS:
            raise ValueError(f"units must be one of {', '.join(LENGTH_UNITS)}; got {unit!r}")
        chosen[name] = unit
    return chosen


def _names(gauges: Any) -> tuple[str, ...]:
    """Return the names of the gauges, in the order of the list."""
    listed = gauges.rows if hasattr(gauges, "rows") else gauges
    return tuple(str(getattr(each, "name", each)) for each in listed)
