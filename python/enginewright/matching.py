"""Matching: parts brought to one weight, parts chosen to go together, lighter wheels.

What goes wrong here: everything is brought down to one light part that should have been swapped; a
rod is ground at one end and the other changes too; ends and whole disagree by grams and nobody
weighed again; each heap is matched alone; a flywheel is lightened near its centre, where it hardly
counts, and iron is asked to stand the speed of steel.

`match_masses` brings a set to one weight, `rod_ends` checks a rod's two weighings against the
whole, `rod_removal` and `match_rods` say what comes off which balance pad. `assign`, `pair_parts`
and `choose_parts` say which part goes with which; they are exact. `turned_band`, `drilled_holes`
and `lightened` follow the metal off a wheel, `spin_stress` says what a plain disc then stands.

    plan = ew.matching.match_rods([432.0, 430.0, 431.0], [166.0, 167.0, 165.0], length=140,
                                  pad_big=-28, pad_small=154)
    plan.target_big, plan.remove_big, plan.next

Caution: grind rods on their balance pads only, along the rod, and polish the marks out; take
nothing off beam, bolt seats or fillets, and test for cracks afterwards. Titanium dust burns;
sintered rods follow their maker. A flywheel bursts like a shell: scrap one that is cracked,
heat-checked, repaired or of unknown iron. Competition may ask for a certified part and a scatter
shield. Balance again after any cut. Local codes and licensed practice come first.
"""

from enginewright import _core

Assignment = _core.matching.Assignment
Choice = _core.matching.Choice
Lightened = _core.matching.Lightened
MassPlan = _core.matching.MassPlan
Pairing = _core.matching.Pairing
Removal = _core.matching.Removal
RodEnds = _core.matching.RodEnds
RodPlan = _core.matching.RodPlan
RodRemoval = _core.matching.RodRemoval
assign = _core.matching.assign
choose_parts = _core.matching.choose_parts
drilled_holes = _core.matching.drilled_holes
equivalent_mass = _core.matching.equivalent_mass
lightened = _core.matching.lightened
match_masses = _core.matching.match_masses
match_rods = _core.matching.match_rods
pair_parts = _core.matching.pair_parts
rod_ends = _core.matching.rod_ends
rod_removal = _core.matching.rod_removal
spin_stress = _core.matching.spin_stress
turned_band = _core.matching.turned_band

__all__ = [
    "Assignment",
    "Choice",
    "Lightened",
    "MassPlan",
    "Pairing",
    "Removal",
    "RodEnds",
    "RodPlan",
    "RodRemoval",
    "assign",
    "choose_parts",
    "drilled_holes",
    "equivalent_mass",
    "lightened",
    "match_masses",
    "match_rods",
    "pair_parts",
    "rod_ends",
    "rod_removal",
    "spin_stress",
    "turned_band",
]
