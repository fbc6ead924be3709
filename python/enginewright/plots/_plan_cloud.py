"""Plan cloud: where the residual may land when the work has its errors."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from enginewright._words import load
from enginewright.balance import plan_outcomes, simulate_plan
from enginewright.plots._canvas import SMALL, WIDTH, Canvas, Picture
from enginewright.plots._dials import FACE, HEIGHT, TOP, dial_face, place_on
from enginewright.plots._palette import INK, PAPER, QUIET, SHADES

__all__ = ["plan_cloud"]

#: Dots drawn of all that were reckoned: more only make the page heavy.
DOTS = 300


def plan_cloud(
    plan: Any,
    sites: Sequence[Any],
    *,
    draws: int = 20000,
    seed: int = 1,
    name: str = "plan cloud",
    words: Any = "en",
) -> Picture:
    """Draw the outcomes of a plan in both tolerance planes, with the probability in words.

    plan   `balance.CorrectionPlan`
    sites  those that it was made for
    draws  outcomes that the probability is counted from
    seed   the same seed draws the same dots
    name   goes into the ids of the SVG text
    words  language
    """
    say = load(words)
    played = simulate_plan(plan, sites, draws=draws, seed=seed)
    dots = plan_outcomes(plan, sites, draws=DOTS, seed=seed)
    canvas = Canvas(name, HEIGHT + 12.0)
    parts = []
    for p in range(2):
        centre = (WIDTH * (0.25 + 0.5 * p), TOP)
        reach = max(1.25 * plan.tolerance[p], 1.05 * float(abs(dots[:, p]).max()))
        position = f"{plan.tolerance_planes[p]:.0f}"
        title = say("figures.dials.plane", number=p + 1, position=position)
        dial_face(canvas, centre, title, plan.tolerance[p], reach, say)
        for dot in dots[:, p]:
            x, y = place_on(centre, complex(dot), reach)
            canvas.box(x - 0.3, y - 0.3, 0.6, 0.6, fill=SHADES[4])
        x, y = place_on(centre, complex(plan.residual[p]), reach)
        canvas.disc(x, y, 1.5, fill=PAPER, edge=INK, width=1.4)
        text = say(
            "figures.plan_cloud.one",
            number=p + 1,
            percent=f"{100 * played.probability[p]:.0f}",
            worst=f"{played.worst_95[p]:.0f}",
        )
        canvas.text(centre[0], TOP + FACE + 11.0, text, size=SMALL, colour=QUIET, align="center")
        parts.append(text)
    both = say("figures.plan_cloud.both", percent=f"{100 * played.probability_both:.0f}")
    canvas.text(WIDTH / 2, TOP + FACE + 16.5, both, bold=True, align="center")
    return canvas.done(say("figures.plan_cloud.title"), " ".join([*parts, both]))
