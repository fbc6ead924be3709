"""Weights: a gram scale with metal to take off, rods at their pads, a ladder of pairs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from enginewright._numbers import figure
from enginewright._words import Words, load
from enginewright.plots._canvas import LARGE, SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import ACCEPT, INK, QUIET, RULE, SHADES, mark

__all__ = ["gram_scale", "pairing", "rods_at_pads"]

LABEL, LEFT, RIGHT, ACTION = 26.0, 31.0, 138.0, 143.0
ROW, HEAD = 6.6, 15.0
#: The board of the two pads, mm.
BOARD_LEFT, BOARD_TOP, BOARD_WIDE, BOARD_TALL = 30.0, 12.0, 96.0, 72.0


def gram_scale(
    plan: Any,
    *,
    tolerance: float = 0.0,
    names: Sequence[str] = (),
    name: str = "gram scale",
    words: Any = "en",
) -> Picture:
    """Draw the weights of a set on one scale: as weighed, the target, and the metal to take off.

    A row a part. A hollow disc is the part as weighed, a solid one what it weighs afterwards, and
    the line between them the metal that comes off.

    plan       a `matching.match_masses` record
    tolerance  of the plan, g: the band round the target
    names      what each part is called; numbers when absent
    name       goes into the ids of the SVG text
    words      language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Raises
    ------
    ValueError
        As many names as there are parts are wanted.

    Source: workshop practice; this library's own drawing.
    """
    say = load(words)
    after = [float(mass) for mass in plan.after]
    removal = [float(mass) for mass in plan.removal]
    before = [a + r for a, r in zip(after, removal, strict=True)]
    shown = _names(names, len(after), say)
    target = float(plan.target)
    ends = [*before, *after, target - tolerance, target + tolerance]
    scale = _Scale(min(ends), max(ends))
    canvas = Canvas(name, HEAD + ROW * len(after) + 8.5)
    bottom = HEAD + ROW * len(after)
    if tolerance > 0:
        left, right = scale(target - tolerance), scale(target + tolerance)
        canvas.box(left, HEAD - 2, right - left, bottom - HEAD + 2, fill=ACCEPT)
    canvas.line((scale(target),) * 2, (HEAD - 2, bottom), width=1.6)
    canvas.text(
        0, 3.5, say("figures.gram_scale.target", mass=_grams(target)), size=LARGE, bold=True
    )
    canvas.text(scale(target), HEAD - 4.6, _grams(target), size=SMALL, align="center")
    for i, part in enumerate(shown):
        _part(canvas, i, part, plan, scale, say)
    _legend(canvas, bottom + 5.0, say)
    described = " ".join(
        say("figures.gram_scale.one", part=part, mass=_grams(mass), off=_grams(off))
        for part, mass, off in zip(shown, before, removal, strict=True)
    )
    return canvas.done(say("figures.gram_scale.title"), described)


def _part(canvas: Canvas, i: int, part: str, plan: Any, scale: _Scale, say: Words) -> None:
    """Draw one part: as weighed, the metal that comes off, and what there is to say of it."""
    after, removal = float(plan.after[i]), float(plan.removal[i])
    before = after + removal
    y = HEAD + ROW * (i + 0.5)
    verdict = "outside" if i in plan.over_limit or i in plan.too_light else "within"
    canvas.text(LABEL, y, part, align="right", room=LABEL)
    canvas.line((LEFT, RIGHT), (y, y), colour=RULE, width=0.6)
    _move(canvas, y, scale(before), scale(after))
    how = mark(verdict)
    canvas.text(ACTION, y, how.sign, bold=True, align="center", colour=how.ink)
    text = _grams(before)
    if i in plan.too_light:
        text = say("figures.gram_scale.too_light", mass=text)
    elif removal > 0:
        key = "over_limit" if i in plan.over_limit else "off"
        text = say(f"figures.gram_scale.{key}", mass=_grams(removal))
    canvas.text(ACTION + 3.5, y, text, size=SMALL, bold=verdict == "outside",
                room=WIDTH - ACTION - 3.5)  # fmt: skip


def rods_at_pads(
    plan: Any,
    *,
    names: Sequence[str] = (),
    name: str = "rods at pads",
    words: Any = "en",
) -> Picture:
    """Draw a set of rods hung from their balance pads, and the way of each to the common corner.

    Across: weight at the big-end pad; upwards: at the small-end pad. Grinding at one pad moves a
    rod along one axis alone, so the lightest of each pad draw the corner that all come down to.
    A rod that lies near enough and stays as it is has no way drawn.

    plan   a `matching.match_rods` record
    names  what each rod is called; numbers when absent
    name   goes into the ids of the SVG text
    words  language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Source: workshop practice; this library's own drawing.
    """
    say = load(words)
    across = [float(mass) for mass in plan.at_pad_big]
    up = [float(mass) for mass in plan.at_pad_small]
    shown = _names(names, len(across), say, "rods_at_pads")
    corner = min(across), min(up)
    canvas = Canvas(name, BOARD_TOP + BOARD_TALL + 17.0)
    # One scale for both pads, so that as long an arrow is as much metal.
    tall = (max(up) - corner[1]) * BOARD_WIDE / BOARD_TALL
    span = max(max(across) - corner[0], tall, 0.1) * 1.12
    step = (BOARD_WIDE - 14) / span
    places = [
        (BOARD_LEFT + 8 + (big - corner[0]) * step,
         BOARD_TOP + BOARD_TALL - 8 - (small - corner[1]) * step)
        for big, small in zip(across, up, strict=True)
    ]  # fmt: skip
    stays = [not (big or small) for big, small in _cuts(plan)]
    some = any(stays[i] and (across[i], up[i]) != corner for i in range(len(across)))
    _board(canvas, corner, say("figures.rods_at_pads." + ("head_some" if some else "head")), say)
    low, left = BOARD_TOP + BOARD_TALL - 8, BOARD_LEFT + 8
    for (x, y), stay in zip(places, stays, strict=True):
        if stay:
            continue
        canvas.line((x, x), (y, low), colour=SHADES[3], width=1.0, dashes=(1.2, 1.0))
        canvas.line((x, left), (low, low), colour=SHADES[3], width=2.2)
    for i, (x, y) in enumerate(places):
        canvas.disc(x, y, 1.5, fill="#ffffff", edge=INK, width=1.2)
        canvas.text(x + 2.4, y - 1.8, str(i + 1), size=SMALL)
    _rods_beside(canvas, BOARD_LEFT + BOARD_WIDE + 8, BOARD_TOP + 4, plan, shown, say)
    described = " ".join(
        say("figures.rods_at_pads.left", part=shown[i]) if stays[i]
        else say("figures.rods_at_pads.one", part=shown[i], big=_grams(big), small=_grams(small))
        for i, (big, small) in enumerate(_cuts(plan))
    )  # fmt: skip
    return canvas.done(say("figures.rods_at_pads.title"), described)


def _cuts(plan: Any) -> list[tuple[float, float]]:
    """Give what comes off each rod at its big-end and at its small-end pad."""
    pairs = zip(plan.remove_big, plan.remove_small, strict=True)
    return [(float(big), float(small)) for big, small in pairs]


def _board(canvas: Canvas, corner: tuple[float, float], head: str, say: Words) -> None:
    """Rule the board: its frame, the corner that rods come down to, and what runs where."""
    low, left = BOARD_TOP + BOARD_TALL - 8, BOARD_LEFT + 8
    below = BOARD_TOP + BOARD_TALL
    canvas.box(BOARD_LEFT, BOARD_TOP, BOARD_WIDE, BOARD_TALL, edge=RULE)
    canvas.line((left, left), (BOARD_TOP, below), width=1.4)
    canvas.line((BOARD_LEFT, BOARD_LEFT + BOARD_WIDE), (low, low), width=1.4)
    canvas.text(BOARD_LEFT, 4.0, head, size=LARGE, bold=True)
    canvas.text(BOARD_LEFT + BOARD_WIDE / 2, below + 8.5, say("figures.rods_at_pads.big"),
                size=SMALL, align="center", colour=QUIET)  # fmt: skip
    canvas.text(left, below + 3.5, _grams(corner[0]), size=SMALL, align="center")
    canvas.text(BOARD_LEFT - 2, low, _grams(corner[1]), size=SMALL, align="right")
    canvas.text(BOARD_LEFT, BOARD_TOP - 3.0, say("figures.rods_at_pads.small"), size=SMALL,
                colour=QUIET)  # fmt: skip


def _rods_beside(
    canvas: Canvas, side: float, top: float, plan: Any, names: Sequence[str], say: Words
) -> None:
    over = {*plan.over_limit_big, *plan.over_limit_small}
    for i, rod in enumerate(names):
        how = mark("outside" if i in over else "within")
        row = top + 9.5 * i
        canvas.text(side, row, how.sign, bold=True, colour=how.ink)
        canvas.text(side + 4, row, rod, bold=i in over, room=WIDTH - side - 4)
        big, small = _cuts(plan)[i]
        off = say("figures.rods_at_pads.stays")
        if big or small:
            off = say("figures.rods_at_pads.off", big=_grams(big), small=_grams(small))
        canvas.text(side + 4, row + 4.0, off, size=SMALL, colour=QUIET, room=WIDTH - side - 4)


def pairing(
    pairs: Any,
    first: Sequence[float],
    second: Sequence[float],
    *,
    unit: str = "g",
    name: str = "pairing",
    words: Any = "en",
) -> Picture:
    """Draw pairs as a ladder: first and second parts on the rails, their sums on the rungs.

    The first stand in rising order; the better the pairs, the more the rungs' sums are alike.

    pairs   a `matching.pair_parts` record
    first   values that it was made from
    second  values that it chose from
    unit    of the values, as the figure says it
    name    goes into the ids of the SVG text
    words   language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Source: workshop practice; this library's own drawing.
    """
    say = load(words)
    order = sorted(range(len(first)), key=lambda i: float(first[i]))
    sums = [float(total) for total in pairs.sums]
    middle = float(pairs.mean) if pairs.target is None else float(pairs.target)
    reach = max(max(abs(total - middle) for total in sums), 1e-9)
    canvas = Canvas(name, HEAD + 8.0 * len(order) + 9.0)
    rail, other, centre, half = 44.0, 92.0, 140.0, 22.0
    bottom = HEAD + 8.0 * len(order)
    canvas.text(rail, 4.0, say("figures.pairing.first"), bold=True, align="center")
    canvas.text(other, 4.0, say("figures.pairing.second"), bold=True, align="center")
    canvas.text(centre, 4.0, say("figures.pairing.sum"), bold=True, align="center")
    for x in (rail, other):
        canvas.line((x, x), (HEAD - 4, bottom), width=2.0)
    canvas.line((centre, centre), (HEAD - 4, bottom), colour=QUIET, width=1.0)
    canvas.text(centre, HEAD - 6.2, _said(middle, unit), size=SMALL, align="center", colour=QUIET)
    for row, i in enumerate(order):
        y = HEAD + 8.0 * (row + 0.5)
        j = int(pairs.partner[i])
        canvas.line((rail, other), (y, y), width=1.4)
        for x, k, value, align in (
            (rail - 3, i, first[i], "right"), (other + 3, j, second[j], "left"),
        ):  # fmt: skip
            text = say("figures.pairing.part", number=k + 1, value=_said(float(value), unit))
            canvas.text(x, y, text, align=align)
        at = centre + (sums[i] - middle) / reach * half
        canvas.line((centre, at), (y, y), colour=SHADES[3], width=2.2)
        canvas.disc(at, y, 1.4, fill=SHADES[5], edge="#ffffff", width=0.5)
        canvas.text(centre + half + 4, y, _said(sums[i], unit), size=SMALL)
    spread = say("figures.pairing.spread", spread=_said(float(pairs.spread), unit))
    canvas.text(0, bottom + 5.0, spread, size=SMALL, colour=QUIET)
    described = " ".join(
        say("figures.pairing.one", first=i + 1, second=int(pairs.partner[i]) + 1,
            sum=_said(sums[i], unit))
        for i in order
    )  # fmt: skip
    return canvas.done(say("figures.pairing.title"), f"{described} {spread}")


class _Scale:
    """Grams to millimetres on the page, with some air at both ends."""

    def __init__(self, least: float, greatest: float) -> None:
        span = max(greatest - least, 0.1)
        self.start = least - 0.06 * span
        self.factor = (RIGHT - LEFT) / (1.12 * span)

    def __call__(self, mass: float) -> float:
        return LEFT + (mass - self.start) * self.factor


def _move(canvas: Canvas, y: float, came: float, goes: float) -> None:
    if abs(came - goes) > 2.8:
        canvas.line((came, goes), (y, y), colour=SHADES[4], width=2.0)
        canvas.shape(
            [(goes + 1.5, y), (goes + 3.8, y - 1.3), (goes + 3.8, y + 1.3)], fill=SHADES[4]
        )
    canvas.disc(came, y, 1.4, fill="#ffffff", edge=INK, width=1.2)
    if abs(came - goes) > 0.05:
        canvas.disc(goes, y, 1.4, fill=SHADES[5], edge="#ffffff", width=0.5)


def _legend(canvas: Canvas, y: float, say: Words) -> None:
    canvas.line((0, WIDTH), (y - 3.4, y - 3.4), colour=RULE, width=0.6)
    canvas.disc(1.6, y, 1.4, fill="#ffffff", edge=INK, width=1.2)
    x = 4.5 + canvas.text(4.5, y, say("figures.gram_scale.came"), size=SMALL, colour=QUIET) + 6
    canvas.disc(x, y, 1.4, fill=SHADES[5], edge="#ffffff", width=0.5)
    canvas.text(x + 3.0, y, say("figures.gram_scale.goes"), size=SMALL, colour=QUIET)


def _names(names: Sequence[str], count: int, say: Words, own: str = "gram_scale") -> list[str]:
    if names and len(names) != count:
        raise ValueError(f"names must hold {count} names, one a part, got {len(names)}")
    return list(names) or [say(f"figures.{own}.part", number=i + 1) for i in range(count)]


def _grams(mass: float) -> str:
    return figure(float(mass), "g").first


def _said(value: float, unit: str) -> str:
    return figure(value, unit).first if unit else f"{value:.1f}"
