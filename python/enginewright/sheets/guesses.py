"""What a shop's words probably mean: for starting maps only, and always marked as a guess.

Nothing here is used when readings are read. A map says what a word means; this says what a person
who writes the first map is likely to want, in English and in the words of a German export.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from enginewright.sheets import vocabulary
from enginewright.sheets.mapping import fold

__all__ = [
    "axis_of",
    "feature_of",
    "is_not_measured",
    "is_summary",
    "key_of",
    "part_of",
    "quantity_of",
    "station_of",
]

_KEYS = {
    "job": "job, job no, job number, order, order no, auftrag, auftragsnummer",
    "engine": "engine, engine type, motor, motortyp",
    "stage": "stage, state, condition, zustand",
    "feature": "feature, part, parts, item, component, teil, bauteil",
    "number": "number, no, nr, cyl, cylinder, cyl no, journal, zyl, zylinder, #",
    "part": "piece, sub part, which, stueck, stück",
    "station": "station, place, where, height, level, ort, stelle, hoehe, höhe, ebene",
    "axis": "axis, dir, direction, way, richtung, achse",
    "position": "position, crank angle, degrees, winkel",
    "repeat": "repeat, run, spin, pour, wiederholung",
    "quantity": "quantity, what, dimension, measured, kind, groesse, größe, messgroesse",
    "value": "value, reading, readings, measurement, result, actual, wert, messwert, istmaß",
    "unit": "unit, units, einheit",
    "observation": "observation, finding, befund",
    "uncertainty": "uncertainty, unsicherheit",
    "gauge": "gauge, instrument, measured with, messmittel, pruefmittel, prüfmittel",
    "by": "by, initials, measured by, who, pruefer, prüfer, gemessen von",
    "temperature": "temperature, temp, temperatur",
    "date": "date, datum, day",
    "note": "note, notes, remark, remarks, comment, comments, bemerkung, bemerkungen, notiz",
}
_KEY_WORDS = {word.strip(): key for key, words in _KEYS.items() for word in words.split(",")}

# The longer word first: "piston pin" is a pin of pistons, "crank pin" a big-end journal.
_FEATURES = (
    ("big-end bearing", r"(pin|rod|big.?end|pleuel)\w* (brg|bearing|shell|lager)"),
    ("main bearing", r"(main|haupt)\w* ?(brg|bearing|shell|lager)"),
    ("big-end journal", r"crank ?pin|big.?end|rod journal|^pins?$|hubzapfen|pleuelzapfen"),
    ("main journal", r"\bmains?\b|hauptzapfen|hauptlagerzapfen"),
    ("ring", r"\brings?\b|kolbenring"),
    ("valve guide", r"guide|fuehrung|führung"),
    ("valve spring", r"spring|feder"),
    ("valve seat", r"\bseat|sitz"),
    ("valve", r"valve|ventil"),
    ("pin", r"gudgeon|wrist|piston pin|kolbenbolzen"),
    ("piston", r"piston|kolben|skirt"),
    ("liner", r"liner|sleeve|buchse"),
    ("bore", r"bore|cylinder|\bcyl\b|block|bohrung|zylinder"),
    ("small end", r"small.?end"),
    ("rod", r"\brods?\b|conrod|pleuel"),
    ("chamber", r"chamber|brennraum"),
    ("crankshaft", r"crank|kurbelwelle"),
    ("camshaft", r"camshaft|nockenwelle"),
    ("cam", r"\bcam|lobe|nocken"),
    ("tappet", r"tappet|lifter|stoessel|stößel"),
    ("bolt", r"bolt|stud|schraube"),
    ("block deck", r"deck"),
    ("head face", r"head"),
    ("flywheel", r"flywheel|schwungrad"),
    ("gasket", r"gasket|dichtung"),
    ("thrust washer", r"thrust"),
    ("rotor", r"balance|wucht"),
)
_QUANTITIES = (
    ("gap", r"gap|stossspiel|stoßspiel"),
    ("clearance", r"clearance|spiel"),
    ("end float", r"float|end.?play|axial"),
    ("run-out", r"run.?out|rundlauf|schlag"),
    ("thickness", r"thick|dicke|wall"),
    ("width", r"width|breite"),
    ("installed height", r"installed"),
    ("free length", r"free length"),
    ("height", r"height|hoehe|höhe"),
    ("depth", r"depth|tiefe"),
    ("lift", r"lift|hub\b"),
    ("protrusion", r"protrusion|standing|ueberstand|überstand"),
    ("stretch", r"stretch|elongation"),
    ("mass", r"mass|weight|\bwt\b|masse|gewicht"),
    ("burette reading", r"burette"),
    ("volume", r"volume|\bvol\b|volumen"),
    ("torque", r"torque|drehmoment"),
    ("vacuum", r"vacuum"),
    ("pressure", r"pressure|druck"),
    ("force", r"force|load|kraft"),
    ("angle", r"angle|winkel"),
    ("roughness", r"\bra\b|roughness|rauheit"),
    ("diameter", r"dia\b|diam|size|ø|bore|skirt|durchmesser|mass\b|maß"),
)
_BY_DIMENSION = {
    "length": "diameter",
    "mass": "mass",
    "volume": "volume",
    "angle": "angle",
    "torque": "torque",
    "force": "force",
    "gas pressure": "pressure",
    "stress": "pressure",
    "unbalance": "amount",
    "temperature": "temperature",
    "time": "time",
    "speed": "speed",
}
_STATIONS = {
    "top": "top, oben, upper, t",
    "middle": "middle, mid, mitte, centre, center, m",
    "bottom": "bottom, bot, btm, unten, lower",
    "front": "front, frt, vorn, vorne, f",
    "back": "back, rear, hinten",
    "left plane": "left plane, left",
    "right plane": "right plane, right",
}
_AXES = {
    "along": "along, a, fore-aft, längs, laengs",
    "thrust": "thrust, b, across, quer, t",
    "x": "x, 0",
    "y": "y, 90",
}
_NOT_MEASURED = {
    fold(word)
    for word in ("n/m", "nm", "n.m.", "-", "--", "---", "n/a", "na", "n.a.", "not measured", "?")
}
_SUMMARY = re.compile(
    r"(total|average|avg|mean|sum|min|max|minimum|maximum|range|spread|mittel|mittelwert|summe)\b"
)


def _clean(text: str) -> str:
    return fold(text).strip(" .:*")


def key_of(heading: str) -> str | None:
    """Return the column of the readings that a heading probably names."""
    return _KEY_WORDS.get(_clean(heading)) or _KEY_WORDS.get(_clean(heading.replace("_", " ")))


def feature_of(text: str, around: str = "") -> str | None:
    """Return the feature that a word probably means, among the words around it."""
    if re.search(r"crank|kurbel|\bmains?\b", fold(around)) and re.fullmatch(r"pins?", fold(text)):
        return "big-end journal"
    known = vocabulary.feature(text)
    return known or _first(_FEATURES, text)


def quantity_of(text: str, dimension: str | None = None) -> str | None:
    """Return the quantity that a word or heading means, or what its unit mostly measures."""
    known = vocabulary.quantity(text)
    if known is not None:
        return known.word
    found = _first(_QUANTITIES, text)
    entry = vocabulary.quantity(found) if found else None
    if entry is not None and dimension in (None, entry.dimension):
        return entry.word
    return _BY_DIMENSION.get(dimension or "")


def _first(table: tuple[tuple[str, str], ...], text: str) -> str | None:
    folded = fold(text)
    return next((word for word, pattern in table if re.search(pattern, folded)), None)


def _listed(table: dict[str, str], text: str) -> str | None:
    cleaned = _clean(text)
    for word, spellings in table.items():
        if cleaned in (spelling.strip() for spelling in spellings.split(",")):
            return word
    return None


def station_of(text: str, beside: Iterable[str] = ()) -> str | None:
    """Return the station that a word probably means, beside the other words of its column."""
    if _clean(text) == "b":
        others = set(map(_clean, beside))
        return "back" if "f" in others else "bottom" if "t" in others else None
    return _listed(_STATIONS, text)


def part_of(text: str, around: str) -> str | None:
    """Return the part that a word probably means: the top one of rings is the top ring."""
    if "ring" in fold(around) and _clean(text) in ("top", "second", "2nd", "oil"):
        return f"{_clean(text).replace('2nd', 'second')} ring"
    return None


def axis_of(text: str) -> str | None:
    """Return the direction that a word probably means."""
    return _listed(_AXES, text)


def is_not_measured(text: str) -> bool:
    """Tell whether a word in a reading's place probably says that nothing was measured."""
    return fold(text) in _NOT_MEASURED


def is_summary(text: str) -> bool:
    """Tell whether a row's first cell probably says that the row sums others up."""
    return _SUMMARY.match(fold(text)) is not None
