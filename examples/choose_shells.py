"""Choose bearing shells for a set of mains from what lies on the shelf.

    .venv/bin/python examples/choose_shells.py

What somebody who builds engines would write: his own housings, journals and shelf, the clearance he
likes, and what he would do with two more halves. Prints the choice, and what to order.
"""

import enginewright as ew

# Mains of a Linnet 2.0, from the front: caps torqued, shells out; journals as ground. mm.
HOUSINGS = [63.984, 63.988, 63.985, 63.991, 63.983]
JOURNALS = [59.972, 59.975, 59.970, 59.974, 59.971]
# Two readings of each wall at the crown; halves counted this morning.
WALLS = {"red": 1.981, "blue": 1.985, "black": 1.989, "green": 1.993}
SHELF = {"red": 3, "blue": 4, "black": 2, "green": 4}
LOWER, TARGET, UPPER = 0.025, 0.035, 0.045


def main():
    """Choose, print, and say what one more packet would give."""
    chosen = ew.journals.select_shells(
        HOUSINGS, JOURNALS, WALLS, SHELF, lower=LOWER, upper=UPPER, target=TARGET
    )
    print(f"{chosen.status}: at most {1000 * chosen.worst_deviation:.0f} µm from {TARGET:.3f} mm")
    for i, (first, second) in enumerate(zip(chosen.first, chosen.second, strict=True)):
        # One error in a wall that is used twice counts twice: 2 µm of doubt is 4 µm of clearance.
        judged = ew.journals.judge_clearance(
            HOUSINGS[i], WALLS[first], JOURNALS[i], WALLS[second],
            uncertainty_housing=0.002, uncertainty_wall=0.001, uncertainty_journal=0.001,
            lower=LOWER, upper=UPPER,
        )  # fmt: skip
        print(f"  main {i + 1}: {first:5} {second:5} {judged.clearance:.3f} mm  {judged.verdict}")
    left = dict(zip(chosen.grades, chosen.stock_left, strict=True))
    print("left on the shelf:", ", ".join(f"{count} {name}" for name, count in left.items()))

    full = ew.journals.select_shells(
        HOUSINGS, JOURNALS, WALLS, dict.fromkeys(WALLS, 10),
        lower=LOWER, upper=UPPER, target=TARGET,
    )  # fmt: skip
    saved = 1000 * (chosen.worst_deviation - full.worst_deviation)
    order = [
        f"{count} {name}"
        for name, count in zip(chosen.grades, chosen.to_order, strict=True)
        if count
    ]
    if order:
        print(f"{', '.join(order)} more would bring the worst {saved:.0f} µm nearer")
    else:
        print("a full shelf would do no better")


if __name__ == "__main__":
    main()
