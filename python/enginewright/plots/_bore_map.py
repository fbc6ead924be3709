"""Bore map: the wall of each cylinder unrolled, wear drawn outwards at each station."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from enginewright._numbers import figure, parts_of
from enginewright._rows import finding_rows, has_column
from enginewright._sizes import Size, in_order, latest, sizes
from enginewright._words import Words, load
from enginewright.plots._canvas import LARGE, SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import QUIET, RULE, SHADES

__all__ = ["wear_map"]

#: Room for the names of the stations, for one cylinder's head, for one station; mm.
NAMES, HEAD, STATION, FOOT = 17.0, 10.5, 8.0, 4.5
#: Share of a strip that wear may fill; the figure stands in what is left.
FILL = 0.36
#: Room for a figure beside the widest profile, mm.
FIGURE = 14.0


def wear_map(
    table: Any,
    readings: Any = None,
    *,
    original: float | None = None,
    limit: float | None = None,
    feature: str = "bore",
    inch: bool = False,
    name: str = "wear map",
    words: Any = "en",
) -> Picture:
    """Draw where and how much each bore has worn, all cylinders to one scale.

    Each cylinder is unrolled into one strip a direction. The left edge of a strip is the wall as it
    was made; at each station the wear stands to the right of it, so the shape of the wear is the
    shape on the page: widest under the top ring, barrelled, or worn on the thrust side alone.

    table     `Findings`, or `Readings` as written
    readings  the readings that findings stand on, for sizes that no finding judges by themselves
    original  diameter as made, mm; None: taken from the wear findings, else the least reading
    limit     greatest diameter allowed, mm; None: taken from the findings
    feature   "bore" or "liner"
    inch      inch family of units first
    name      goes into the ids of the SVG text
    words     language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Raises
    ------
    ValueError
        When the table holds no diameter of the feature.

    Source: workshop practice (stations from the top, two directions); this library's own drawing.
    """
    say = load(words)
    found = sizes(table, feature, readings=readings)
    if not found:
        raise ValueError(f"the table must hold at least one diameter of a {feature}, got none")
    made = original if original is not None else _original(table, feature, found)
    base = made if made is not None else min(size.value for size in found)
    edge = limit if limit is not None else _limit(found)
    numbers = sorted({size.number for size in found})
    a_row = min(len(numbers), 4)
    stations = in_order(size.station for size in found)
    row_height = HEAD + STATION * len(stations) + FOOT
    rows = -(-len(numbers) // a_row)
    canvas = Canvas(name, rows * row_height + 5.5)
    greatest = max(size.value for size in found) - base
    reach = max(greatest, (edge - base) if edge is not None else 0.0, 1e-4)
    panel = (WIDTH - NAMES) / a_row
    for i, number in enumerate(numbers):
        own = [size for size in found if size.number == number]
        corner = (NAMES + panel * (i % a_row), row_height * (i // a_row))
        _cylinder(canvas, corner, panel - 2.0, own, stations, base, edge, reach, say, inch)
        if i % a_row == 0:
            for k, station in enumerate(stations):
                y = corner[1] + HEAD + STATION * (k + 0.5)
                text = say.say("station", station)
                canvas.text(NAMES - 2.5, y, text, align="right", room=NAMES - 2.5)
    _legend(canvas, rows * row_height + 3.0, found, base, made is not None, edge, say, inch)
    return canvas.done(
        say("figures.wear_map.title", feature=say.say("feature", feature)),
        _description(found, base, edge, feature, say, inch),
    )


def _original(table: Any, feature: str, found: Sequence[Size]) -> float | None:
    """Give the size as made that the wear findings were reckoned from."""
    if not has_column(table, "check"):
        return None
    greatest: dict[int, float] = {}
    for size in found:
        greatest[size.number] = max(size.value, greatest.get(size.number, size.value))
    worn = latest(
        [row for row in finding_rows(table) if row.check == "wear" and row.feature == feature]
    )
    made = [
        greatest[row.number] - row.value
        for row in worn
        if row.value is not None and row.number in greatest
    ]
    return made[0] if made and max(made) - min(made) < 1e-6 else None


def _limit(found: Sequence[Size]) -> float | None:
    limits = {size.limit for size in found if size.limit is not None}
    return limits.pop() if len(limits) == 1 else None


def _cylinder(
    canvas: Canvas,
    corner: tuple[float, float],
    width: float,
    own: Sequence[Size],
    stations: Sequence[str],
    base: float,
    edge: float | None,
    reach: float,
    say: Words,
    inch: bool,
) -> None:
    left, top = corner
    canvas.text(left, top + 3.0, say("parts.cylinder", number=own[0].number), size=LARGE, bold=True)
    axes = in_order(size.axis for size in own)
    strip = width / len(axes)
    first, last = top + HEAD, top + HEAD + STATION * len(stations)
    largest = max(own, key=lambda size: size.value)
    for k, axis in enumerate(axes):
        wall = left + strip * k
        scale = strip * FILL / reach
        text = say.say("axis", axis) if axis else ""
        canvas.text(wall, top + 8.2, text, size=SMALL, colour=QUIET, room=strip - 1)
        places = [
            (first + STATION * (stations.index(size.station) + 0.5), size)
            for size in own
            if size.axis == axis
        ]
        _profile(canvas, wall, places, base, scale)
        canvas.line((wall, wall), (first, last), width=1.8)
        if edge is not None:
            at = wall + (edge - base) * scale
            canvas.line((at, at), (first, last), width=1.0, dashes=(1.2, 0.9))
        for y, size in places:
            canvas.verdict(wall + (size.value - base) * scale, y, size.verdict)
            text = parts_of(figure(size.value - base, "mm", inch=inch).first)[0]
            # Beside the profile, not at the far end of a wide strip.
            end = wall + min(strip - 1.2, strip * FILL + FIGURE)
            canvas.text(end, y, text, size=SMALL, bold=size is largest, align="right")


def _profile(
    canvas: Canvas, wall: float, places: Sequence[tuple[float, Size]], base: float, scale: float
) -> None:
    for (y, size), (below, other) in zip(places, places[1:], strict=False):
        ends = (wall + (size.value - base) * scale, wall + (other.value - base) * scale)
        shape = [(wall, y), (ends[0], y), (ends[1], below), (wall, below)]
        canvas.shape(shape, fill=SHADES[2])
    for y, size in places:
        end = wall + (size.value - base) * scale
        canvas.line((wall, end), (y, y), colour=SHADES[5], width=1.6)


def _legend(
    canvas: Canvas,
    y: float,
    found: Sequence[Size],
    base: float,
    known: bool,
    edge: float | None,
    say: Words,
    inch: bool,
) -> None:
    canvas.line((0, WIDTH), (y - 3.2, y - 3.2), colour=RULE, width=0.6)
    canvas.line((1.0, 1.0), (y - 2, y + 2), width=1.8)
    key = "figures.wear_map.made" if known else "figures.wear_map.least"
    text = say(key, size=figure(base, "mm", inch=inch).first)
    x = 3.0 + canvas.text(3.0, y, text, size=SMALL, colour=QUIET) + 5
    if edge is not None:
        canvas.line((x, x), (y - 2, y + 2), width=1.0, dashes=(1.2, 0.9))
        text = say("figures.wear_map.limit", size=figure(edge, "mm", inch=inch).first)
        x += 2.0 + canvas.text(x + 2.0, y, text, size=SMALL, colour=QUIET) + 6
    for verdict in ("within", "outside", "unproven"):
        if any(size.verdict == verdict for size in found):
            canvas.verdict(x, y, verdict)
            word = say.say("verdict", verdict)
            x += 2.6 + canvas.text(x + 2.6, y, word, size=SMALL, colour=QUIET) + 5
    unit = parts_of(figure(0.5, "mm", inch=inch).first)[1]
    text = say("figures.wear_map.largest", unit=unit)
    canvas.text(x, y, text, size=SMALL, colour=QUIET, room=WIDTH - x)


def _description(
    found: Sequence[Size], base: float, edge: float | None, feature: str, say: Words, inch: bool
) -> str:
    parts = []
    for number in sorted({size.number for size in found}):
        largest = max((s for s in found if s.number == number), key=lambda size: size.value)
        parts.append(
            say(
                "figures.wear_map.one",
                number=number, value=figure(largest.value - base, "mm", inch=inch).first,
                station=say.say("station", largest.station), axis=say.say("axis", largest.axis),
            )
        )  # fmt: skip
    if edge is not None:
        parts.append(say("figures.wear_map.limit_is", size=figure(edge, "mm", inch=inch).first))
    return " ".join(parts)
