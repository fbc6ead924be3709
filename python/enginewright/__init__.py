"""Engine machining: readings in, verdicts, next actions and the build sheet out.

    import enginewright as ew

    gap = ew.rings.gap_at_bore(0.30, bore=86.00, bore_new=86.25)
    read = ew.sheets.read("received.xlsx", map="map.toml")
    findings = ew.inspect(read.readings, ew.Limits.read("limits.toml"))

Everything is loaded when it is first used, so that importing the package costs next to nothing.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from enginewright import (
        balance,
        crank_train,
        cylinders,
        fasteners,
        fits,
        job,
        journals,
        matching,
        measure,
        plots,
        reciprocating,
        report,
        rings,
        sheets,
        stats,
        table,
        units,
    )
    from enginewright._versions import show_versions
    from enginewright.job import CheckError, check, finding, inspect
    from enginewright.measure import Quantity
    from enginewright.sheets import SheetError
    from enginewright.table import Findings, Gauges, Limits, Readings
    from enginewright.units import UnitError

    __version__: str

_MODULES = (
    "units",
    "measure",
    "fits",
    "stats",
    "crank_train",
    "rings",
    "journals",
    "cylinders",
    "matching",
    "balance",
    "fasteners",
    "reciprocating",
    "table",
    "job",
    "sheets",
    "report",
    "plots",
)

_NAMES = {
    "Quantity": "measure",
    "UnitError": "units",
    "Readings": "table",
    "Limits": "table",
    "Gauges": "table",
    "Findings": "table",
    "inspect": "job",
    "check": "job",
    "finding": "job",
    "CheckError": "job",
    "SheetError": "sheets",
    "show_versions": "_versions",
    "__version__": "_core",
}

__all__ = [
    "CheckError",
    "Findings",
    "Gauges",
    "Limits",
    "Quantity",
    "Readings",
    "SheetError",
    "UnitError",
    "__version__",
    "balance",
    "check",
    "crank_train",
    "cylinders",
    "fasteners",
    "finding",
    "fits",
    "inspect",
    "job",
    "journals",
    "matching",
    "measure",
    "plots",
    "reciprocating",
    "report",
    "rings",
    "sheets",
    "show_versions",
    "stats",
    "table",
    "units",
]


def __getattr__(name: str) -> Any:
    if name in _MODULES:
        return importlib.import_module(f"enginewright.{name}")
    if name in _NAMES:
        value = getattr(importlib.import_module(f"enginewright.{_NAMES[name]}"), name)
        globals()[name] = value
        return value
    raise AttributeError(f"module 'enginewright' has no attribute '{name}'")


def __dir__() -> list[str]:
    return sorted(__all__)
