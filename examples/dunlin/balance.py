"""From the scales to the bobweight: an invented V-twin of 75 degrees, step by step.

    .venv/bin/python examples/dunlin/balance.py

Reads `weighings.csv` as the shop exported it, checks that the rods' ends add up, gives the balance
factor for a frame that is soft upwards, the bobweight for the one crankpin, what is left to shake,
and when the two cylinders fire. Figures go to `out/dunlin`.

The engine, its maker and its figures are invented (Dunlin V-twin).
"""

import csv
from pathlib import Path

import enginewright as ew

HERE = Path(__file__).parent
OUT = HERE.parent.parent / "out" / "dunlin"

BANK = 75.0  # degrees between the cylinders, both rods on one pin
CRANK_RADIUS, ROD_LENGTH = 44.0, 155.0  # mm
SPEED = 5500.0  # rpm, where it is ridden
OIL = 4.0  # g in the drillings of the pin


def weighed():
    """Masses by cylinder and by what was weighed, g."""
    masses = {}
    with (HERE / "weighings.csv").open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            masses.setdefault(int(row["Cyl"]), {})[row["What was weighed"]] = float(row["Mass (g)"])
    return masses


def main():
    """Print the answers and draw the figures."""
    masses = weighed()
    rotating, reciprocating = [], []
    for cylinder, part in masses.items():
        split = ew.reciprocating.rod_split(
            part["rod, big end"], part["rod, small end"], part["rod, whole"], allowed=0.5
        )
        print(f"rod {cylinder}: ends less whole {split.closure:+.1f} g, {split.status}")
        rotating.append(split.rotating + part["big-end shells"])
        reciprocating.append(
            split.reciprocating + part["piston with rings"] + part["wrist pin and locks"]
        )
    twin = ew.reciprocating.EngineLayout(
        [0, 0], [BANK / 2, -BANK / 2], 0.0, CRANK_RADIUS, ROD_LENGTH, reciprocating, rotating,
        name="Dunlin V-twin",
    )  # fmt: skip
    # The frame gives way upwards twice as easily as fore and aft.
    factor = ew.reciprocating.balance_factor(twin, SPEED, along=2, across=1)
    print(f"balance factor {factor.factor:.3f}: {factor.next}")
    print(f"left at {SPEED:g} rpm: {factor.minimum:.0f} to {factor.maximum:.0f} N, once a turn")
    pin = ew.reciprocating.bobweight(
        sum(rotating) / 2, sum(reciprocating) / 2, factor.factor, rods_per_pin=2, oil=OIL
    )
    print(f"bobweight {pin.mass:.1f} g on the pin, of which {pin.rotating_part:.1f} g turns")
    shaking = ew.reciprocating.shaking(twin, SPEED, orders=4)
    print(f"twice a turn: up to {shaking.force_maximum[1]:.0f} N; no counterweight reaches that")
    firing = ew.reciprocating.firing_intervals(twin.throw_angle, twin.bank_angle, [1, 2])
    print("fires after " + " and ".join(f"{each:g}" for each in firing.intervals) + " degrees")
    OUT.mkdir(parents=True, exist_ok=True)
    ew.plots.shaking(twin, SPEED, orders=[1, 2, 4]).savefig(OUT / "shaking.png")
    ew.plots.firing(twin.throw_angle, twin.bank_angle, [1, 2]).savefig(OUT / "firing.png")
    print(
        "Caution: bolt or clamp the bobweight and pull it by hand before every start; guards "
        "closed, low speed first, nobody in the plane of rotation; follow the machine's manual."
    )


if __name__ == "__main__":
    main()
