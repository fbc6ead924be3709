"""Correction plans at full size: 60 sites of 40 settings, three and four operations."""

from __future__ import annotations

import math

import numpy as np
from harness import Table
from scipy.optimize import Bounds, LinearConstraint, milp

from enginewright import balance as b

PLANES = [0.0, 400.0]
TOLERANCE = 40.0
SECONDS = 30.0


def sites() -> list[b.Site]:
    """Six counterweights with ten places each, drilled by half millimetres."""
    return [
        b.Site(
            f"CW{weight + 1}.{place + 1}",
            "drill",
            angle=60.0 * weight + 16.0 * place,
            position=25.0 + 70.0 * weight + 0.1 * place,
            radius=84.0,
            diameter=12.0,
            maximum_depth=20.0,
        )
        for weight in range(6)
        for place in range(10)
    ]


def programme(unbalance: np.ndarray, places: list[b.Site], most: int) -> float:
    """Worst ratio that SciPy's integer programme proves or finds within its time."""
    effects, owner = [], []
    for i, site in enumerate(places):
        share = b.plane_share(site.position, PLANES)
        turn = np.exp(1j * math.radians(site.angle))
        for depth in np.arange(1, 41) * 0.5:
            moment = b.hole_moment(site.radius, depth, site.diameter).moment
            effects.append(-moment * turn * share / TOLERANCE)
            owner.append(i)
    table, owners, n = np.array(effects), np.array(owner), len(effects)
    start = unbalance / TOLERANCE
    rows, upper = [], []
    for p in range(2):
        for way in np.exp(-2j * math.pi * np.arange(32) / 32):
            rows.append([*(table[:, p] * way).real, -1.0])
            upper.append(-(start[p] * way).real)
    for i in range(len(places)):
        rows.append([*(owners == i).astype(float), 0.0])
        upper.append(1.0)
    rows.append([*np.ones(n), 0.0])
    upper.append(float(most))
    found = milp(
        np.array([*np.zeros(n), 1.0]),
        constraints=LinearConstraint(np.array(rows), -np.inf, upper),
        integrality=np.array([*np.ones(n), 0]),
        bounds=Bounds(np.zeros(n + 1), np.array([*np.ones(n), np.inf])),
        options={"time_limit": SECONDS},
    )
    if found.x is None:
        return math.inf
    chosen = found.x[:-1] > 0.5
    return float(np.abs(start + table[chosen].sum(axis=0)).max())


def run(table: Table) -> None:
    """Add the rows."""
    places = sites()
    unbalance = np.array([b.vector(1400, 70), b.vector(1100, 250)])
    for most in (3, 4):

        def ours(most: int = most) -> float:
            plan = b.plan_correction(
                unbalance, PLANES, places, TOLERANCE, target=1e-9, maximum_operations=most
            )
            assert plan.optimal
            return float(plan.worst)

        def theirs(most: int = most) -> float:
            return programme(unbalance, places, most)

        table.add(
            f"plan of {most} operations, 60 sites of 40 settings, proven best",
            f"SciPy milp, stopped at {SECONDS:.0f} s",
            ">= 20x",
            ours,
            theirs,
            # Theirs may stop early, and knows no wall between holes: ours is held by it on small
            # cases in the tests; here it must not be worse than what an unfinished search found.
            lambda a, b: a <= b * 1.05 + 1e-9,
            pairs=1,
        )
