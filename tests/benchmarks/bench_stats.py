"""The shop's history: capability and chart of a million readings, trends, quantiles."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import scipy.stats
from enginewright._core.measure import _numerics as numerics
from harness import Table

import enginewright as ew

LOWER, UPPER, TARGET = 81.98, 82.02, 82.0


def capability_with_scipy(values: np.ndarray) -> dict[str, Any]:
    """Indices and intervals of single readings as a user writes them with NumPy and SciPy."""
    n, mean, total = len(values), values.mean(), values.std(ddof=1)
    within = np.abs(np.diff(values)).mean() / (2 / math.sqrt(math.pi))
    found: dict[str, Any] = {"expected": scipy.stats.norm.cdf(LOWER, mean, total)}
    found["expected"] += scipy.stats.norm.sf(UPPER, mean, total)
    found["observed"] = ((values < LOWER) | (values > UPPER)).mean()
    room = min(UPPER - mean, mean - LOWER)
    for name, sigma, freedom in (("c", within, 0.62 * (n - 1)), ("p", total, n - 1.0)):
        index, side = (UPPER - LOWER) / (6 * sigma), room / (3 * sigma)
        ends = np.sqrt(scipy.stats.chi2.ppf([0.025, 0.975], freedom) / freedom)
        reach = scipy.stats.norm.ppf(0.975) * math.sqrt(1 / (9 * n) + side**2 / (2 * freedom))
        found[name] = (index, *(index * ends), side, side - reach, side + reach)
    found["cpm"] = (UPPER - LOWER) / (6 * math.hypot(total, mean - TARGET))
    return found


def same_capability(ours: Any, theirs: dict[str, Any]) -> bool:
    """Compare all indices, intervals and shares."""
    return (
        np.allclose((ours.pp, *ours.pp_interval, ours.ppk, *ours.ppk_interval), theirs["p"])
        and np.allclose((ours.cp, *ours.cp_interval, ours.cpk, *ours.cpk_interval), theirs["c"])
        and np.allclose((ours.cpm, ours.expected_outside), (theirs["cpm"], theirs["expected"]))
        and ours.observed_outside == theirs["observed"]
    )


def run_of(marks: np.ndarray, size: int) -> np.ndarray:
    """Whether the last `size` marks were all set."""
    sums = np.cumsum(np.concatenate([[0], marks]))
    full = sums[size:] - sums[:-size] == size
    return np.concatenate([np.zeros(size - 1, bool), full])


def last_of(marks: np.ndarray, needed: int, size: int) -> np.ndarray:
    """Whether this mark and enough of the last `size` were set."""
    sums = np.cumsum(np.concatenate([np.zeros(size, int), marks]))
    return marks & (sums[size:] - sums[:-size] >= needed)


def chart_with_numpy(values: np.ndarray) -> tuple[float, float, int]:
    """Limits and the number of signals of the four usual patterns."""
    moving = np.abs(np.diff(values))
    sigma = moving.mean() / (2 / math.sqrt(math.pi))
    off = (values - values.mean()) / sigma
    count = int((np.abs(off) > 3).sum())
    for side in (off, -off):
        count += int(last_of(side > 2, 2, 3).sum()) + int(last_of(side > 1, 4, 5).sum())
        count += int(run_of(side > 0, 8).sum())
    return values.mean() - 3 * sigma, values.mean() + 3 * sigma, count


def run(table: Table) -> None:
    """Add the rows."""
    values = np.random.default_rng(6).normal(82.0, 0.004, 1_000_000)
    table.add(
        "stats.capability of 1 000 000 readings",
        "NumPy and SciPy",
        ">= 1x",
        lambda: ew.stats.capability(values, LOWER, UPPER, target=TARGET),
        lambda: capability_with_scipy(values),
        same_capability,
    )
    table.add(
        "stats.chart of 1 000 000 readings, four patterns",
        "NumPy, windows by sums",
        ">= 1x",
        lambda: ew.stats.chart(values),
        lambda: chart_with_numpy(values),
        lambda a, b: np.allclose((a.lower, a.upper), b[:2]) and len(a.signals) == b[2],
    )
    table.add(
        "stats.summary of 1 000 000 readings",
        "NumPy mean, std, median, min, max",
        ">= 1x",
        lambda: ew.stats.summary(values),
        lambda: (values.mean(), values.std(ddof=1), np.median(values), values.min(), values.max()),
        lambda a, b: np.allclose((a.mean, a.standard_deviation, a.median), b[:3]),
    )
    trends(table)
    quantiles(table)


def trends(table: Table) -> None:
    """Line, median slope and test of the pairs for a year of a grinder."""
    random = np.random.default_rng(7)
    days = np.sort(random.uniform(0, 365, 1000))
    sizes = 47.99 + 1e-5 * days + random.normal(0, 0.002, 1000)

    def theirs() -> tuple[float, float]:
        line = scipy.stats.linregress(days, sizes)
        scipy.stats.kendalltau(days, sizes)
        return line.slope, scipy.stats.theilslopes(sizes, days)[0]

    table.add(
        "stats.trend of 1 000 readings",
        "SciPy: line, median slope, tau",
        ">= 5x",
        lambda: ew.stats.trend(days, sizes),
        theirs,
        lambda a, b: np.allclose((a.slope, a.median_slope), b),
    )


def quantiles(table: Table) -> None:
    """Quantiles of t and F, one by one and as arrays."""
    random = np.random.default_rng(8)
    p, above = random.uniform(0.001, 0.999, 100_000), random.uniform(1, 60, 100_000)
    few = range(2_000)
    for name, ours, theirs in (
        ("t", lambda p, f: numerics.t_quantile(p, f), scipy.stats.t.ppf),
        (
            "F",
            lambda p, f: numerics.f_quantile(p, f, 12.0),
            lambda p, f: scipy.stats.f.ppf(p, f, 12.0),
        ),
    ):
        table.add(
            f"{name} quantile, 100 000 in an array",
            "SciPy",
            ">= 1x",
            lambda ours=ours: ours(p, above),
            lambda theirs=theirs: theirs(p, above),
            lambda a, b: bool(np.allclose(a, b, rtol=1e-9)),
            pairs=3,
        )
        table.add(
            f"{name} quantile, 2 000 single calls",
            "SciPy",
            ">= 10x",
            lambda ours=ours: [ours(0.975, 5.5 + i) for i in few],
            lambda theirs=theirs: [theirs(0.975, 5.5 + i) for i in few],
            lambda a, b: bool(np.allclose(a, b, rtol=1e-9)),
            pairs=3,
        )
