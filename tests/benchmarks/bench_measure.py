"""Doubt over columns: formulas, verdicts, quantiles, risks, lots; beside NumPy and SciPy."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import scipy.integrate
import scipy.special
import scipy.stats
from enginewright._core.measure import _numerics as numerics
from harness import Table

import enginewright as ew


def swept(bore: Any, stroke: Any) -> Any:
    """Give the volume of a cylinder, for numbers, arrays and objects of any kind."""
    return math.pi / 4 * bore * bore * stroke


def run(table: Table) -> None:
    """Add the rows."""
    formulas(table)
    verdicts(table)
    quantiles(table)
    risks(table)
    lots(table)


def formulas(table: Table) -> None:
    """A formula of the user's own over a column of bores that share a ring."""
    from uncertainties import ufloat, unumpy

    random = np.random.default_rng(2)
    many = 1_000_000
    bore = random.uniform(85, 87, many)
    ring = ew.Quantity(0.0, 0.001, source="ring of the bench")
    bores = ew.Quantity(bore, 0.002) + ring
    stroke = ew.Quantity(86.0, 0.01)

    def by_hand() -> np.ndarray:
        """Write the slopes down and put the sources together, as somebody would who must."""
        along_bore = math.pi / 2 * bore * 86.0
        along_stroke = math.pi / 4 * bore * bore
        return np.sqrt(along_bore**2 * (0.002**2 + 0.001**2) + (along_stroke * 0.01) ** 2)

    table.add(
        "formula over 1 000 000 bores, value and doubt",
        "NumPy, slopes by hand",
        ">= 0.1x",
        lambda: ew.measure.propagate(swept, bores, stroke).standard_uncertainty,
        by_hand,
        lambda a, b: bool(np.allclose(a, b, rtol=1e-8)),
    )
    few = 10_000
    their_ring, their_stroke = ufloat(0, 0.001), ufloat(86.0, 0.01)
    theirs = unumpy.uarray(bore[:few], 0.002) + their_ring
    ours = bores[:few]
    table.add(
        "formula over 10 000 bores, value and doubt",
        "uncertainties",
        ">= 100x",
        lambda: ew.measure.propagate(swept, ours, stroke).standard_uncertainty,
        lambda: unumpy.std_devs(swept(theirs, their_stroke)),
        lambda a, b: bool(np.allclose(a, b, rtol=1e-8)),
    )


def verdicts(table: Table) -> None:
    """Probability of conformity and verdict of a year of bores."""
    random = np.random.default_rng(3)
    value = random.normal(86.0, 0.02, 200_000)
    bores = ew.Quantity(value, 0.004)
    lower, upper, u = 85.97, 86.03, 0.004

    def theirs() -> np.ndarray:
        inside = scipy.special.ndtr((upper - value) / u) - scipy.special.ndtr((lower - value) / u)
        return np.where(inside >= 0.95, "within", np.where(inside <= 0.05, "outside", "unproven"))

    table.add(
        "verdicts of 200 000 bores, with zone and reason",
        "SciPy, word only",
        ">= 0.1x",
        lambda: ew.measure.check(bores, lower, upper).verdict,
        theirs,
        lambda a, b: bool((a == b).all()),
    )


def quantiles(table: Table) -> None:
    """Quantiles of t and F, an array at a time and call by call."""
    random = np.random.default_rng(4)
    p = random.uniform(1e-6, 1 - 1e-6, 50_000)
    freedom = random.uniform(1, 200, p.size)
    table.add(
        "t quantiles of 50 000 probabilities",
        "SciPy",
        ">= 1x",
        lambda: numerics.t_quantile(p, freedom),
        lambda: scipy.special.stdtrit(freedom, p),
        lambda a, b: bool(np.allclose(a, b, rtol=1e-7)),
    )
    few = p[:2000].tolist()

    table.add(
        "t quantile, 2 000 calls",
        "SciPy's t.ppf",
        ">= 10x",
        lambda: [numerics.t_quantile(each, 9.0) for each in few],
        lambda: [scipy.stats.t.ppf(each, 9.0) for each in few],
        lambda a, b: bool(np.allclose(a, b, rtol=1e-9)),
    )
    below = random.uniform(1, 200, p.size)
    table.add(
        "F quantiles of 50 000 probabilities",
        "SciPy",
        ">= 1x",
        lambda: numerics.f_quantile(p, freedom, below),
        lambda: scipy.special.fdtri(freedom, below, p),
        lambda a, b: bool(np.allclose(a, b, rtol=1e-6)),
    )


def risks(table: Table) -> None:
    """Both risks of a guard band."""
    guards = np.linspace(0.0, 0.15, 20)

    def one(guard: float) -> float:
        def wrong(x: float) -> float:
            taken = scipy.special.ndtr((0.2 - guard - x) / 0.04)
            taken -= scipy.special.ndtr((guard - 0.2 - x) / 0.04)
            return math.exp(-0.5 * (x / 0.12) ** 2) / (0.12 * math.sqrt(2 * math.pi)) * taken

        far = scipy.integrate.quad(wrong, 0.2, 1.44, points=(0.4,), epsabs=1e-11)[0]
        return 2 * float(far)

    table.add(
        "consumer's risk for 20 guard bands",
        "SciPy quad",
        ">= 10x",
        lambda: ew.measure.risk(0.0, 0.12, 0.04, -0.2, 0.2, guard=guards).consumer,
        lambda: np.array([one(float(guard)) for guard in guards]),
        lambda a, b: bool(np.allclose(a, b, atol=1e-9)),
    )


def lots(table: Table) -> None:
    """Drawn lots: eight normal inputs through a formula."""
    inputs = [ew.Quantity(float(k + 1), 0.01 * (k + 1)) for k in range(8)]

    def formula(*x: Any) -> Any:
        return x[0] * x[1] + x[2] * x[3] + x[4] * x[5] - x[6] * x[7]

    def theirs() -> tuple[float, float]:
        random = np.random.default_rng(5)
        drawn = [random.normal(k + 1, 0.01 * (k + 1), 1_000_000) for k in range(8)]
        result = np.sort(formula(*drawn))
        return float(result[25_000]), float(result[-25_000])

    def ours() -> tuple[float, float]:
        got = ew.measure.simulate(formula, *inputs, draws=1_000_000)
        return got.lower, got.upper

    table.add(
        "1 000 000 draws of 8 inputs, interval of 95 %",
        "NumPy",
        ">= 1x",
        ours,
        theirs,
        lambda a, b: bool(np.allclose(a, b, atol=0.01)),
    )
