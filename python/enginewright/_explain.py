"""Words that explain checks, verdicts and quantities."""

from __future__ import annotations

import difflib

from enginewright import _core

_VERDICTS = {
    "within": (
        "within: the reading is inside its limits, and its doubt is too.",
        "The probability that the part conforms is at least the level (95 % unless asked "
        "otherwise).",
    ),
    "outside": (
        "outside: the reading is outside its limits, and its doubt cannot bring it back.",
        "The probability that the part does not conform is at least the level.",
    ),
    "unproven": (
        "unproven: the gauge cannot decide.",
        "The doubt of the reading reaches over the limit. Unproven is not good: read again, take "
        "a finer gauge, or agree the decision rule with the customer in writing.",
    ),
    "unlimited": (
        "unlimited: there is no limit for it.",
        "The figure is shown and not judged. A plan that solves the matter stands as unlimited "
        "too.",
    ),
}
_RULE = "Source: ISO 14253-1 (decision rule), JCGM 106 (probability of conformity)."


def _of_check(info: _core.job.CheckInfo) -> str:
    lines = [f"{info.check}: {info.value}.", f"Rule: {info.rule}.", f"Readings: {info.rows}."]
    lines += [f"Limits: {info.limits}."] if info.limits else []
    lines += [f"Engine card: {info.card}."] if info.card else []
    lines += [f"Next: {info.next}."] if info.next else []
    return "\n".join([*lines, f"Source: {info.source}."])


def text_of_finding(check: str, verdict: str) -> str:
    """Text of the rule behind a finding: its check, how it was judged, the source."""
    known = {info.check: info for info in _core.job.checks()}
    lines = (
        [_of_check(known[check])] if check in known else [f"{check}: a check of the shop's own."]
    )
    if verdict in _VERDICTS:
        lines += ["", *_VERDICTS[verdict], _RULE]
    return "\n".join(lines)


def text_of(what: str) -> str:
    """Text for one word; ValueError with near words when it is not known."""
    word = what.strip()
    for info in _core.job.checks():
        if info.check == word:
            return _of_check(info)
    if word in _VERDICTS:
        return "\n".join([*_VERDICTS[word], _RULE])
    vocabulary = _core.table.vocabulary()
    for each in vocabulary:
        if each.word == word:
            where = f" in {each.unit}" if each.unit else ""
            kind = f", a {each.dimension}" if each.dimension else ""
            return f"{each.word}: a {each.kind} of the shop's words{kind}{where}."
    known = [info.check for info in _core.job.checks()] + list(_VERDICTS)
    known += [each.word for each in vocabulary]
    near = difflib.get_close_matches(word, known, 3)
    hint = f"; near: {', '.join(near)}" if near else ""
    raise ValueError(f"no check, verdict or quantity is called {what!r}{hint}")
