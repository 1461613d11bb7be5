"""Batteries by case group and kind, with their boxes, and what another kind in the same case would weigh.

Weights are the middle of the reference table's range. Batteries of one order are of one make: their errors add up.
"""

from __future__ import annotations

from numpy.typing import ArrayLike

from hullcalc.weights.parts.part import Fact, Line, Part
from hullcalc.weights.parts.sums import default_u, middle, positive, say, whole, with_causes
from hullcalc.weights.reference import Row, figure, look_up, reference_table

BOX = "battery box with strap"
LIGHT, FAR = 0.6, 1.6  # times the table's bounds: a typed mass outside them is questioned


def batteries(
    name: str,
    group: str,
    kind: str,
    number: int,
    centre: ArrayLike,
    boxes: int | None = None,
    each: float | None = None,
    basis: str = "data sheet",
    u_place: ArrayLike | None = None,
) -> Part:
    """Batteries at one place.

    Parameters
    ----------
    name : str
    group, kind : str
        As in the table `batteries`.
    number : int
        1 to 20.
    centre : array_like, shape (3,)
        [m].
    boxes : int, optional
        Boxes with straps; one for each battery unless given.
    each : float, optional
        Mass of one battery [kg] from its sheet or a scale, in the place of the table's; `basis` says which.
    basis, u_place
        As in `items.item`; without `each` the basis is "table".

    Raises
    ------
    InputError
        For a group or kind that is not in the table, or a number out of range.
    """
    number = whole(number, f"number of batteries of {name}", 1, 20)
    boxes = number if boxes is None else whole(boxes, f"boxes of {name}", 0, 20)
    row = look_up("batteries", group=group, kind=kind)
    table, bounds = middle(row, "kg"), _bounds(row)
    says: tuple[str, ...] = ()
    if each is None:
        one, u, basis, how = table.value, number * table.u, "table", f"table, {bounds}"
    else:
        one = positive(each, f"mass of one battery of {name}", "kg", 200, "a group 31 AGM battery is 30 to 35 kg")
        u, how = default_u(basis, number * one, None), basis
        if not LIGHT * figure(row, "low_kg") <= one <= FAR * figure(row, "high_kg"):
            says = (
                f"{say(one)} kg is far from the {bounds} of a group {row['group']} {row['kind']} battery: "
                "was it in pounds, or for all of them?",
            )
    held = with_causes(name, number * one, centre, basis, {f"{name}: mass": u}, u_place)
    lines = [Line(f"group {row['group']} {row['kind']} batteries", f"{number} x {say(one)} kg ({how})", held)]
    if boxes:
        box = middle(look_up("gear", item=BOX), "kg")
        held = with_causes(name, boxes * box.value, centre, "table", {f"{name}: boxes": boxes * box.u}, u_place)
        lines.append(Line("boxes with straps", f"{boxes} x {say(box.value)} kg (table)", held))
    facts = tuple(
        Fact("lighter with LFP in the same case", number * (one - middle(other, "kg").value), "mass")
        for other in reference_table("batteries")
        if (other["group"], other["kind"]) == (row["group"], "LFP") and row["kind"] != "LFP"
    )
    return Part(name, tuple(lines), basis, says=says, facts=facts)


def _bounds(row: Row) -> str:
    return f"{say(figure(row, 'low_kg'))} to {say(figure(row, 'high_kg'))} kg"
