"""`enginewright sheet`: blank bench sheets for an engine."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from enginewright.command.outcome import Refusal, Status

__all__ = ["run"]


def run(given: argparse.Namespace) -> Status:
    """Write the sheets; a workbook that is there already is never lost."""
    from enginewright.sheets import blank
    from enginewright.table import Limits

    target = Path(given.output)
    if target.exists():
        raise Refusal(f"{target} is there already; name another file with -o, or move it away")
    try:
        cards = Limits.read(given.limits).cards
        blank(target, _card(cards, given.engine, given.limits), gauges=_gauges(given))
    except ValueError as refused:
        raise Refusal(str(refused)) from None
    print(f"wrote {target}; fill it in, then: enginewright check {target}")
    return Status.GOOD


def _card(cards: Mapping[str, Any], name: str | None, file: str) -> Any:
    if not cards:
        raise Refusal(f"{file} holds no engine card; add one under [[engine]]")
    if name is None and len(cards) == 1:
        return next(iter(cards.values()))
    if name is None or name not in cards:
        listed = ", ".join(repr(each) for each in cards)
        asked = "name one with --engine" if name is None else f"it has no {name!r}"
        raise Refusal(f"{file} holds the engines {listed}; {asked}")
    return cards[name]


def _gauges(given: argparse.Namespace) -> Any:
    """Take the gauges named, else those beside the limits."""
    from enginewright.table import Gauges

    beside = Path(given.limits).with_name("gauges.toml")
    if given.gauges is None and not beside.exists():
        return ()
    if given.gauges is None:
        print(f"gauges from {beside}", file=sys.stderr)
    return Gauges.read(given.gauges or beside)
