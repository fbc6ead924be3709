"""The engine card as Python sees it: every key as an attribute, figures in canonical units."""

from __future__ import annotations

import difflib
import json
from collections.abc import Iterator, Mapping
from functools import cache
from html import escape
from typing import Any

from enginewright import _core

__all__ = ["EngineCard"]


@cache
def _keys() -> dict[str, Any]:
    return {each.key: each for each in _core.table.card_keys()}


class EngineCard:
    """What no reading gives: the engine's card.

    Every key of the file is an attribute, in its canonical unit (`units` lists them): one figure is
    a float, a list a tuple, a table a mapping. What the card does not state is None.

    Examples
    --------
    >>> limits = ew.Limits.from_json('{"engine": [{"name": "Linnet 2.0", "bore": "86.00 mm"}]}')
    >>> card = limits.cards["Linnet 2.0"]
    >>> card.bore
    86.0
    >>> card
    EngineCard(name='Linnet 2.0', bore=86.0 mm)
    """

    __slots__ = ("_figures", "_written")

    def __init__(self, figures: str, written: str) -> None:
        self._figures = {key: _frozen(key, value) for key, value in json.loads(figures).items()}
        self._written = written

    @property
    def units(self) -> Mapping[str, str]:
        """Unit of each key that has one."""
        return {key: each.unit for key, each in _keys().items() if each.unit}

    @property
    def written(self) -> Mapping[str, Any]:
        """The card as it was written, figures as texts with their unit."""
        found: Mapping[str, Any] = json.loads(self._written)
        return found

    def __getattr__(self, key: str) -> Any:
        if not key.startswith("_"):
            if key in _keys():
                return self._figures.get(key)
            near = difflib.get_close_matches(key, _keys(), n=1)
            hint = f"; did you mean {near[0]}?" if near else ""
            raise AttributeError(f"an engine card has no key {key!r}{hint}")
        raise AttributeError(key)

    def __dir__(self) -> list[str]:
        return sorted({*object.__dir__(self), *_keys()})

    def __iter__(self) -> Iterator[str]:
        return iter(self._figures)

    def as_dict(self) -> dict[str, Any]:
        """Return the keys that the card states."""
        return dict(self._figures)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, EngineCard):
            return NotImplemented
        return self._figures == other._figures

    def __hash__(self) -> int:
        return hash(self._written)

    def __reduce__(self) -> tuple[Any, ...]:
        return (_card_again, (self._written,))

    def __repr__(self) -> str:
        return f"EngineCard({', '.join(f'{key}={text}' for key, text in self._shown())})"

    def _repr_html_(self) -> str:
        rows = "".join(
            f"<tr><th>{escape(key)}</th><td>{escape(text)}</td>"
            f"<td>{escape(_keys()[key].meaning)}</td></tr>"
            for key, text in self._shown()
        )
        return f"<table><caption>EngineCard</caption><tbody>{rows}</tbody></table>"

    def _shown(self) -> Iterator[tuple[str, str]]:
        for key, value in self._figures.items():
            unit = _keys()[key].unit
            yield key, f"{value!r} {unit}" if unit else repr(value)


def _card_again(written: str) -> EngineCard:
    limits = _core.table.limits_from_json(json.dumps({"engine": [json.loads(written)]}), "card")
    (figures,) = limits.card_figures().values()
    return EngineCard(figures, written)


def _frozen(key: str, value: Any) -> Any:
    if key == "shelf":
        return {name: _shelf(each) for name, each in value.items()}
    if isinstance(value, list):
        return tuple(_frozen("", each) for each in value)
    if isinstance(value, dict):
        return {name: _frozen("", each) for name, each in value.items()}
    return value


def _shelf(value: Any) -> Any:
    """Pieces by size, or wall and pieces by grade."""
    if isinstance(value, list):
        return {each["size"]: each["pieces"] for each in value}
    return value
