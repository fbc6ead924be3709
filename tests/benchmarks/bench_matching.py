"""Assignment and selection at bench size, against SciPy and against trying everything."""

from __future__ import annotations

import itertools

import numpy as np
from harness import Table
from scipy.optimize import linear_sum_assignment

import enginewright as ew


def run(table: Table) -> None:
    """Add the rows."""
    for n, calls in ((24, 2000), (50, 500), (100, 100), (200, 20), (400, 5)):
        sums(table, n, calls)
    pairs(table)
    bottleneck(table)


def sums(table: Table, n: int, calls: int) -> None:
    """Add the plain sum of random costs, as often as makes a span that can be timed."""
    cost = np.random.default_rng(n).uniform(0, 100, (n, n))

    def ours() -> float:
        for _ in range(calls):
            total = ew.matching.assign(cost).total
        return total

    def theirs() -> float:
        for _ in range(calls):
            rows, columns = linear_sum_assignment(cost)
        return float(cost[rows, columns].sum())

    table.add(
        f"assignment, {n} by {n} ({calls} calls)",
        "SciPy",
        ">= 0.67x",
        ours,
        theirs,
        lambda a, b: abs(a - b) < 1e-9 * n * 100,
    )


def pairs(table: Table) -> None:
    """Add eight pistons to eight rods, by every order."""
    draw = np.random.default_rng(8)
    first, second = draw.uniform(500, 505, 8), draw.uniform(600, 605, 8)

    def theirs() -> float:
        orders = np.array(list(itertools.permutations(second)))
        sums = orders + first
        return float((sums.max(axis=1) - sums.min(axis=1)).min())

    table.add(
        "pairs of 8 and 8 with the least spread",
        "all 40 320 orders, NumPy",
        "same optimum",
        lambda: ew.matching.pair_parts(first, second).spread,
        theirs,
        lambda a, b: abs(a - b) < 1e-9,
    )


def bottleneck(table: Table) -> None:
    """Add eight rows by eight columns, least greatest cost, by every order."""
    cost = np.random.default_rng(9).uniform(0, 100, (8, 8))

    def theirs() -> float:
        orders = np.array(list(itertools.permutations(range(8))))
        return float(cost[np.arange(8), orders].max(axis=1).min())

    table.add(
        "bottleneck assignment, 8 by 8",
        "all 40 320 orders, NumPy",
        "same optimum",
        lambda: ew.matching.assign(cost, objective="bottleneck").largest,
        theirs,
        lambda a, b: abs(a - b) < 1e-12,
    )
