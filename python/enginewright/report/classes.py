"""Sizes that a limit asks for by a class of ISO 286: what the class says, part by part."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from enginewright._lines import part_name
from enginewright._rows import FindingRow
from enginewright.report.blocks import Block, Caution, Heading
from enginewright.report.desk import Desk
from enginewright.report.measured import fit_block

__all__ = ["classes"]

#: Two limits are the same figure when they agree so far, mm.
SAME = 1e-9


def classes(desk: Desk) -> Iterator[Block]:
    """Give a block for each class that something of this job was judged by."""
    used = [(limit, row) for limit in _limits(desk) for row in _judged(desk, limit)[:1]]
    if not used:
        return
    yield Heading(desk.say("classes.title"))
    for i, (limit, row) in enumerate(used, start=1):
        part = part_name(row, desk.say, numbered=False)
        name = desk.say("tasks.one", part=part, asked=desk.asked(row))
        blocks = fit_block(
            str(limit["tolerance_class"]), title=name, figures=desk.figures, heading=3,
            inch=desk.inch.get(row.index, False), source=row.limit_source,
            name=desk.figure_name("fit"), words=desk.say,
        )  # fmt: skip
        # The cautions are the same for all of them: said once, under the last.
        yield from (each for each in blocks if i == len(used) or not isinstance(each, Caution))


def _limits(desk: Desk) -> list[dict[str, Any]]:
    """Give the limits that name a class, each class of a part once."""
    to_json = getattr(desk.facts.limits, "to_json", None)
    if to_json is None:
        return []
    found = {}
    for limit in json.loads(to_json()).get("limit", ()):
        if limit.get("tolerance_class"):
            words = (limit.get(key) for key in ("feature", "part", "quantity", "tolerance_class"))
            found[tuple(words)] = limit
    return list(found.values())


def _judged(desk: Desk, limit: dict[str, Any]) -> list[FindingRow]:
    """Give the findings that were judged by the figures of this class."""
    from enginewright import fits

    name = str(limit["tolerance_class"])
    if "/" in name:
        fit = fits.fit(name)
        lower, upper = float(fit.minimum_clearance), float(fit.maximum_clearance)
    else:
        size = fits.limits(name)
        lower, upper = float(size.lower), float(size.upper)
    return [
        row
        for line in desk.now
        for row in line.findings
        if row.feature == limit["feature"] and row.quantity == limit["quantity"]
        if limit.get("part") in (None, "", row.part)
        if _same(row.lower, lower) and _same(row.upper, upper)
    ]


def _same(one: float | None, other: float) -> bool:
    return one is not None and abs(one - other) < SAME
