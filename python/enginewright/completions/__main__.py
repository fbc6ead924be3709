"""Make the completion scripts again from the words of the command."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

import shtab

from enginewright.command.options import parser
from enginewright.completions import FILES

_FOLDERS = ("FOLDER", "FOLDER|JOB")
_PLACES = ("FILE", "MAP", "LIMITS", "GAUGES", "JOB", "PY|installed", "FILE.html|FILE.pdf")


def scripts() -> dict[str, str]:
    """Return the text of each script by file name."""
    words = parser()
    for action in _actions(words):
        if action.metavar in _FOLDERS:
            action.complete = shtab.DIRECTORY  # type: ignore[attr-defined]
        elif action.metavar in _PLACES:
            action.complete = shtab.FILE  # type: ignore[attr-defined]
    made = {name: shtab.complete(words, shell) for shell, name in FILES.items()}
    return {name: _signed(text) for name, text in made.items()}


def _actions(words: argparse.ArgumentParser) -> Iterator[argparse.Action]:
    for action in words._actions:
        yield action
        if isinstance(action, argparse._SubParsersAction):
            for verb in action.choices.values():
                yield from _actions(verb)


def _signed(text: str) -> str:
    """Name the version that made it, after the line that the shell itself looks for."""
    first, rest = text.split("\n", 1)
    lines = [line.rstrip() for line in [first, f"# made with shtab {shtab.__version__}", rest]]
    return "\n".join(lines).rstrip("\n") + "\n"


if __name__ == "__main__":
    for name, text in scripts().items():
        (Path(__file__).parent / name).write_text(text, encoding="utf-8")
