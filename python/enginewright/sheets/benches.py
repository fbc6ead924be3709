"""The bench sheets of the house: one definition for what is printed and for how it is read back.

A sheet stands here as its heading and its entries. `blank` draws it for an engine; `bench_map`
finds filled-in ones again, so they need no map.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from enginewright.sheets.grid import Grid, is_blank

__all__ = [
    "BENCHES",
    "DATE",
    "FIRST_ROW",
    "HEADING_ROWS",
    "INITIALS",
    "INSTRUCTIONS",
    "JOB",
    "LENGTH_UNITS",
    "TEMPERATURE",
    "Bench",
    "Entry",
    "bench_map",
]

INSTRUCTIONS = "Instructions"
#: Row of each answer on the first sheet, and on each bench sheet; the answer stands in column B.
JOB = {"job": 3, "engine": 4, "stage": 5}
DATE, INITIALS, TEMPERATURE = 2, 3, 4
HEADING_ROWS = (6, 7)
FIRST_ROW = 8
LENGTH_UNITS = ("mm", "thou", "in")
#: Words that may stand where a figure was meant.
WORDS = {
    **dict.fromkeys(("ok", "scored", "cracked", "bent", "damaged", "worn"), "observation"),
    **dict.fromkeys(("n/m", "-"), "not measured"),
}

Card = Mapping[str, Any]


@dataclass(frozen=True)
class Entry:
    """One column to fill in: its two heading rows, its unit, and what it means."""

    upper: str
    lower: str
    unit: str
    keys: Mapping[str, str]
    least: float
    greatest: float

    def heading(self, unit: str) -> str:
        """Return the lower heading with its unit: "Along (mm)"."""
        return f"{self.lower} ({unit})"

    def full(self, unit: str) -> str:
        """Return both headings as a map names them."""
        return f"{self.upper} / {self.heading(unit)}" if self.upper else self.heading(unit)

    @property
    def is_length(self) -> bool:
        """Whether the unit may be chosen."""
        return self.unit == "mm"


@dataclass(frozen=True)
class Bench:
    """One bench sheet: what is measured, in which rows, and what to look out for."""

    name: str
    sheet: str
    title: str
    how: tuple[str, ...]
    keys: Mapping[str, str]
    """Key columns on the left: column of the readings -> heading."""
    rows: Callable[[Card], Sequence[tuple[Any, ...]]]
    entries: tuple[Entry, ...]
    caution: str
    fixed: Mapping[str, str] = field(default_factory=dict)
    spare: int = 0
    """Rows whose keys are left open."""
    words: tuple[str, ...] = ()
    """What may stand in the first key column of an open row."""

    @property
    def mark(self) -> str:
        """The text of the first cell, by which the sheet is known again."""
        return f"{self.sheet}: {self.title}"


def cylinders(card: Card) -> list[int]:
    """Return the numbers of the cylinders."""
    return list(range(1, int(card["cylinders"]) + 1))


def journals(card: Card, feature: str) -> list[int]:
    """Return the numbers of the journals of one kind; in line there is a main more than throws."""
    count = int(card["cylinders"])
    own = dict(card.get("journals") or {}).get(feature)
    return list(range(1, int(own or (count + 1 if feature == "main journal" else count)) + 1))


def _by_cylinder(card: Card) -> list[tuple[Any, ...]]:
    return [(number,) for number in cylinders(card)]


def _journals(card: Card) -> list[tuple[Any, ...]]:
    return [
        (part, number)
        for kind in ("journal", "bearing")
        for part, like in ((f"main {kind}", "main journal"), (f"big-end {kind}", "big-end journal"))
        for number in journals(card, like)
    ]


def _bolts(card: Card) -> list[tuple[Any, ...]]:
    counts = {
        "rod bolt": 2 * len(cylinders(card)),
        "main cap bolt": 2 * len(journals(card, "main journal")),
    }
    return [(part, number) for part, count in counts.items() for number in range(1, count + 1)]


def _sizes(stations: Mapping[str, str], axes: Mapping[str, str]) -> tuple[Entry, ...]:
    """Return diameters over stations and directions."""
    return tuple(
        Entry(top, below, "mm", {"quantity": "diameter", "station": station, "axis": axis}, 5, 500)
        for top, station in stations.items()
        for below, axis in axes.items()
    )


def _gap(ring: str) -> Entry:
    keys = {"feature": "ring", "part": ring, "quantity": "gap"}
    return Entry(ring.capitalize(), "Gap", "mm", keys, 0.02, 5)


def _mass(upper: str, keys: Mapping[str, str], lower: str = "Mass") -> Entry:
    return Entry(upper, lower, "g", {**keys, "quantity": "mass"}, 1, 20_000)


#: What is bolted on in turn, and how often each is spun.
STAGES_OF_ASSEMBLY = ("bare crank", "pulley", "flywheel", "clutch")
SPINS = 3


def _spins(card: Card) -> list[tuple[Any, ...]]:
    return [(stage, spin) for stage in STAGES_OF_ASSEMBLY for spin in range(1, SPINS + 1)]


def _vectors() -> tuple[Entry, ...]:
    """Return speed, amount and phase of both planes, and the trial masses."""
    entries = [Entry("Drive", "Speed", "rpm", {"quantity": "speed"}, 50, 3000)]
    for side in ("left", "right"):
        plane, upper = {"station": f"{side} plane"}, f"{side.capitalize()} plane"
        entries += [
            Entry(upper, "Amount", "g mm", {**plane, "quantity": "amount"}, 0, 100_000),
            Entry(upper, "Phase", "deg", {**plane, "quantity": "phase"}, 0, 360),
        ]
    for side in ("left", "right"):
        part, upper = {"part": f"trial {side}"}, f"Trial {side}"
        entries += [
            Entry(upper, "Mass", "g", {**part, "quantity": "mass"}, 0.1, 500),
            Entry(upper, "Radius", "mm", {**part, "quantity": "radius"}, 10, 500),
            Entry(upper, "Phase", "deg", {**part, "quantity": "phase"}, 0, 360),
        ]
    return tuple(entries)


def _bolt(upper: str, lower: str, keys: Mapping[str, str], greatest: float = 500) -> Entry:
    return Entry(upper, lower, "mm", keys, 1, greatest)


BENCHES: dict[str, Bench] = {
    bench.name: bench
    for bench in (
        Bench(
            "bores", "Bores", "diameters, cylinders from the front",
            (
                "Clean and dry, at room temperature; the gauge set on its ring first.",
                "Along = along the crankshaft, Thrust = across it. Top = just below the ridge,"
                " bottom = where the lowest ring turns.",
            ),
            {"number": "Cylinder"}, _by_cylinder,
            _sizes(
                {"Top": "top", "Middle": "middle", "Bottom": "bottom"},
                {"Along": "along", "Thrust": "thrust"},
            ),
            "No gloves or loose cloth near a turning spindle.",
            {"feature": "bore"},
        ),
        Bench(
            "journals", "Journals", "journals and bearings from the front",
            (
                "Two places, clear of the fillets and the oil hole; two directions, 90 degrees"
                " apart.",
                "Bearings with their shells fitted and the cap tightened to its figure.",
            ),
            {"feature": "Part", "number": "No."}, _journals,
            _sizes({"Front": "front", "Back": "back"}, {"X": "x", "Y": "y"}),
            "Test the crankshaft for cracks before and after grinding.",
        ),
        Bench(
            "rings", "Rings", "end gaps, each ring in its own bore",
            ("Ring square in the bore, at the smallest place that it passes.",),
            {"number": "Cylinder"}, _by_cylinder,
            (_gap("top ring"), _gap("second ring"), _gap("oil rail")),
            "Rings are sharp and break: protect your eyes.",
        ),
        Bench(
            "pistons", "Pistons", "skirts, and masses of pistons and pins",
            ("Skirt across the pin, at the height the maker names. Pins weighed apart.",),
            {"number": "Piston"}, _by_cylinder,
            (
                Entry("Piston", "Skirt", "mm", {"feature": "piston", "quantity": "diameter"}, 5,
                      500),
                _mass("Piston", {"feature": "piston"}),
                _mass("Pin", {"feature": "pin"}),
            ),
            "An aluminium piston 10 degrees warm reads 18 micrometres large at 86 mm.",
        ),
        Bench(
            "rods", "Rods", "masses, whole and at both ends",
            ("The rod level in its fixture, cap and bolts fitted, no shells; the whole as well.",),
            {"number": "Rod"}, _by_cylinder,
            (
                _mass("Rod", {}, "Whole"),
                _mass("Rod", {"part": "big end"}, "Big end"),
                _mass("Rod", {"part": "small end"}, "Small end"),
            ),
            "Grind on the balance pads only, along the rod; test for cracks afterwards.",
            {"feature": "rod"},
        ),
        Bench(
            "bolts", "Bolts", "lengths and shanks of bolts that may go in again",
            (
                "Loose, at room temperature, between the same two points as when new.",
                "Write the thinnest place of the shank. Torque: as set at the end.",
            ),
            {"part": "Which", "number": "No."}, _bolts,
            (
                _bolt("Length", "New", {"quantity": "length", "station": "new"}),
                _bolt("Length", "Used", {"quantity": "length"}),
                _bolt("Shank", "Thinnest", {"quantity": "diameter"}, 60),
                Entry("Set to", "Torque", "N·m", {"quantity": "torque"}, 1, 2000),
            ),
            "Bolts tightened to yield never go in again, whatever they measure.",
            {"feature": "bolt"},
            spare=12,
            words=("rod bolt", "main cap bolt", "head bolt", "flywheel bolt"),
        ),
        Bench(
            "balance", "Balance", "spins of the crank, part after part",
            (
                "One row a spin, at one speed, three for each part; bobweights on the pins where"
                " the crank needs them.",
                "Phases as the machine shows them: the engine card's [engine.rotor] says how it"
                " counts. After work on a part write its name and 'corrected'; the last spins are"
                " 'finished'.",
                "Trial masses only in the spins that carried one.",
            ),
            {"stage": "Stage", "repeat": "Spin"}, _spins, _vectors(),
            "A spinning rotor kills: guards closed, masses bolted and pulled by hand, nobody in"
            " the plane of rotation, low speed first; follow the machine's manual.",
            {"feature": "rotor"},
            spare=12,
            words=("flywheel corrected", "clutch corrected", "finished"),
        ),
    )
}  # fmt: skip


def bench_map(grids: Sequence[Grid]) -> dict[str, Any] | None:
    """Make a map for filled-in bench sheets; None when the file holds none.

    A bench sheet on which nothing was written is left out, as if it were not there, unless all
    are empty.

    Parameters
    ----------
    grids : sequence of Grid
        The sheets of a file.
    """
    known = {bench.mark: bench for bench in BENCHES.values()}
    found = []
    for grid in grids:
        first = grid.at(1, 1)
        bench = known.get(first.strip()) if isinstance(first, str) else None
        if bench is not None:
            found.append((grid, bench))
    if not found:
        return None
    filled = [(grid, bench) for grid, bench in found if _is_filled(grid, bench)]
    tables = [_table(grid, bench) for grid, bench in filled or found]
    head = next((grid for grid in grids if grid.name == INSTRUCTIONS), None)
    defaults: dict[str, Any] = {
        key: {"sheet": INSTRUCTIONS, "cell": f"B{row}"}
        for key, row in JOB.items()
        if head is not None and (key != "engine" or not is_blank(head.at(row, 2)))
    }
    return {"version": 1, "defaults": defaults, "words": dict(WORDS), "table": tables}


def _is_filled(grid: Grid, bench: Bench) -> bool:
    first, last = len(bench.keys) + 1, len(bench.keys) + len(bench.entries)
    return any(
        not is_blank(cell)
        for number, row in zip(grid.numbers, grid.rows, strict=True)
        if number >= FIRST_ROW
        for cell in row[first - 1 : last]
    )


def _table(grid: Grid, bench: Bench) -> dict[str, Any]:
    heads = {"date": DATE, "by": INITIALS, "temperature": TEMPERATURE}
    answered = {
        key: {"sheet": grid.name, "cell": f"B{row}"}
        for key, row in heads.items()
        if not is_blank(grid.at(row, 2))
    }
    # The sheet itself says which unit it was printed with.
    written = [
        str(cell) for cell in grid.rows[grid.index_of(HEADING_ROWS[1]) or 0] if not is_blank(cell)
    ]
    columns = []
    for entry in bench.entries:
        units = LENGTH_UNITS if entry.is_length else (entry.unit,)
        unit = next((unit for unit in units if entry.heading(unit) in written), entry.unit)
        columns.append({"heading": entry.full(unit), **entry.keys})
    return {
        "sheet": grid.name,
        "layout": "wide",
        "header_rows": list(HEADING_ROWS),
        **bench.fixed,
        **{key: {"heading": heading} for key, heading in bench.keys.items()},
        **answered,
        "gauge": {"heading": "Gauge"},
        "note_columns": ["Remarks"],
        "column": columns,
    }
