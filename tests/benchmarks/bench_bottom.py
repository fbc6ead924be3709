"""Exact searches of the bottom end against general-purpose solvers."""

from __future__ import annotations

import numpy as np
from harness import Table
from scipy.optimize import LinearConstraint, differential_evolution, linprog, milp

import enginewright as ew


def run(table: Table) -> None:
    """Add the rows."""
    circle(table)
    deck(table)
    shelf(table)


def circle(table: Table) -> None:
    """Minimum zone of a bore trace of 360 points."""
    rng = np.random.default_rng(3)
    turn = np.radians(np.arange(360.0))
    r = 43 + 0.006 * np.cos(2 * turn - 0.3) + 0.003 * np.cos(3 * turn) + rng.normal(0, 0.001, 360)
    x, y = r * np.cos(turn), r * np.sin(turn)

    def width(centre: np.ndarray) -> float:
        distance = np.hypot(x - centre[0], y - centre[1])
        return float(distance.max() - distance.min())

    table.add(
        "minimum-zone circle of 360 points",
        "SciPy differential_evolution",
        ">= 100x",
        lambda: ew.cylinders.circle_fit(x, y, criterion="minimum zone").roundness,
        lambda: differential_evolution(width, [(-0.02, 0.02)] * 2, seed=1, tol=1e-9).fun,
        lambda a, b: a <= b + 1e-9 and abs(a - b) < 1e-5,
        note="exact against a search that may stop early",
    )


def deck(table: Table) -> None:
    """Flatness of a deck of 400 points."""
    rng = np.random.default_rng(4)
    x, y = (each.ravel() for each in np.meshgrid(np.arange(20.0) * 20, np.arange(20.0) * 9))
    z = 0.02 * (x / 400) ** 2 + rng.normal(0, 0.004, 400)
    one, none = np.ones((400, 1)), np.zeros((400, 1))
    rows = np.block([[-one, none, -x[:, None], -y[:, None]], [none, one, x[:, None], y[:, None]]])
    bounds = np.r_[-z, z]
    table.add(
        "minimum-zone flatness of 400 points",
        "SciPy linprog (HiGHS)",
        ">= 10x",
        lambda: ew.cylinders.deck_flatness(x, y, z).flatness,
        lambda: linprog([1, -1, 0, 0], A_ub=rows, b_ub=bounds, bounds=(None, None)).fun,
        lambda a, b: abs(a - b) < 1e-9,
    )


def shelf(table: Table) -> None:
    """Shells for ten journals from six grades: the least worst, then the least sum."""
    rng = np.random.default_rng(5)
    names = list("abcdef")
    walls = {name: 1.490 + 0.003 * k for k, name in enumerate(names)}
    stock = {name: 4 for name in names}
    journals = 50 + rng.uniform(-0.008, 0.008, 10)
    housings = 53.02 + rng.uniform(-0.006, 0.006, 10)
    pairs = [(i, j) for i in range(6) for j in (i, i + 1) if j < 6]
    cost = np.array(
        [
            abs(h - d - walls[names[i]] - walls[names[j]] - 0.030)
            for h, d in zip(housings, journals, strict=True)
            for i, j in pairs
        ]
    )
    each = np.kron(np.eye(10), np.ones(len(pairs)))
    uses = np.tile([[(i == k) + (j == k) for i, j in pairs] for k in range(6)], 10)

    def theirs() -> float:
        # First the worst, as one more variable above every chosen cost; then the sum below it.
        worst = milp(
            np.r_[np.zeros(cost.size), 1],
            constraints=[
                LinearConstraint(np.c_[each, np.zeros(10)], 1, 1),
                LinearConstraint(np.c_[uses, np.zeros(6)], ub=[4] * 6),
                LinearConstraint(np.c_[each * cost, -np.ones(10)], ub=0),
            ],
            integrality=np.r_[np.ones(cost.size), 0],
            bounds=(0, 1),
        ).fun
        answer = milp(
            cost,
            constraints=[LinearConstraint(each, 1, 1), LinearConstraint(uses, ub=[4] * 6)],
            integrality=np.ones(cost.size),
            bounds=(0, (cost <= worst + 1e-9).astype(float)),
        )
        return float(answer.fun)

    table.add(
        "shells for 10 journals from 6 grades",
        "SciPy milp (HiGHS), twice",
        ">= 10x",
        lambda: (
            ew.journals.select_shells(
                housings, journals, walls, stock, lower=0.0, upper=0.08, target=0.030
            ).total_deviation
        ),
        theirs,
        lambda a, b: abs(a - b) < 1e-7,
    )
