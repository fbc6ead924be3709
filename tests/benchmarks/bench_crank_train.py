"""The crank train: closed forms over arrays against NumPy, harmonics against an FFT."""

from __future__ import annotations

import numpy as np
from harness import Table

import enginewright as ew

STROKE, ROD = 86.0, 145.0


def depth(angle: np.ndarray, offset: float = 0.0) -> np.ndarray:
    """Give the printed formula as a NumPy expression, without a check."""
    r = STROKE / 2
    theta = np.radians(angle) + np.arcsin(offset / (ROD + r))
    h = r * np.sin(theta) - offset
    top = np.sqrt((ROD + r) ** 2 - offset**2)
    return top - r * np.cos(theta) - np.sqrt(ROD**2 - h**2)


def acceleration(angle: np.ndarray) -> np.ndarray:
    """Give the second derivative of depth, in multiples of r omega²."""
    r, theta = STROKE / 2, np.radians(angle)
    h, along = r * np.sin(theta), r * np.cos(theta)
    q = np.sqrt(ROD**2 - h**2)
    return (along + (along**2 - h**2) / q + (h * along) ** 2 / q**3) / r


def run(table: Table) -> None:
    """Add the rows."""
    angle = np.random.default_rng(1).uniform(-360, 360, 1_000_000)
    table.add(
        "crank_train.piston_depth over 1 000 000",
        "NumPy, no checks",
        ">= 2x",
        lambda: ew.crank_train.piston_depth(angle, stroke=STROKE, rod_length=ROD),
        lambda: depth(angle),
        lambda a, b: bool(np.allclose(a, b, rtol=0, atol=1e-12)),
    )
    strokes = np.full(1_000_000, STROKE)
    table.add(
        "the same with a stroke for each",
        "NumPy, no checks",
        ">= 2x",
        lambda: ew.crank_train.piston_depth(angle, stroke=strokes, rod_length=ROD),
        lambda: depth(angle),
        lambda a, b: bool(np.allclose(a, b, rtol=0, atol=1e-12)),
    )

    def ours() -> np.ndarray:
        for _ in range(100):
            found = ew.crank_train.acceleration_harmonics(
                stroke=STROKE, rod_length=ROD, orders=8
            ).cosine
        return found

    turn = np.arange(256) * 360 / 256

    def theirs() -> np.ndarray:
        for _ in range(100):
            found = np.fft.rfft(acceleration(turn)).real[1:9] / 128
        return found

    table.add(
        "harmonics of the piston, 8 orders (100 calls)",
        "NumPy FFT of 256 samples",
        ">= 1x",
        ours,
        theirs,
        lambda a, b: bool(np.allclose(a, b, rtol=0, atol=1e-13)),
    )
