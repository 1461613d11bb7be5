"""[crew] of boat.toml and seats.csv: who sails in her and where they sit and stand.

Nothing is raised; what cannot be used becomes a Problem and is left out.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

from hullcalc.boats.crew import POSTURES, USES, Crew, Place
from hullcalc.boats.datum import Datum
from hullcalc.boats.read_ledger import PLACE
from hullcalc.boats.read_parts import Parts
from hullcalc.boats.tables import Column, read_table
from hullcalc.boats.toml_keys import Keys
from hullcalc.errors import Problems
from hullcalc.units import say_mass

FILE = "seats.csv"
MOST_PEOPLE = 60  # in a boat of this kind; more is a slip
MOST_EFFECTS = 100.0  # kg each
COLUMNS = (
    Column("place", required=True),
    *(Column(axis, axis, required=True) for axis in PLACE),
    Column("posture", "choice", required=True, choices=tuple(POSTURES)),
    Column("use", "choice", required=True, choices=USES),
    Column("note", default=""),
)


def read_crew(keys: Keys) -> Crew:
    """[crew] of boat.toml, its places not yet read."""
    number = keys.quantity("number", "number", example="number = 4")
    if number is not None and not (1 <= number <= MOST_PEOPLE and number == int(number)):
        keys.report("number", f"{number:g}", f"expected how many people sail in her, 1 to {MOST_PEOPLE}", "Count them")
        number = None
    effects = keys.quantity("effects_each", "mass", example="effects_each_kg = 20")
    if effects is not None and not 0 <= effects <= MOST_EFFECTS:
        keys.report(
            "effects_each", say_mass(effects), f"expected what one person brings along, 0 to {say_mass(MOST_EFFECTS)}",
            "Write effects_each_kg = 20",
        )  # fmt: skip
        effects = None
    across = keys.quantity("side_to_side", "length", example="side_to_side_m = 1.9")
    if across is not None and not across > 0:
        keys.report("side_to_side", f"{across:g} m", "expected a positive width", "Measure the cockpit across")
        across = None
    return Crew(
        None if number is None else int(number),
        effects or 0.0,
        across,
        keys.names("departing") or (),
        keys.names("arriving") or (),
    )


def read_places(folder: Path, datum: Datum | None, problems: Problems) -> Parts:
    """Seats and standing places, one row each."""
    table = read_table(folder / FILE, COLUMNS, problems, datum, required=False)
    made = []
    for row in table.rows if table is not None else ():
        point = [row[axis] for axis in PLACE]
        if row["place"] and None not in point and row["posture"] and row["use"]:
            place = Place(row["place"], np.array(point, dtype=float), row["posture"], row["use"], row["note"] or "")
            made.append((row, place))
    known = tuple(row["place"] for row in table.rows if row["place"]) if table is not None and table.whole else None
    return Parts(table, tuple(made), known if table is not None or (folder / FILE).exists() else ())


def crew_of(crew: Crew, places: Parts) -> Crew:
    """The crew with its places."""
    return replace(crew, places=tuple(place for _, place in places.made if isinstance(place, Place)))
