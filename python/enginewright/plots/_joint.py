"""Bolts: the joint diagram, the band of preloads, and a row of used bolts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from enginewright._numbers import figure
from enginewright._words import Words
from enginewright._words import load as load_words
from enginewright.plots._canvas import LARGE, SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import ACCEPT, INK, PLAN, QUIET, RULE, SHADES, mark
from enginewright.plots._scale import Scale

__all__ = ["bolt_lineup", "joint_diagram", "preload_band"]

#: The joint diagram's frame: left and right, top and ground; mm.
SIDES, TOP, GROUND = (30.0, 138.0), 10.0, 80.0
#: The preload bands: names, bars from and to, what is said of them; heights; mm.
LABEL, BARS, ACTION, HEAD, ROW = 30.0, (34.0, 136.0), 143.0, 15.0, 9.0


def joint_diagram(
    preload: float,
    load: float,
    bolt_stiffness: float,
    member_stiffness: float,
    *,
    hot: float | None = None,
    name: str = "joint diagram",
    words: Any = "en",
) -> Picture:
    """Draw a preloaded joint: bolt line up, member line down, and the working load between them.

    Across: how far bolt and parts give, to one scale; upwards: force. Where the member line meets
    the ground the parts come apart.

    preload           cold, N
    load              working load on one bolt, N
    bolt_stiffness    N/mm
    member_stiffness  N/mm
    hot               preload when hot (`fasteners.thermal_preload`), N; a dotted level
    name              goes into the ids of the SVG text
    words             language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Source: joint diagram of machine design; this library's own drawing.
    """
    from enginewright import fasteners

    say = load_words(words)
    found = fasteners.joint(preload, load, bolt_stiffness, member_stiffness)
    stretch, squeeze = preload / bolt_stiffness, preload / member_stiffness
    give = load * found.load_share / bolt_stiffness
    if found.status == "separates":
        give = (load - preload) / bolt_stiffness
    canvas = Canvas(name, GROUND + 14.0)
    across = Scale(0.0, stretch + max(squeeze, give) * 1.05, *SIDES)
    tallest = max(found.bolt_load, preload, hot or 0.0, found.separation_load) * 1.12
    up = Scale(0.0, tallest, GROUND, TOP)
    _ground(canvas, say)
    _joint_lines(
        canvas, across, up, preload=preload, stretch=stretch, give=give,
        bolt=preload + give * bolt_stiffness,
    )  # fmt: skip
    _parts_line(canvas, across, up, preload, stretch, squeeze, say)
    _load_arrow(
        canvas,
        across.at(stretch + give),
        up.at(found.bolt_load),
        up.at(found.clamp_load),
        say,
        load,
    )
    if hot is not None:
        _hot_level(canvas, up.at(hot), hot, say)
    canvas.text(sum(SIDES) / 2, GROUND + 10.0, say("figures.joint_diagram.give"), size=SMALL,
                align="center", colour=QUIET)  # fmt: skip
    figures = {
        "bolt": _force(found.bolt_load), "clamp": _force(found.clamp_load),
        "separation": _force(found.separation_load),
    }  # fmt: skip
    _beside_joint(canvas, SIDES[1] + 8, TOP, found.status, figures, say)
    described = say(
        "figures.joint_diagram.one", preload=_force(preload), load=_force(load), **figures
    )
    return canvas.done(say("figures.joint_diagram.title"), described)


def _parts_line(
    canvas: Canvas,
    across: Scale,
    up: Scale,
    preload: float,
    stretch: float,
    squeeze: float,
    say: Words,
) -> None:
    """Draw the line of the parts, down to where they come apart."""
    apart = across.at(stretch + squeeze)
    canvas.line((across.at(stretch), apart), (up.at(preload), GROUND), width=2.4, colour=INK,
                dashes=(2.4, 1.2))  # fmt: skip
    canvas.text(apart, GROUND + 3.6, say("figures.joint_diagram.apart"), size=SMALL,
                align="center", colour=QUIET)  # fmt: skip


def _hot_level(canvas: Canvas, y: float, hot: float, say: Words) -> None:
    """Draw the level of the preload when hot."""
    canvas.line(SIDES, (y, y), width=1.2, dashes=(0.6, 0.8))
    text = say("figures.joint_diagram.hot", load=_force(hot))
    canvas.text(SIDES[0] + 2, y - 2.4, text, size=SMALL, colour=QUIET)


def _ground(canvas: Canvas, say: Words) -> None:
    canvas.line(SIDES, (GROUND, GROUND), width=1.2)
    canvas.line((SIDES[0], SIDES[0]), (TOP, GROUND), width=1.2)
    canvas.text(0, 4.0, say("figures.joint_diagram.head"), size=LARGE, bold=True)


def _joint_lines(
    canvas: Canvas,
    across: Scale,
    up: Scale,
    *,
    preload: float,
    stretch: float,
    give: float,
    bolt: float,
) -> None:
    """Draw the level of the preload, and the bolt's line up through it."""
    canvas.guide((SIDES[0], across.at(stretch)), (up.at(preload), up.at(preload)))
    canvas.text(SIDES[0] - 2, up.at(preload), _force(preload), size=SMALL, align="right")
    canvas.line((across.at(0.0), across.at(stretch + give)), (up.at(0.0), up.at(bolt)), width=2.4,
                colour=SHADES[5])  # fmt: skip


def _beside_joint(
    canvas: Canvas, side: float, top: float, status: str, figures: Mapping[str, str], say: Words
) -> None:
    how = mark("within" if status == "clamped" else "outside")
    head = f"{how.sign} {say(f'figures.joint_diagram.{status}')}"
    canvas.text(side, top + 3, head, bold=True, colour=how.ink, room=WIDTH - side)
    for row, (key, text) in enumerate(figures.items()):
        what = say(f"figures.joint_diagram.{key}")
        canvas.text(side, top + 10 + 9 * row, what, size=SMALL, colour=QUIET, room=WIDTH - side)
        canvas.text(side, top + 14 + 9 * row, text)


def _load_arrow(
    canvas: Canvas, x: float, upper: float, lower: float, say: Words, load: float
) -> None:
    canvas.line((x, x), (upper, lower), colour="#7a1500", width=1.6)
    for y, way in ((upper, 1.0), (lower, -1.0)):
        if abs(upper - lower) > 5:
            tip = [(x, y), (x - 1.1, y + 2.4 * way), (x + 1.1, y + 2.4 * way)]
            canvas.shape(tip, fill="#7a1500")
    text = say("figures.joint_diagram.load", load=_force(load))
    canvas.text(x + 2, (upper + lower) / 2, text, size=SMALL, colour="#7a1500")


def preload_band(
    ranges: Mapping[str, Any],
    *,
    name: str = "preload band",
    words: Any = "en",
) -> Picture:
    """Draw the preloads that ways of tightening leave, each with its scatter, and the proof load.

    A row a way (torque, angle, stretch): the bar runs from the least to the greatest preload, the
    tick is what was aimed at.

    ranges  `fasteners.preload_range` records by what they are called
    name    goes into the ids of the SVG text
    words   language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Raises
    ------
    ValueError
        When there is no range.

    Source: workshop practice; this library's own drawing.
    """
    say = load_words(words)
    if not ranges:
        raise ValueError("ranges must hold at least one preload range, got none")
    proofs = [float(band.proof_load) for band in ranges.values() if band.proof_load is not None]
    longest = max([*(float(band.greatest) for band in ranges.values()), *proofs]) * 1.08
    bottom = HEAD + ROW * len(ranges)
    canvas = Canvas(name, bottom + 11.0)
    across = Scale(0.0, longest, *BARS)
    canvas.text(0, 4.0, say("figures.preload_band.head"), size=LARGE, bold=True)
    canvas.line((BARS[0], BARS[0]), (HEAD - 2, bottom), width=1.2)
    canvas.text(BARS[0], HEAD - 4.6, "0", size=SMALL, align="center", colour=QUIET)
    for proof in dict.fromkeys(proofs):
        canvas.line((across.at(proof), across.at(proof)), (HEAD - 2, bottom), width=1.8)
        text = say("figures.preload_band.proof", load=_force(proof))
        canvas.text(across.at(proof), HEAD - 4.6, text, size=SMALL, align="center")
    for i, (way, band) in enumerate(ranges.items()):
        _band(canvas, HEAD + ROW * (i + 0.5), way, band, across, say)
    canvas.text(0, bottom + 6.0, say("figures.preload_band.legend"), size=SMALL, colour=QUIET)
    described = " ".join(
        say("figures.preload_band.one", way=way, least=_kilo(float(band.least)),
            greatest=_force(float(band.greatest)))
        for way, band in ranges.items()
    )  # fmt: skip
    return canvas.done(say("figures.preload_band.title"), described)


#: How a status of a preload range is marked; what is not named here is within.
_PROOF = {
    "passes proof load": "outside", "may pass proof load": "unproven", "no proof load": "unlimited",
}  # fmt: skip


def _band(canvas: Canvas, y: float, way: str, band: Any, across: Scale, say: Words) -> None:
    """Draw one way of tightening: its bar, what was aimed at, and how it stands to the proof."""
    least, greatest = float(band.least), float(band.greatest)
    verdict = _PROOF.get(band.status, "within")
    passes = verdict in ("outside", "unproven")
    canvas.text(LABEL, y, way, align="right", room=LABEL)
    canvas.line(BARS, (y, y), colour=RULE, width=0.6)
    start, end, aim = (across.at(force) for force in (least, greatest, float(band.preload)))
    canvas.box(start, y - 2.2, end - start, 4.4, fill=PLAN if passes else ACCEPT, edge=INK,
               edge_width=0.8)  # fmt: skip
    canvas.line((aim, aim), (y - 2.2, y + 2.2), width=1.8)
    how = mark(verdict)
    canvas.text(ACTION, y, how.sign, bold=True, align="center", colour=how.ink)
    text = say("figures.preload_band.from_to", least=_kilo(least), greatest=_force(greatest))
    canvas.text(ACTION + 3.5, y, text, size=SMALL, room=WIDTH - ACTION - 3.5)


def bolt_lineup(
    bolts: Sequence[Any],
    *,
    names: Sequence[str] = (),
    name: str = "bolt line-up",
    words: Any = "en",
) -> Picture:
    """Draw a row of used bolts: how much longer than new each is, against what is allowed.

    bolts  `fasteners.reuse` records
    names  what each is called; numbers when absent
    name   goes into the ids of the SVG text
    words  language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Raises
    ------
    ValueError
        When there is no bolt, or another number of names.

    Source: workshop practice; this library's own drawing.
    """
    say = load_words(words)
    if not len(bolts):
        raise ValueError("bolts must hold at least one bolt, got none")
    if names and len(names) != len(bolts):
        raise ValueError(f"names must hold {len(bolts)} names, one a bolt, got {len(names)}")
    shown = list(names) or [str(i + 1) for i in range(len(bolts))]
    stretches = [float(bolt.permanent_stretch) for bolt in bolts]
    limits = [float(bolt.limit) for bolt in bolts]
    tallest = max([*stretches, *limits, 1e-6]) * 1.15
    lowest = min(0.0, *stretches) * 1.15
    left, top, height = 26.0, 14.0, 46.0
    pitch = min(16.0, (WIDTH - left - 4) / len(bolts))
    scale = height / (tallest - lowest)
    ground = top + tallest * scale
    canvas = Canvas(name, top + height + 21.0)
    right = left + pitch * len(bolts)
    canvas.text(0, 4.0, say("figures.bolt_lineup.head"), size=LARGE, bold=True)
    canvas.line((left, right), (ground, ground), width=1.2)
    canvas.text(left - 2, ground, "0", size=SMALL, align="right", colour=QUIET)
    described = []
    for i, bolt in enumerate(bolts):
        x = left + pitch * (i + 0.5)
        y = ground - stretches[i] * scale
        bad = bolt.status != "reuse"
        _bolt(canvas, x, y, ground, pitch * 0.28, bolt)
        level = ground - limits[i] * scale
        canvas.line((x - pitch / 2, x + pitch / 2), (level, level), width=1.8)
        how = mark("within" if not bad else "unproven" if bolt.status != "replace" else "outside")
        foot = top + height + 4.0
        canvas.text(x, foot, shown[i], size=SMALL, align="center", room=pitch)
        canvas.text(x, foot + 4.6, how.sign, bold=True, align="center", colour=how.ink)
        described.append(
            say("figures.bolt_lineup.one", bolt=shown[i], stretch=_length(stretches[i]),
                status=say(f"figures.bolt_lineup.{bolt.status.replace(' ', '_')}"))
        )  # fmt: skip
    canvas.text(left - 2, ground - limits[0] * scale, _length(limits[0]), size=SMALL, align="right")
    canvas.text(0, top + height + 15.5, say("figures.bolt_lineup.legend"), size=SMALL, colour=QUIET)
    return canvas.done(say("figures.bolt_lineup.title"), " ".join(described))


def _bolt(canvas: Canvas, x: float, y: float, ground: float, half: float, bolt: Any) -> None:
    """Draw one bar, with a neck as notches where the shank is too thin."""
    fill = SHADES[1] if bolt.status == "reuse" else PLAN
    canvas.box(x - half, min(y, ground), 2 * half, abs(ground - y), fill=fill, edge=INK)
    if bolt.shank_verdict in ("outside", "unproven"):
        middle = (y + ground) / 2
        for side in (-1, 1):
            edge = x + side * half
            deep = edge - side * half * 0.43
            canvas.shape([(edge, middle - 2), (deep, middle), (edge, middle + 2)], fill=INK)


def _force(newtons: float) -> str:
    return f"{newtons / 1000:.1f}\u00a0kN"


def _kilo(newtons: float) -> str:
    return f"{newtons / 1000:.1f}"


def _length(millimetres: float) -> str:
    return figure(millimetres, "mm").first
