"""Several threads of Python ask at once: each gets what it would have got alone."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

import numpy as np

import enginewright as ew

THREADS = 8


def at_once(work: Callable[[int], Any]) -> list[Any]:
    """What each thread got; all begin together."""
    answers: list[Any] = [None] * THREADS
    gate = threading.Barrier(THREADS)

    def one(place: int) -> None:
        gate.wait()
        answers[place] = work(place)

    threads = [threading.Thread(target=one, args=(place,)) for place in range(THREADS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return answers


def jobs(count: int) -> ew.Readings:
    """Four bores a job, three stations and two directions each."""
    rows = np.arange(count * 24)
    return ew.Readings(
        job=[f"J{row // 24}" for row in rows],
        engine="Linnet 2.0",
        stage="as received",
        feature="bore",
        number=rows % 24 // 6 + 1,
        station=[("top", "middle", "bottom")[row % 6 // 2] for row in rows],
        axis=[("thrust", "along")[row % 2] for row in rows],
        quantity="diameter",
        value=86.05 + np.random.default_rng(3).normal(0, 0.03, len(rows)),
        unit="mm",
        gauge="bore gauge",
    )


LIMITS = ew.Limits.from_json(
    """{"limit": [
    {"feature": "bore", "quantity": "diameter", "kind": "wear", "upper": "86.10 mm",
     "source": "invented"},
    {"feature": "bore", "quantity": "diameter", "kind": "new", "lower": "86.00 mm",
     "upper": "86.02 mm", "source": "invented"},
    {"feature": "bore", "quantity": "ovality", "upper": "0.05 mm", "source": "invented"},
    {"feature": "bore", "quantity": "taper", "upper": "0.05 mm", "source": "invented"}]}"""
)
GAUGES = ew.Gauges.from_json(
    """{"gauge": [{"name": "bore gauge", "resolution": "0.002 mm", "setting": "ring 86",
    "setting_uncertainty": "0.001 mm"}]}"""
)


def test_findings_are_the_same_as_alone():
    readings = jobs(60)
    alone = ew.inspect(readings, LIMITS, GAUGES)
    assert len(alone) > len(readings)
    for found in at_once(lambda _: ew.inspect(readings, LIMITS, GAUGES, threads=2)):
        assert found == alone


def test_readings_nobody_looked_at_before_are_checked_by_all_at_once():
    readings = jobs(40)
    for column in at_once(lambda _: np.asarray(readings["value"].values).sum()):
        assert column == readings["value"].values.sum()
    cells = at_once(lambda _: readings.cells())
    assert all(each == cells[0] for each in cells)


def test_a_named_source_is_one_source_for_all_threads():
    def bore(place: int) -> list[Any]:
        return [
            ew.Quantity(86.0, 0.001, source=f"ring at once {at % 5}") + ew.Quantity(0.0, 0.002)
            for at in range(400)
        ]

    all_bores = at_once(bore)
    # The ring is common and drops out of the difference; the readings' own doubts remain.
    own = 0.002 * np.sqrt(2)
    for bores in all_bores[1:]:
        for mine, other in zip(all_bores[0], bores, strict=True):
            assert abs((mine - other).standard_uncertainty - own) < 1e-15
    # Two readings that nobody named never share anything, whatever thread made them.
    loose = at_once(lambda _: [ew.Quantity(1.0, 0.1) for _ in range(400)])
    total = sum((each for many in loose for each in many), start=ew.Quantity(0.0))
    assert abs(total.standard_uncertainty - 0.1 * np.sqrt(400 * THREADS)) < 1e-9


def test_simulations_do_not_disturb_each_other():
    first = ew.Quantity(86.0, 0.003)
    second = ew.Quantity(85.95, 0.002)

    def drawn(_: int) -> Any:
        said = ew.measure.simulate(lambda a, b: a - b, first, second, draws=20_000, seed=5)
        return said

    answers = at_once(drawn)
    assert all(each == answers[0] for each in answers)
