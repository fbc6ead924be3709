"""The head of a job's paper: who asked for what, what was found and done, who signs.

`job.toml` holds nothing that was measured. All of it is optional but the number:

    number = "2417"
    engine = "Linnet 2.0"
    customer = "J. Bramley"
    received = 2026-03-02
    promised = 2026-03-20
    asked = "Knocks when warm; bottom end to be made good"
    found = ["Number two main bearing picked up"]
    done = ["Mains ground 0.50 mm under"]
    signed_by = "A. Turner"

    [shop]
    name = "Hollow Lane Engine Works"
    address = ["3 Hollow Lane", "Fenbridge"]
    phone = "0100 555 010"
"""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from datetime import date, datetime
from pathlib import Path
from typing import Any

__all__ = ["JobHead", "Shop", "head_from", "read_head"]

#: Nobody writes more than this about one job; a larger file is some other file.
LARGEST = 1_000_000


@dataclass(frozen=True, slots=True)
class Shop:
    """The shop's name, the lines of its address, its telephone number."""

    name: str = ""
    address: tuple[str, ...] = ()
    phone: str = ""

    def as_dict(self) -> dict[str, Any]:
        """Give the shop as a dictionary, as `job.json` keeps it."""
        return {"name": self.name, "address": list(self.address), "phone": self.phone}


@dataclass(frozen=True, slots=True)
class JobHead:
    """What stands at the top of a job's paper. Dates are dates, or text where the shop wrote text.

    >>> from enginewright._head import head_from
    >>> head_from({"number": "2417", "found": ["Bore 2 scored"]}).found
    ('Bore 2 scored',)
    """

    number: str
    engine: str = ""
    customer: str = ""
    received: date | str | None = None
    promised: date | str | None = None
    asked: tuple[str, ...] = ()
    found: tuple[str, ...] = ()
    done: tuple[str, ...] = ()
    signed_by: str = ""
    shop: Shop = field(default_factory=Shop)

    def as_dict(self) -> dict[str, Any]:
        """Give the head as a dictionary of texts and lists, as `job.json` keeps it."""
        return {
            "number": self.number,
            "engine": self.engine,
            "customer": self.customer,
            "received": _written(self.received),
            "promised": _written(self.promised),
            "asked": list(self.asked),
            "found": list(self.found),
            "done": list(self.done),
            "signed_by": self.signed_by,
            "shop": self.shop.as_dict(),
        }


def read_head(path: str | Path) -> JobHead:
    """Read `job.toml`.

    path  the file

    Returns
    -------
    JobHead
        The head, every key checked.

    Raises
    ------
    ValueError
        When the file is not TOML or a key is unknown, missing or of the wrong kind; all faults are
        named together, an unknown key with the nearest known one.
    OSError
        When the file cannot be opened.
    """
    path = Path(path)
    with path.open("rb") as file:
        content = file.read(LARGEST + 1)
    if len(content) > LARGEST:
        raise ValueError(f"{path.name} must hold at most {LARGEST} bytes: it is no job head")
    try:
        given = tomllib.loads(content.decode("utf-8"))
    except UnicodeDecodeError:
        raise ValueError(f"{path.name} must be UTF-8 text; save it again as UTF-8") from None
    except tomllib.TOMLDecodeError as fault:
        raise ValueError(f"{path.name} is not valid TOML: {fault}") from None
    return head_from(given, path.name)


def head_from(given: Mapping[str, Any] | JobHead, place: str = "job head") -> JobHead:
    """Make a head from a mapping with the keys of `job.toml`, or of a head in `job.json`.

    given  the mapping; a `JobHead` is given back as it is
    place  what the mapping is called in refusals
    """
    if isinstance(given, JobHead):
        return given
    faults: list[str] = []
    known = {one.name for one in fields(JobHead)}
    _refuse_unknown(given, known, faults)
    shop = _shop(given.get("shop"), faults)
    number = given.get("number")
    if isinstance(number, int) and not isinstance(number, bool):
        number = str(number)
    head = JobHead(
        number=_text("number", number, faults),
        engine=_text("engine", given.get("engine"), faults),
        customer=_text("customer", given.get("customer"), faults),
        received=_date("received", given.get("received"), faults),
        promised=_date("promised", given.get("promised"), faults),
        asked=_sentences("asked", given.get("asked"), faults),
        found=_sentences("found", given.get("found"), faults),
        done=_sentences("done", given.get("done"), faults),
        signed_by=_text("signed_by", given.get("signed_by"), faults),
        shop=shop,
    )
    if not head.number.strip() and not any(fault.startswith("number ") for fault in faults):
        faults.insert(0, "number must be given: the shop's job number")
    if faults:
        raise ValueError(f"{place}: " + "; ".join(faults))
    return head


def _refuse_unknown(given: Mapping[str, Any], known: set[str], faults: list[str]) -> None:
    for key in given:
        if key not in known:
            near = difflib.get_close_matches(key, sorted(known), n=1)
            hint = f"; did you mean '{near[0]}'?" if near else f" (of {', '.join(sorted(known))})"
            faults.append(f"'{key}' is not a key of this file{hint}")


def _shop(given: Any, faults: list[str]) -> Shop:
    if given is None:
        return Shop()
    if isinstance(given, str):
        return Shop(name=given)
    if not isinstance(given, Mapping):
        faults.append(f"shop must be a table with name, address and phone, got {given!r}")
        return Shop()
    _refuse_unknown(given, {"name", "address", "phone"}, faults)
    return Shop(
        _text("shop.name", given.get("name"), faults),
        _sentences("shop.address", given.get("address"), faults),
        _text("shop.phone", given.get("phone"), faults),
    )


def _text(name: str, given: Any, faults: list[str]) -> str:
    if given is None:
        return ""
    if isinstance(given, str):
        return given
    faults.append(f"{name} must be text, got {given!r}")
    return ""


def _sentences(name: str, given: Any, faults: list[str]) -> tuple[str, ...]:
    if given is None:
        return ()
    if isinstance(given, str):
        return (given,)
    if isinstance(given, (list, tuple)) and all(isinstance(one, str) for one in given):
        return tuple(given)
    faults.append(f"{name} must be a list of sentences, got {given!r}")
    return ()


def _date(name: str, given: Any, faults: list[str]) -> date | str | None:
    if given is None or given == "":
        return None
    if isinstance(given, datetime):
        return given.date()
    if isinstance(given, date):
        return given
    if isinstance(given, str):
        try:
            return date.fromisoformat(given)
        except ValueError:
            return given
    faults.append(f"{name} must be a date (2026-03-02) or text, got {given!r}")
    return None


def _written(day: date | str | None) -> str | None:
    return day.isoformat() if isinstance(day, date) else day
