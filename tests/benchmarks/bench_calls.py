"""Single calls, closed forms over arrays, and values with shared doubt."""

from __future__ import annotations

import math

import numpy as np
from harness import Table

import enginewright as ew


def plain_gap(gap: float, bore: float, bore_new: float) -> float:
    """Do the same checks and formula in Python."""
    if not math.isfinite(gap):
        raise ValueError("gap")
    if not (bore > 0 and math.isfinite(bore)):
        raise ValueError("bore")
    if not (bore_new > 0 and math.isfinite(bore_new)):
        raise ValueError("bore_new")
    return gap + math.pi * (bore_new - bore)


def run(table: Table) -> None:
    """Add the rows."""
    many = range(200_000)

    def ours() -> float:
        for _ in many:
            answer = ew.rings.gap_at_bore(0.3, bore=86.0, bore_new=86.25)
        return answer

    def theirs() -> float:
        for _ in many:
            answer = plain_gap(0.3, bore=86.0, bore_new=86.25)
        return answer

    table.add(
        "scalar call rings.gap_at_bore (200 000 calls)",
        "same Python function",
        ">= 1x",
        ours,
        theirs,
        lambda a, b: a == b,
    )
    random = np.random.default_rng(1)
    gap, bore = random.uniform(0.2, 0.5, 1_000_000), random.uniform(85, 87, 1_000_000)
    new = bore + 0.25
    table.add(
        "rings.gap_at_bore over 1 000 000",
        "NumPy, no checks",
        ">= 2x",
        lambda: ew.rings.gap_at_bore(gap, bore, new),
        lambda: gap + np.pi * (new - bore),
        lambda a, b: bool(np.allclose(a, b, rtol=1e-15, atol=1e-15)),
    )
    hot, wall = random.uniform(150, 250, 1_000_000), random.uniform(90, 130, 1_000_000)
    ring, iron = 11.4e-6, 10.5e-6

    def grown(expansion: float, temperature: np.ndarray) -> np.ndarray:
        return 1 + expansion * (temperature - 20)

    table.add(
        "rings.hot_gap over 1 000 000",
        "NumPy, no checks",
        ">= 2x",
        lambda: ew.rings.hot_gap(bore, gap, hot, wall, ring_expansion=ring, bore_expansion=iron),
        lambda: np.pi * bore * grown(iron, wall) - (np.pi * bore - gap) * grown(ring, hot),
        lambda a, b: bool(np.allclose(a, b, rtol=0, atol=1e-12)),
    )
    clearance(table, bore)


def clearance(table: Table, bore: np.ndarray) -> None:
    """Clearance of bore and piston pairs that share the ring and its zero."""
    from uncertainties import ufloat, unumpy

    piston = bore - 0.04
    sources = {
        "ring": ew.Quantity(0.0, 0.001, source="ring"),
        "zero": ew.Quantity(0.0, 0.0006, source="zero"),
    }
    shared = sources["ring"] + sources["zero"]
    bores = ew.Quantity(bore, 0.002, source="bores") + shared
    pistons = ew.Quantity(piston, 0.0015, source="pistons") + shared
    table.add(
        "clearance of 1 000 000 pairs with shared ring and zero",
        "NumPy without doubt",
        ">= 0.25x",
        lambda: bores - pistons,
        lambda: bore - piston,
        lambda a, b: bool(np.allclose(a.value, b)),
    )
    few = 10_000
    ring, zero = ufloat(0, 0.001), ufloat(0, 0.0006)
    their_bores = unumpy.uarray(bore[:few], 0.002) + ring + zero
    their_pistons = unumpy.uarray(piston[:few], 0.0015) + ring + zero
    our_bores, our_pistons = bores[:few], pistons[:few]
    table.add(
        "clearance and its doubt, 10 000 pairs",
        "uncertainties",
        ">= 1000x",
        lambda: (our_bores - our_pistons).standard_uncertainty,
        lambda: unumpy.std_devs(their_bores - their_pistons),
        lambda a, b: bool(np.allclose(a, b)),
    )
