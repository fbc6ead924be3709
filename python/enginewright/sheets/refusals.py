"""Why a cell was not read: one sentence for the cell, one for what to do about it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from enginewright import UnitError, units
from enginewright.sheets import vocabulary
from enginewright.sheets.grid import ErrorCell, Uncalculated, is_date, shown

__all__ = [
    "BARE",
    "Refusal",
    "impossible_size",
    "no_number",
    "no_unit",
    "refusal_of_cell",
    "refusal_of_text",
    "unreadable",
]

BARE = re.compile(
    r"[+\-\u2212]?[\d.,'\u2019 \u00a0\u202f\u00bc-\u00be\u2150-\u215e/-]+(?:[eE][+-]?\d+)?"
)
_ERROR = re.compile(r"#[A-Z/0!?]+[!?AE0]")
_BOUND = re.compile(r"[<>\u2264\u2265~\u2248\u00b1]")


@dataclass(frozen=True)
class Refusal:
    """Why a cell was not read."""

    code: str
    message: str
    suggestion: str = ""
    severity: str = "error"


def refusal_of_cell(cell: Any) -> Refusal:
    """Say why a cell that is neither number nor text holds no reading."""
    if isinstance(cell, ErrorCell):
        return Refusal(
            "error cell",
            f"this cell holds the error {cell.text}",
            "correct the formula, or type what was read",
        )
    if isinstance(cell, Uncalculated):
        return Refusal(
            "uncalculated formula",
            "this cell holds a formula that was saved without its value",
            "open the file in a spreadsheet program, let it calculate, and save it again",
        )
    if is_date(cell):
        return Refusal(
            "date for a number",
            f"this cell holds the date {shown(cell)}; spreadsheets turn 1-2 into a date",
            "format the column as text and type it again",
        )
    return Refusal("no number", f"this cell holds {shown(cell)}, which is no number")


def no_unit() -> Refusal:
    """Say that a cell which should bring its unit does not."""
    return Refusal(
        "no unit",
        "this cell brings no unit, and each cell of its column should",
        "write for example '5 mm'",
    )


def no_number(text: str) -> Refusal:
    """Say that a cell holds no number at all."""
    return Refusal("unreadable number", f"{text!r} is no number", "type what was read")


def refusal_of_text(text: str) -> Refusal | None:
    """Say why a text can never be a reading, whatever its column's unit."""
    if _ERROR.fullmatch(text):
        return refusal_of_cell(ErrorCell(text))
    if _BOUND.match(text):
        return Refusal(
            "bound for a number",
            f"{text!r} says what the reading is not",
            "type what was read, or name the text under [words] of the map",
        )
    return None


def _is_amount(text: str) -> bool:
    """Tell whether a text is a number with some unit, if not with the one that is wanted."""
    try:
        units.parse(text)
    except UnitError:
        return False
    return True


def unreadable(
    text: str, dimension: str | None, told: str, words: Mapping[str, tuple[str, str]]
) -> Refusal:
    """Say why `units.parse` would not have a text, and what may have been meant."""
    shown_text = shown(text)
    if not any(letter.isdigit() for letter in text):
        near = vocabulary.near(text, [spelling for spelling, _ in words.values()])
        hint = f"did you mean {near[0]!r}? " if near else ""
        return Refusal(
            "unknown word",
            f"{shown_text!r} stands where a number belongs",
            f"{hint}name it under [words] of the map as not measured or observation",
        )
    mended = text.translate(str.maketrans("OolIS", "00115"))
    if mended != text and BARE.fullmatch(mended):
        return Refusal(
            "unreadable number",
            f"{shown_text!r} is no number: it holds letters",
            f"if {shown(mended)} was meant, type it again",
        )
    if dimension is not None and _is_amount(text):
        return Refusal("unsuitable unit", f"{shown_text!r}: {told}", "correct the unit")
    return Refusal(
        "unreadable number", f"{shown_text!r} is no number: {told}", "type what was read"
    )


def impossible_size(value: float, unit: str) -> Refusal:
    """Say that no part has this size: a slip of the decimal mark or of the unit."""
    rule = (
        "a diameter must be above 0 mm"
        if value <= 0
        else "a length must be between 0.000001 mm and 100000 mm"
    )
    return Refusal("impossible size", f"{rule}, got {value:g} {unit}", "type what was read")
