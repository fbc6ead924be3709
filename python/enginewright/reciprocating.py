"""Masses that go to and fro: rods, bobweights, and what the finished engine shakes with.

What goes wrong here: a rod is weighed with one end hanging low and its ends do not add up to it
(`rod_split` checks that); a bobweight is made for one rod where two share the pin; 50 is given for
a balance factor of 0.5; a crank that balances itself is drilled with bobweights of unequal mass on
it (`bobweight_needed`); a counterweight is expected to cure what turns against the crank.

    split = ew.reciprocating.rod_split(455.2, 171.3, total=626.9)
    pin = ew.reciprocating.bobweight(split.rotating + 52, split.reciprocating + 410, 0.55,
                                     rods_per_pin=2)
    twin = ew.reciprocating.common_layout("V-twin", 0, 45, 150, 600, bank=60)
    ew.reciprocating.shaking(twin, 6000).force_maximum
    ew.reciprocating.balance_factor(twin, 6000, along=2).factor

Seen from the front, angles clockwise, vectors as complex numbers: real is up, imaginary is 90
degrees clockwise.

Caution: a spinning rotor kills. Bobweights are bolted or clamped and pulled by hand before every
start, guards closed, low speed first, nobody in the plane of rotation; follow the machine's manual
and local codes. The figures assume a rigid crank and the masses stated; they say nothing about
torsional vibration or about the strength of what is left after drilling.
"""

from enginewright import _core

BalanceFactor = _core.reciprocating.BalanceFactor
Bobweight = _core.reciprocating.Bobweight
BobweightNeed = _core.reciprocating.BobweightNeed
BobweightTolerance = _core.reciprocating.BobweightTolerance
EngineLayout = _core.reciprocating.EngineLayout
Firing = _core.reciprocating.Firing
RodSplit = _core.reciprocating.RodSplit
Shaking = _core.reciprocating.Shaking
ShakingAt = _core.reciprocating.ShakingAt
balance_factor = _core.reciprocating.balance_factor
bobweight = _core.reciprocating.bobweight
bobweight_needed = _core.reciprocating.bobweight_needed
bobweight_tolerance = _core.reciprocating.bobweight_tolerance
common_layout = _core.reciprocating.common_layout
firing_intervals = _core.reciprocating.firing_intervals
piston_harmonics = _core.reciprocating.piston_harmonics
rod_split = _core.reciprocating.rod_split
rod_split_at_centre = _core.reciprocating.rod_split_at_centre
shaking = _core.reciprocating.shaking
shaking_at = _core.reciprocating.shaking_at

__all__ = [
    "BalanceFactor",
    "Bobweight",
    "BobweightNeed",
    "BobweightTolerance",
    "EngineLayout",
    "Firing",
    "RodSplit",
    "Shaking",
    "ShakingAt",
    "balance_factor",
    "bobweight",
    "bobweight_needed",
    "bobweight_tolerance",
    "common_layout",
    "firing_intervals",
    "piston_harmonics",
    "rod_split",
    "rod_split_at_centre",
    "shaking",
    "shaking_at",
]
