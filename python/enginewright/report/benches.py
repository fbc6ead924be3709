"""Which bench a part belongs to, and which machine puts it right."""

from __future__ import annotations

from collections.abc import Iterable

from enginewright._lines import Line, ring_order
from enginewright._rows import AnyRow, FindingRow

__all__ = ["BENCHES", "CAUTIONS_AT", "MACHINES", "arranged", "bench_of", "machine_of", "topic_of"]

#: Benches in the order of a paper, with the features that are measured there.
BENCHES = {
    "journals": (
        "main journal", "big-end journal", "crankshaft", "main bearing", "big-end bearing",
        "thrust washer",
    ),
    "cylinders": ("bore", "liner", "block deck", "piston"),
    "rings": ("ring",),
    "matching": ("rod", "small end", "pin"),
    "balance": ("flywheel", "clutch", "pulley", "rotor"),
    "cams": ("camshaft", "cam", "timing gear"),
    "valves": (
        "valve", "valve guide", "valve seat", "valve spring", "tappet", "pushrod", "rocker",
    ),
    "compression": ("head face", "chamber", "gasket", "plug"),
    "fasteners": ("bolt",),
    "other": (),
}  # fmt: skip
_BENCH = {feature: bench for bench, features in BENCHES.items() for feature in features}

#: Groups of a work list in the order of the shop: what must be sent for, what is weighed and
#: looked at, what is cut; the rotor is balanced when nothing on it is cut any more; then assembly.
MACHINES = (
    "order", "weighing", "bolts", "grinder", "boring", "lathe", "head", "balancer", "fitting",
)  # fmt: skip
_OF_CHECK = {
    "regrind": "grinder", "rebore": "boring", "ring gap": "fitting", "second ring": "fitting",
    "bearing clearance": "fitting", "piston clearance": "fitting", "shell choice": "fitting",
    "end float": "fitting", "liner standing": "boring", "deck clearance": "boring",
    "mass match": "weighing", "balance": "balancer", "bolt reuse": "bolts",
}  # fmt: skip
_OF_FEATURE = {
    "main journal": "grinder", "big-end journal": "grinder", "crankshaft": "grinder",
    "bore": "boring", "liner": "boring", "block deck": "boring",
}  # fmt: skip
# What turns is balanced by its own check; its faces and rims are turned or ground.
_OF_BENCH = {
    "balance": "lathe", "cams": "head", "valves": "head", "compression": "head",
    "fasteners": "bolts",
}  # fmt: skip
#: Quantities of a rotating part that the balancer reads.
_BALANCED = ("mass", "amount", "phase")

#: The machine beside which a bench's cautions are printed.
CAUTIONS_AT = {
    "weighing": "matching", "bolts": "fasteners", "grinder": "journals", "boring": "cylinders",
    "lathe": "lathe", "balancer": "balance", "fitting": "rings",
}  # fmt: skip


def bench_of(feature: str) -> str:
    """Give the bench at which a feature is measured; a shop's own word is "other"."""
    return _BENCH.get(feature, "other")


def topic_of(row: AnyRow) -> str:
    """Give what at a bench has cautions of its own: straightness, thrust faces, the main tunnel."""
    if row.quantity == "end float" or row.feature == "thrust washer":
        return "thrust"
    if row.quantity == "run-out" and row.feature in ("crankshaft", "main journal"):
        return "straightness"
    return "tunnel" if (row.feature, row.part) == ("main bearing", "housing") else ""


def arranged(found: Iterable[Line]) -> list[Line]:
    """Put lines in the order of a paper: feature by feature, question by question, by number."""
    found = list(found)
    features = [feature for features in BENCHES.values() for feature in features]
    seen = [line.worst.feature for line in found if line.worst.feature not in features]
    order = {feature: i for i, feature in enumerate([*features, *dict.fromkeys(seen)])}
    asked = {check: i for i, check in enumerate(dict.fromkeys(line.worst.check for line in found))}
    quantities = dict.fromkeys(line.worst.quantity for line in found)
    measured = {quantity: i for i, quantity in enumerate(quantities)}

    def place(line: Line) -> tuple[int, ...]:
        row = line.worst
        ring = ring_order(row.part) if row.feature == "ring" else 0
        return order[row.feature], asked[row.check], measured[row.quantity], ring, row.number or 0

    # Sorting keeps the order of what is alike: parts stay as they came.
    return sorted(found, key=place)


def machine_of(row: FindingRow) -> str:
    """Give the machine that does what a finding asks for."""
    if row.check in _OF_CHECK:
        return _OF_CHECK[row.check]
    if row.part == "housing":
        return "boring"
    if row.quantity == "torque":
        return "fitting"
    bench = bench_of(row.feature)
    if bench == "balance" and row.quantity in _BALANCED:
        return "balancer"
    return _OF_FEATURE.get(row.feature) or _OF_BENCH.get(bench) or "fitting"
