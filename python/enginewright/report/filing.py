"""The gap that a ring is filed to: that of a ring going in, not of one worn out."""

from __future__ import annotations

import dataclasses
from typing import Any

from enginewright._rows import FindingRow
from enginewright.report.blocks import Cell
from enginewright.report.desk import Desk

__all__ = ["filing_band"]


def filing_band(desk: Desk, row: FindingRow) -> Cell:
    """Show the limits of a ring gap for fitting; those it was judged by where there are no others.

    row  a finding "ring gap"
    """
    limit = _fitting_limit(desk, row)
    if limit is None:
        return desk.limits(row)
    return desk.limits(
        dataclasses.replace(
            row, lower=limit.lower, upper=limit.upper, kind=limit.kind, limit_source=limit.source
        )
    )


def _fitting_limit(desk: Desk, row: FindingRow) -> Any:
    from enginewright import _core
    from enginewright.table import Gauges, Limits, Readings

    readings, limits = desk.readings, desk.facts.limits
    # A paper may be made of other tables than the core's: those have no limits to look up.
    if not row.readings or not isinstance(readings, Readings) or not isinstance(limits, Limits):
        return None
    if desk.sizes is None:
        desk.sizes = _core.job.Sizes(readings, limits, Gauges.empty())
    return desk.sizes.fitting_limit(row.readings[0])
