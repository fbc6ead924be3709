"""Cylinder bores: size, shape, roundness, the oversize for a block, liners and the deck.

What goes wrong here: bores are read below the ridge only; a rebore is ordered for the mean while
one cylinder never cleans; bores are finished to a nominal size and not to the pistons in the box;
distortion by the head bolts is called ovality; a liner's mean height is right and its flange
tilted; a deck is skimmed parallel to a datum that was itself off.

`form` looks at one bore, `oversize_plan` finds the one step for a block and what a smaller one
would cost in sleeves, `finish_bores` gives each bore its size from the piston as it measures and
`select_pistons` deals the pistons of a box out to finished bores.

    block = [[[86.062, 86.041], [86.020, 86.014]], [[86.055, 86.043], [86.019, 86.013]]]
    plan = ew.cylinders.oversize_plan(block, piston_standard=85.96, oversizes=[0.25, 0.50],
                                      clearance=0.04, hone_allowance=0.06)
    plan.oversize, plan.next

`circle_fit` lays the four reference circles through a profile, the minimum zone exactly;
`roundness` tells how many lobes a trace has. `liner_standing` looks at flanges, `liner_shims`
chooses what goes beneath them, `dry_liner_fit` gives the bore for a dry liner.

    found = ew.cylinders.liner_standing(heights, angle=[0, 90, 180, 270], radius=55,
                                        lower=0.03, upper=0.10, neighbour_limit=0.03)
    found.verdict, found.reason

`deck_clearance` and `judge_deck` say how far the piston stays down, `deck_flatness` what a skim
takes off when the block is set up on its best plane, `cross_hatch` and `stroke_rate_for` set the
hone.

Caution: boring, milling and honing want guards, eye protection, no gloves and no loose cloth at the
spindle, and the block clamped as in service; oil mist harms the lungs. The wall that is left is
measured, by ultrasonic gauge at several places, never assumed. Cracked or porous castings go to
qualified hands, liners are pressed by somebody who has done it; local codes and licensed practice
come first. A deck cut cannot be put back: look at what it changes and at the maker's least height
first. After honing scrub with hot soapy water until a white cloth stays white.
"""

from enginewright import _core

BoreForm = _core.cylinders.BoreForm
CircleFit = _core.cylinders.CircleFit
DeckFinding = _core.cylinders.DeckFinding
DeckFlatness = _core.cylinders.DeckFlatness
DryLinerFit = _core.cylinders.DryLinerFit
FinishBores = _core.cylinders.FinishBores
LinerShims = _core.cylinders.LinerShims
LinerStanding = _core.cylinders.LinerStanding
OversizePlan = _core.cylinders.OversizePlan
PistonSelection = _core.cylinders.PistonSelection
Roundness = _core.cylinders.Roundness
ShimStack = _core.cylinders.ShimStack
SleeveOption = _core.cylinders.SleeveOption
circle_fit = _core.cylinders.circle_fit
cross_hatch = _core.cylinders.cross_hatch
deck_clearance = _core.cylinders.deck_clearance
deck_flatness = _core.cylinders.deck_flatness
dry_liner_fit = _core.cylinders.dry_liner_fit
finish_bores = _core.cylinders.finish_bores
form = _core.cylinders.form
judge_deck = _core.cylinders.judge_deck
liner_shims = _core.cylinders.liner_shims
liner_standing = _core.cylinders.liner_standing
oversize_plan = _core.cylinders.oversize_plan
roundness = _core.cylinders.roundness
select_pistons = _core.cylinders.select_pistons
stroke_rate_for = _core.cylinders.stroke_rate_for

__all__ = [
    "BoreForm",
    "CircleFit",
    "DeckFinding",
    "DeckFlatness",
    "DryLinerFit",
    "FinishBores",
    "LinerShims",
    "LinerStanding",
    "OversizePlan",
    "PistonSelection",
    "Roundness",
    "ShimStack",
    "SleeveOption",
    "circle_fit",
    "cross_hatch",
    "deck_clearance",
    "deck_flatness",
    "dry_liner_fit",
    "finish_bores",
    "form",
    "judge_deck",
    "liner_shims",
    "liner_standing",
    "oversize_plan",
    "roundness",
    "select_pistons",
    "stroke_rate_for",
]
