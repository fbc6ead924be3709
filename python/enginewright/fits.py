"""Limits and fits: guides, liners, bushes, dowels, a gear on its shaft.

What goes wrong here: a bronze guide is tight on the bench and loose hot; a guide's bore closes up
and picks up the stem; a liner pressed in dry splits the block; a housing is heated past the temper
of its alloy, or not enough, and the liner sticks half way.

`limits` and `fit` say what a class such as H7 means in millimetres, `classes` which class to grind
to for a wanted clearance, `press_fit` how hard a joint grips and what that does to both parts,
`joint_stress` what its walls bear from layer to layer,
`loosening_temperature` where it lets go, `assembly_temperature` how hot to make the housing.
Lengths, temperatures, expansions and interferences may be `Quantity` values: the answers then carry
their uncertainty.

    fit = ew.fits.fit("40 H7/p6")
    ew.measure.check(bore - pin, fit.minimum_clearance, fit.maximum_clearance)
    ew.fits.press_fit(14, pin - bore, 45, outer_diameter=34, inner_bore=8,
                      inner="phosphor bronze", outer="cast aluminium")

`MATERIALS` holds typical materials by their names; enter your own as `Material`, with its yield
strength, before you trust a safety.

Caution: stand clear of the line of force, use a guard, hardened parts can shatter; stop when the
force runs past the figure given. No flame on aluminium or near fuel and cleaning solvent; gloves
and eye protection; dry ice and liquid nitrogen burn and suffocate, never in a closed vessel. The
figures are elastic estimates for plain round walls: thin, ribbed, cracked or unknown castings need
a qualified judgement. Local codes and licensed practice come first.
"""

from collections.abc import Mapping
from types import MappingProxyType

from enginewright import _core

Assembly = _core.fits.Assembly
Fit = _core.fits.Fit
JointStress = _core.fits.JointStress
Limits = _core.fits.Limits
Loosening = _core.fits.Loosening
Material = _core.fits.Material
PressFit = _core.fits.PressFit
assembly_temperature = _core.fits.assembly_temperature
classes = _core.fits.classes
fit = _core.fits.fit
grade = _core.fits.grade
joint_stress = _core.fits.joint_stress
limits = _core.fits.limits
loosening_temperature = _core.fits.loosening_temperature
press_fit = _core.fits.press_fit

MATERIALS: Mapping[str, _core.fits.Material] = MappingProxyType(
    {material.name: material for material in _core.fits.materials()}
)

__all__ = [
    "MATERIALS",
    "Assembly",
    "Fit",
    "JointStress",
    "Limits",
    "Loosening",
    "Material",
    "PressFit",
    "assembly_temperature",
    "classes",
    "fit",
    "grade",
    "joint_stress",
    "limits",
    "loosening_temperature",
    "press_fit",
]
