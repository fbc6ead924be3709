"""Stage ladder: what each part brought to the assembly, against its own tolerance."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from enginewright._words import load
from enginewright.plots._canvas import SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import INK, QUIET, RULE, SHADES

__all__ = ["stages"]

#: Room for names and for figures, height of one stage, mm.
NAMES, FIGURES, STEP, HEAD = 30.0, 42.0, 13.0, 8.0


def stages(findings: Sequence[Any], *, name: str = "stages", words: Any = "en") -> Picture:
    """Draw the contribution of each part, one pair of bars a stage, in parts of its tolerance.

    The upright line is the part's own tolerance: a bar beyond it is the part to blame. The thin bar
    across the end is twice the standard uncertainty to either side.

    findings  of `balance.staged_assembly`, in order
    name      goes into the ids of the SVG text
    words     language

    Raises
    ------
    ValueError
        When there is no stage.
    """
    say = load(words)
    if not findings:
        raise ValueError("findings must hold at least one stage, got none")
    canvas = Canvas(name, HEAD + STEP * len(findings) + 6.0)
    limit = NAMES + (WIDTH - NAMES - FIGURES) * 0.55
    unit = limit - NAMES
    bottom = HEAD + STEP * len(findings)
    parts = []
    for k, found in enumerate(findings):
        top = HEAD + STEP * k
        canvas.guide((0, WIDTH), (top, top))
        canvas.text(0, top + STEP / 2, found.name, bold=True, room=NAMES - 3)
        for p in range(2):
            y = top + 3.9 + 5.2 * p
            ratio = None if found.ratio is None else float(found.ratio[p])
            if ratio is not None:
                most = (WIDTH - NAMES - FIGURES) / unit
                end = NAMES + unit * min(ratio, most)
                canvas.box(NAMES, y - 1.7, max(end - NAMES, 0.2), 3.4, fill=SHADES[3 + p])
                if ratio > most:
                    canvas.text(end - 1.0, y, "»", bold=True, colour="#ffffff", align="right")
                doubt = 2 * found.uncertainty * ratio / max(float(found.amount[p]), 1e-9) * unit
                ends = (max(NAMES, end - doubt), min(NAMES + unit * most, end + doubt))
                canvas.line(ends, (y, y), colour=INK, width=1.1)
                for x in ends:
                    canvas.line((x, x), (y - 1.0, y + 1.0), colour=INK, width=1.1)
            canvas.verdict(WIDTH - FIGURES + 4.0, y, found.verdict[p])
            text = say(
                "figures.stages.figure",
                number=p + 1,
                amount=f"{found.amount[p]:.0f}",
                angle=f"{found.angle[p]:.0f}",
            )
            canvas.text(WIDTH, y, text, size=SMALL, align="right")
            parts.append(f"{found.name}: {text}, {say.say('verdict', found.verdict[p])}.")
    canvas.guide((0, WIDTH), (bottom, bottom))
    canvas.line((limit, limit), (HEAD - 1.0, bottom), width=1.4, dashes=(1.6, 1.0))
    canvas.text(limit, HEAD - 4.0, say("figures.stages.limit"), size=SMALL, align="center")
    canvas.line((NAMES, NAMES), (HEAD, bottom), colour=RULE, width=1.0)
    canvas.text(0, bottom + 3.5, say("figures.stages.note"), size=SMALL, colour=QUIET, room=WIDTH)
    return canvas.done(say("figures.stages.title"), " ".join(parts))
