"""The words of papers and figures: one file a language, nothing hard-wired.

A language is a TOML file (`templates/words.en.toml` is the English one). Sentences carry places for
figures in braces: "{count} outside". Words of the trade that come from the readings themselves
(features, stations, verdicts) are looked up under `[say]` and stand as they are when it has none.
"""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Iterator, Mapping
from functools import lru_cache
from importlib import resources
from pathlib import Path
from typing import Any

__all__ = ["Words", "load"]

PLACE = re.compile(r"\{([a-z_]+)\}")
#: Sections that a language may leave out, or fill with words this program has never heard of.
OPEN = ("say", "cautions")


class Words:
    """The words of one language, asked for by their dotted name.

    >>> from enginewright._words import load
    >>> load("en")("outcome.outside", count=3)
    '3 outside'
    """

    def __init__(self, texts: Mapping[str, Any], name: str = "words") -> None:
        self._texts = texts
        self._name = name

    @property
    def language(self) -> str:
        """The language's tag, as papers state it: "en"."""
        return str(self._texts["language"])

    def __call__(self, key: str, /, **figures: object) -> str:
        """Give the text of a dotted name, its places filled."""
        text = self._find(key)
        if not isinstance(text, str):
            raise KeyError(f"{self._name} has no text {key!r}")
        # Not str.format: a file of words is data, and data never reaches into objects.
        return PLACE.sub(lambda place: str(figures.get(place[1], place[0])), text)

    def all(self, key: str) -> tuple[str, ...]:
        """Give the list of texts of a dotted name, empty when there is none."""
        found = self._find(key)
        return tuple(str(text) for text in found) if isinstance(found, list) else ()

    def say(self, kind: str, word: str) -> str:
        """Give a word of the readings in this language, or as it stands."""
        found = self._find(f"say.{kind}")
        return str(found.get(word, word)) if isinstance(found, Mapping) else word

    def _find(self, key: str) -> Any:
        found: Any = self._texts
        for part in key.split("."):
            if not isinstance(found, Mapping) or part not in found:
                return None
            found = found[part]
        return found


def load(words: str | Path | Mapping[str, Any] | Words = "en") -> Words:
    """Load a language: its tag, the path of a words file, or the file's content as a mapping.

    A file that lacks a text, or a place inside a text, that the English one has is refused: a paper
    with a hole in it helps nobody.
    """
    if isinstance(words, Words):
        return words
    if isinstance(words, Mapping):
        return _checked(words, "words")
    if isinstance(words, str) and not words.endswith(".toml"):
        return _shipped(words)
    path = Path(words)
    try:
        return _checked(tomllib.loads(path.read_text(encoding="utf-8")), path.name)
    except tomllib.TOMLDecodeError as fault:
        raise ValueError(f"{path.name} is not valid TOML: {fault}") from None


@lru_cache(maxsize=8)
def _shipped(language: str) -> Words:
    folder = resources.files("enginewright") / "templates"
    found = (re.fullmatch(r"words\.(.+)\.toml", file.name) for file in folder.iterdir())
    there = sorted(name[1] for name in found if name)
    if language not in there:
        known = ", ".join(there)
        raise ValueError(f"words must be one of {known}, or the path of a file; got {language!r}")
    file = f"words.{language}.toml"
    texts = tomllib.loads((folder / file).read_text(encoding="utf-8"))
    return Words(texts, file) if language == "en" else _checked(texts, file)


def _checked(texts: Mapping[str, Any], name: str) -> Words:
    wanted = dict(_leaves(_shipped("en")._texts))
    given = dict(_leaves(texts))
    faults = [f"{key} is missing" for key in wanted if key not in given]
    for key, value in given.items():
        if key not in wanted:
            near = difflib.get_close_matches(key, wanted, n=1)
            hint = f"; did you mean {near[0]}?" if near else ""
            faults.append(f"{key} is not a text of this program{hint}")
        elif type(value) is not type(wanted[key]):
            faults.append(f"{key} must be {'a list' if isinstance(wanted[key], list) else 'text'}")
        elif isinstance(value, str) and set(PLACE.findall(value)) != set(
            PLACE.findall(wanted[key])
        ):
            places = ", ".join(f"{{{place}}}" for place in PLACE.findall(wanted[key]))
            faults.append(f"{key} must hold the places {places or 'of the English text: none'}")
    if faults:
        raise ValueError(f"{name}: " + "; ".join(faults))
    return Words(texts, name)


def _leaves(texts: Mapping[str, Any], before: str = "") -> Iterator[tuple[str, Any]]:
    for key, value in texts.items():
        if not before and key in OPEN:
            continue
        if isinstance(value, Mapping):
            yield from _leaves(value, f"{before}{key}.")
        else:
            yield f"{before}{key}", value
