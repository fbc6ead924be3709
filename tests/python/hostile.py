"""Values that no caller should give, and what an answer to them may be."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np

import enginewright as ew


class Refuses:
    """Something like a number that fails when it is asked for its value."""

    def __float__(self) -> float:
        raise RuntimeError("no value today")


class ArrayRefuses:
    """Something like an array that fails when it is asked for its elements."""

    def __array__(self, dtype: Any = None, copy: Any = None) -> np.ndarray:
        raise RuntimeError("no elements today")


class FloatRefuses(float):
    """A float whose conversion fails."""

    def __float__(self) -> float:
        raise RuntimeError("no value today")


class LengthLies:
    """A sequence that says it has more than it gives."""

    def __len__(self) -> int:
        return 3

    def __getitem__(self, index: int) -> float:
        raise IndexError(index)


def list_of_itself() -> list[Any]:
    endless: list[Any] = []
    endless.append(endless)
    return endless


def read_only(array: np.ndarray) -> np.ndarray:
    array.setflags(write=False)
    return array


#: By name: makes the value anew, so that no call can spoil it for the next one.
VALUES: dict[str, Callable[[], Any]] = {
    "nan": lambda: math.nan,
    "inf": lambda: math.inf,
    "-inf": lambda: -math.inf,
    "-0.0": lambda: -0.0,
    "0": lambda: 0,
    "least double": lambda: 5e-324,
    "1e308": lambda: 1e308,
    "-1e308": lambda: -1e308,
    "1e-300": lambda: 1e-300,
    "1e16": lambda: 1e16,
    "negative": lambda: -3.5,
    "negative whole": lambda: -3,
    "large whole": lambda: 2**31,
    "larger whole": lambda: 2**63,
    "whole beyond doubles": lambda: 10**400,
    "True": lambda: True,
    "None": lambda: None,
    "text": lambda: "86.00",
    "no text": lambda: "",
    "odd text": lambda: "\udcff\x00",
    "bytes": lambda: b"86",
    "complex": lambda: 1 + 2j,
    "complex nan": lambda: complex(math.nan, 1),
    "no list": lambda: [],
    "list": lambda: [86.0, 86.1, 86.2],
    "list with nan": lambda: [86.0, math.nan, 86.2],
    "list with text": lambda: [86.0, "86.1"],
    "list with None": lambda: [None, 86.0],
    "ragged list": lambda: [[86.0], [86.0, 86.1]],
    "list of lists": lambda: [[1.0, 2.0], [3.0, 4.0]],
    "list of itself": list_of_itself,
    "list of itself and a Quantity": lambda: [list_of_itself(), ew.Quantity(86.0, 0.01)],
    "dict": lambda: {"bore": 86.0},
    "set": lambda: {86.0},
    "object": object,
    "generator": lambda: (x for x in (1.0, 2.0)),
    "no dimensions": lambda: np.array(86.0),
    "empty array": lambda: np.array([]),
    "empty rows": lambda: np.zeros((3, 0)),
    "one element": lambda: np.array([86.0]),
    "three dimensions": lambda: np.ones((2, 2, 2)),
    "forty elements": lambda: np.linspace(1, 40, 40),
    "nan in the last of 1001": lambda: np.r_[np.full(1000, 86.0), math.nan],
    "strided": lambda: np.linspace(1, 9, 9)[::2],
    "backwards": lambda: np.linspace(1, 9, 9)[::-1],
    "columns first": lambda: np.asfortranarray(np.arange(6.0).reshape(2, 3)),
    "read only": lambda: read_only(np.array([1.0, 2.0])),
    "masked": lambda: np.ma.array([1.0, 2.0], mask=[False, True]),
    "array of objects": lambda: np.array([1.0, "a"], dtype=object),
    "array of texts": lambda: np.array(["a", "b"]),
    "array of truths": lambda: np.array([True, False]),
    "array of complex": lambda: np.array([1 + 1j]),
    "array of dates": lambda: np.array(["2026-01-01"], dtype="datetime64[D]"),
    "big-endian": lambda: np.array([1.0, 2.0], dtype=">f8"),
    "float16": lambda: np.array([1.0, 65504.0], dtype=np.float16),
    "long double": lambda: np.longdouble("1e4000"),
    "NumPy float": lambda: np.float32(86.1),
    "NumPy whole": lambda: np.int64(-7),
    "NumPy truth": lambda: np.bool_(True),
    "Quantity": lambda: ew.Quantity(86.0, 0.01),
    "doubtful Quantity": lambda: ew.Quantity(1.0, 1e6),
    "column of Quantity": lambda: ew.Quantity(np.array([1.0, 2.0]), 0.1),
    "refuses": Refuses,
    "array refuses": ArrayRefuses,
    "float refuses": lambda: FloatRefuses(1.0),
    "length lies": LengthLies,
}


def is_finite(answer: Any, allowed: frozenset[str] = frozenset(), name: str = "") -> bool:
    """Tell whether nothing in an answer is NaN or infinite; `allowed` fields may be."""
    if name in allowed or answer is None or isinstance(answer, str | bytes | bool | int):
        return True
    if isinstance(answer, float | complex | np.number):
        return bool(np.isfinite(answer))
    if isinstance(answer, np.ma.MaskedArray):
        return is_finite(answer.compressed(), allowed)
    if isinstance(answer, np.ndarray):
        if answer.dtype.kind == "O":
            return all(is_finite(each, allowed) for each in answer.ravel())
        return answer.dtype.kind not in "fc" or bool(np.isfinite(answer).all())
    if isinstance(answer, ew.Quantity):
        return is_finite(answer.value) and is_finite(answer.standard_uncertainty)
    if isinstance(answer, dict):
        return all(is_finite(each, allowed, key) for key, each in answer.items())
    if isinstance(answer, list | tuple):
        return all(is_finite(each, allowed) for each in answer)
    if hasattr(answer, "as_dict"):
        return is_finite(answer.as_dict(), allowed)
    return True


def same(one: Any, other: Any) -> bool:
    """Tell whether an argument is what it was: arrays to the bit, anything else by its text."""
    if isinstance(one, np.ndarray):
        return one.tobytes() == other.tobytes() and one.flags.writeable == other.flags.writeable
    if isinstance(one, list | dict | set | tuple):
        return repr(one) == repr(other)
    return True
