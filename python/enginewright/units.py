"""Units: numbers with their unit at the door.

A shop mixes mm, thou, tenths, cc, oz, lbf·ft and inches of water, and its exports mix decimal
points and commas. What goes wrong here: 82,005 read as eighty-two thousand, "lb" taken as mass
where the spring tester meant force, a bare number taken in the wrong unit. So nothing is guessed:
what can be read in two ways is a `UnitError` that says how to settle it.

Caution: a right conversion of a wrong reading is still wrong. Write the unit beside the number
when it is read from the gauge, and say what a column measures (`dimension="force"`), above all for
bolts and springs: a torque in the wrong unit breaks fasteners, and what they hold.
"""

from enginewright import _core

Amount = _core.units.Amount
Header = _core.units.Header
Unit = _core.units.Unit
UnitError = _core.units.UnitError
canonical = _core.units.canonical
convert = _core.units.convert
header = _core.units.header
parse = _core.units.parse
show = _core.units.show
table = _core.units.table
unit = _core.units.unit

__all__ = [
    "Amount",
    "Header",
    "Unit",
    "UnitError",
    "canonical",
    "convert",
    "header",
    "parse",
    "show",
    "table",
    "unit",
]
