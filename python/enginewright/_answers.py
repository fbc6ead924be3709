"""Which plan answers a complaint: a worn bore that is bored anyway asks for nothing of its own.

Paper and workbook both keep from saying twice what one cut settles. What a plan has answered is
measured again after it.
"""

from __future__ import annotations

from enginewright._rows import FindingRow

__all__ = ["answered_by"]

#: Complaints about a part that a cut of the part itself answers.
CUT_AWAY = ("limits", "ovality", "taper", "wear")
#: Complaints about what is fitted new after the cut of another part: shells, pistons.
FITTED_NEW = {
    ("bearing clearance", "main bearing"): "main journal",
    ("bearing clearance", "big-end bearing"): "big-end journal",
    ("piston clearance", "piston"): "bore",
    ("limits", "piston"): "bore",
}


def answered_by(row: FindingRow) -> str | None:
    """Give the feature whose plan, if there is one, answers what is wrong; None: no plan does."""
    if row.verdict not in ("outside", "unproven"):
        return None
    if (row.check, row.feature) in FITTED_NEW:
        wrong_size = row.check != "limits" or row.quantity == "diameter"
        return FITTED_NEW[row.check, row.feature] if wrong_size else None
    if row.check == "balance":
        # Holes in the crank settle what it keeps; a part to blame is corrected by itself.
        return None if " itself" in row.next else row.feature
    return row.feature if row.check in CUT_AWAY else None
