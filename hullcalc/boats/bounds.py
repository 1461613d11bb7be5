"""Do the figures of a folder stand on the boat and weigh what she can carry: bounds that only a slip oversteps.

The bounds are wide: common practice, no source. What is over them is to mend; what is odd but may be so, to look at.
"""

from __future__ import annotations

import numpy as np

from hullcalc.boats.read_ledger import PLACE, LedgerReading
from hullcalc.boats.read_parts import Parts
from hullcalc.boats.settings import FILE as SETTINGS
from hullcalc.boats.settings import Settings
from hullcalc.boats.tables import Row, Table
from hullcalc.errors import LOOK, MEND, Problem, Problems
from hullcalc.geometry.solid import Solid
from hullcalc.measuring.stations import Hull
from hullcalc.units import say_mass, say_position
from hullcalc.weights.items import MassItem

ABAFT, AHEAD, BESIDE, BELOW, ABOVE = 2.0, 2.0, 1.0, 1.0, 5.0  # m off the hull where a thing may still be hung
LIGHTEST = 0.02  # of what the whole hull displaces
OFF_CENTRE = 0.1  # m: a boat that lists by this much as found is worth a look
ALONG = (0.2, 0.6)  # of the hull's length: where the LCG of a planing boat lies
HEAVY_PERSON = 300.0  # kg: more is a store, or a slip
SHRUNK = 0.03  # of the hull's length: a table of places all within this is in another unit


def check_as_found(hull: Hull, settings: Settings, problems: Problems) -> None:
    """Mass and centre as found against what the hull carries and where she is."""
    if settings.as_found is None or settings.as_found_centre is None:
        return
    mass, (x, y, z) = float(settings.as_found.mass), settings.as_found_centre
    (x0, y0, z0), (x1, y1, z1) = hull.solid.bounds
    carries = hull.solid.volume * settings.water_density

    def report(key: str, read: str, expected: str, mend: str, level: str = MEND) -> None:
        problems.append(Problem(SETTINGS, None, f"[as_found] {key}", read, expected, mend, level, 30.0))

    if not LIGHTEST * carries <= mass < carries:
        range_said = f"{say_mass(LIGHTEST * carries)} to {say_mass(carries)}"
        report("mass", f"{mass:g} kg", f"a hull of this size weighs {range_said}", "Check the figure and its unit")
    if not x0 <= x <= x1:
        report(
            "lcg", f"{x:g} m", f"the hull reaches from {x0:.2f} to {x1:.2f} m",
            "Measure it forward of the transom's lower end, in metres or with its unit",
        )  # fmt: skip
    elif not ALONG[0] <= (x - x0) / (x1 - x0) <= ALONG[1]:
        report(
            "lcg", f"{x:g} m", f"most boats balance {x0 + ALONG[0] * (x1 - x0):.1f} to "
            f"{x0 + ALONG[1] * (x1 - x0):.1f} m forward of the transom", "Is it measured from the stem?", LOOK,
        )  # fmt: skip
    if not y0 <= y <= y1:
        report("tcg", f"{y:g} m", f"the hull reaches {y1:.2f} m to each side", "Check the figure and its unit")
    elif abs(y) > OFF_CENTRE:
        report("tcg", f"{y:g} m", "a boat as found seldom lies that far off the centreline", "Check it", LOOK)
    if not z0 <= z <= z1 + BESIDE:
        report("vcg", f"{z:g} m", f"the hull stands {z1:.2f} m high", "Measure it up from the keel line, in metres")


def check_stands(hull: Hull, ledger: LedgerReading, people: Parts, solids: Parts, problems: Problems) -> None:
    """Where moves and replacements end, what was aboard, people, stores and bodies stand on the boat."""
    if ledger.table is not None:
        for row in ledger.table.rows:
            if row["act"] in ("move", "replace") and not row["keep"]:
                check_on_boat(hull, ledger.table, row, row["to_item"] or row["item"], "to_", problems)
    for row, person in people.made:
        if people.table is None or not isinstance(person, MassItem):
            continue
        check_on_boat(hull, people.table, row, person.name, "", problems)
        if float(person.mass) > HEAVY_PERSON:
            problems.append(
                people.table.problem(
                    row, "mass", f"{say_mass(float(person.mass))} is more than a person weighs",
                    "Nothing to do if it is a store; else check the figure and its unit", LOOK,
                )
            )  # fmt: skip
    if ledger.at_weighing is not None:
        for row in ledger.at_weighing.rows:
            check_on_boat(hull, ledger.at_weighing, row, row["item"], "", problems)
    for row, body in solids.made:
        solid = getattr(body, "solid", None)
        if solids.table is None or not isinstance(solid, Solid):
            continue
        low, high = _room(hull)
        for k, axis in enumerate(PLACE):
            worst = solid.bounds[0, k] if solid.bounds[0, k] < low[k] else solid.bounds[1, k]
            if not low[k] <= worst <= high[k]:
                problems.append(
                    solids.table.problem(
                        row, "solid", f"a corner would be {say_position(float(worst), axis)}, off the boat",
                        "Check the corners, their unit and the datum line of this file", weight=15.0,
                    )
                )  # fmt: skip
                break


def check_scale(hull: Hull, table: Table | None, name: str, problems: Problems) -> None:
    """A table whose places all lie at one spot of the boat was measured in another unit than its head says."""
    if table is None:
        return
    places = [row["x"] for row in table.rows if row[name] and row["x"] is not None]
    reach = SHRUNK * np.ptp(hull.solid.bounds[:, 0])
    if len(places) >= 4 and np.ptp(places) < reach and len(set(places)) > 2:
        problems.append(
            table.problem(
                None, "x", f"all {len(places)} places lie within {1000 * np.ptp(places):.0f} mm of each other",
                f"Are the figures in metres? Then name the column x_m, not {table.heads.get('x', 'x')}", weight=45.0,
            )
        )  # fmt: skip


def _room(hull: Hull) -> tuple[np.ndarray, np.ndarray]:
    low, high = hull.solid.bounds
    return low - np.array([ABAFT, BESIDE, BELOW]), high + np.array([AHEAD, BESIDE, ABOVE])


def check_on_boat(hull: Hull, table: Table, row: Row, name: str, prefix: str, problems: Problems) -> None:
    """A Problem for each coordinate of a place (columns `prefix` x, y, z) that is off the boat."""
    low, high = _room(hull)
    for k, axis in enumerate(PLACE):
        value = row[f"{prefix}{axis}"]
        if value is not None and not low[k] <= value <= high[k]:
            problems.append(
                table.problem(
                    row, f"{prefix}{axis}", f"{name} would be {say_position(value, axis)}, off the boat",
                    "Check the figure, its unit and the datum line of this file", weight=15.0,
                )
            )  # fmt: skip
