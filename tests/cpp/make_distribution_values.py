"""Values of the distributions to 17 digits, by mpmath at 60: writes distribution_values.hpp.

    python tests/cpp/make_distribution_values.py

The arguments are doubles; what is written beside them is exact but for its last digit.
"""

from __future__ import annotations

from pathlib import Path

import mpmath

HEAD = """#pragma once

#include <array>

// clang-format off
// Written by make_distribution_values.py with mpmath at 60 digits. Nobody edits a figure here.
namespace distribution_values {

struct Row {
    double x, above, below;   ///< argument, degrees of freedom (0: none)
    double lesser, greater;   ///< P(X < x) and P(X > x)
};

"""


def beta(a: mpmath.mpf, b: mpmath.mpf, x: mpmath.mpf) -> mpmath.mpf:
    """Give the regularised incomplete beta function by its hypergeometric series."""
    if x > (a + 1) / (a + b + 2):
        return 1 - beta(b, a, 1 - x)
    scale = a * mpmath.log(x) + b * mpmath.log1p(-x) - mpmath.log(a)
    scale += mpmath.loggamma(a + b) - mpmath.loggamma(a) - mpmath.loggamma(b)
    return mpmath.exp(scale) * mpmath.hyp2f1(1, a + b, a + 1, x)


def normal(x: float, _above: float, _below: float) -> tuple[mpmath.mpf, mpmath.mpf]:
    """Give both shares of the normal distribution."""
    return mpmath.erfc(-x / mpmath.sqrt(2)) / 2, mpmath.erfc(x / mpmath.sqrt(2)) / 2


def student(x: float, freedom: float, _below: float) -> tuple[mpmath.mpf, mpmath.mpf]:
    """Give both shares of Student's t."""
    n, at = mpmath.mpf(freedom), mpmath.mpf(x)
    tail = beta(n / 2, mpmath.mpf(1) / 2, n / (n + at * at)) / 2
    return (tail, 1 - tail) if x < 0 else (1 - tail, tail)


def chi_square(x: float, freedom: float, _below: float) -> tuple[mpmath.mpf, mpmath.mpf]:
    """Give both shares of chi-square."""
    a, half = mpmath.mpf(freedom) / 2, mpmath.mpf(x) / 2
    lesser = mpmath.gammainc(a, 0, half, regularized=True)
    return lesser, mpmath.gammainc(a, half, regularized=True)


def f(x: float, above: float, below: float) -> tuple[mpmath.mpf, mpmath.mpf]:
    """Give both shares of F."""
    a, b, at = mpmath.mpf(above), mpmath.mpf(below), mpmath.mpf(x)
    lesser = beta(a / 2, b / 2, a * at / (a * at + b))
    return lesser, beta(b / 2, a / 2, b / (a * at + b))


FREEDOMS = (0.5, 1.0, 2.5, 4.0, 9.0, 16.7, 59.5, 120.0, 1e4, 1e6)
GRIDS = {
    "normal": (normal, [(x, 0.0, 0.0) for x in (-37.5, -12.0, -6.5, -3.0, -1.0, -0.1, 0.25, 4.0)]),
    "student": (
        student,
        [(x, n, 0.0) for n in FREEDOMS for x in (-6.0, -2.0, -0.7, -0.01, 1.5)],
    ),
    "chi_square": (
        chi_square,
        [(n * r, n, 0.0) for n in FREEDOMS[:-2] for r in (0.05, 0.5, 0.95, 1.2, 2.0)]
        + [(n * r, n, 0.0) for n in FREEDOMS[-2:] for r in (0.99, 1.0, 1.01)],
    ),
    "f": (
        f,
        [
            (x, a, b)
            for a in (0.5, 1.0, 3.0, 17.0, 240.0)
            for b in (0.5, 2.0, 8.5, 60.0, 1e4)
            for x in (0.1, 0.8, 1.7, 5.0)
        ],
    ),
}


def main() -> None:
    """Write the header."""
    mpmath.mp.dps = 60
    text = HEAD
    for name, (shares, grid) in GRIDS.items():
        rows = [(*given, *shares(*given)) for given in grid]
        # A share below the range of a double proves nothing.
        rows = [row for row in rows if min(row[3:]) > mpmath.mpf("1e-300")]
        text += f"inline constexpr std::array<Row, {len(rows)}> {name}{{{{\n"
        for x, above, below, lesser, greater in rows:
            exact = ", ".join(mpmath.nstr(share, 20) for share in (lesser, greater))
            text += f"    {{{x!r}, {above!r}, {below!r}, {exact}}},\n"
        text += "}};\n\n"
    text += "}  // namespace distribution_values\n"
    Path(__file__).with_name("distribution_values.hpp").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
