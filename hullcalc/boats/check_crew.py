"""Does what a folder says of her crew fit the rest: stores that there are, a place for each, places on the boat."""

from __future__ import annotations

import difflib
from collections.abc import Collection

import numpy as np

from hullcalc.boats.bounds import check_on_boat
from hullcalc.boats.crew import ASSIGNED, Crew, Place
from hullcalc.boats.read_crew import FILE
from hullcalc.boats.read_parts import Parts
from hullcalc.boats.settings import FILE as SETTINGS
from hullcalc.errors import Problem, Problems
from hullcalc.measuring.stations import Hull


def check_crew(crew: Crew, places: Parts, people: Collection[str] | None, hull: Hull | None,
               problems: Problems) -> None:  # fmt: skip
    """Stores are known, places are on the boat, and there is one for each of the crew."""

    def report(key: str, read: str, expected: str, mend: str) -> None:
        problems.append(Problem(SETTINGS, None, f"[crew] {key}", read, expected, mend))

    for key, named in (("departing", crew.departing), ("arriving", crew.arriving)):
        for name in named:
            if people is not None and name not in people:
                near = difflib.get_close_matches(name, list(people), n=1)
                there = f"Did you mean {near[0]}?" if near else f"There are: {', '.join(people) or 'none'}"
                report(key, name, "no store of people.csv is called so", there)
        twice = sorted({name for name in named if named.count(name) > 1})
        if twice:
            report(key, twice[0], "named twice", "Name each once; give a second one its own name")
    assigned = [place for _, place in places.made if isinstance(place, Place) and place.use in ASSIGNED]
    whole = places.table is not None and places.known is not None and len(places.known) == len(places.made)
    if crew.number is not None and whole and crew.number > len(assigned):
        # ISO 14946:2021, clause 4: the crew is not above the seats or standing areas assigned to people
        report(
            "number", str(crew.number), f"{FILE} assigns places to {len(assigned)}",
            f"Add a row of use helm, crew or child for each, or write number = {max(len(assigned), 1)}",
        )  # fmt: skip
    if hull is None:
        return
    beam = float(np.ptp(hull.solid.bounds[:, 1]))
    if crew.side_to_side is not None and crew.side_to_side > beam:
        report(
            "side_to_side", f"{crew.side_to_side:g} m", f"the hull is {beam:.2f} m wide",
            "Measure the width open to people, in metres or with its unit",
        )  # fmt: skip
    for row, place in places.made:
        if places.table is not None and isinstance(place, Place):
            check_on_boat(hull, places.table, row, place.name, "", problems)
