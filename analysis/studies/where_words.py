"""What may still be added, in the reader's words; `system` is "metric" or "us"."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from analysis.studies.where import Where
from hullcalc.boats.limits import say_list
from hullcalc.units import factor, say_height, say_mass, say_position

PLACES_NAMED = 3


def room_finding(found: Where, system: str = "metric") -> str:
    """The finding in one sentence without a full stop: what may be added where it is least, or why nothing may."""
    kg, places = say_mass(found.kg, system), found.places
    if found.short:
        short = found.short[0]
        height = say_height(found.case.heights_shut[short], system)
        said = f"{short} is {height}{', less than its margin,' if height.endswith('above') else ''} with nothing added"
        return f"nothing may be added anywhere: {said}"
    unit = 1.0 if system == "metric" else factor("lb", "mass")
    told = np.round(places["may_add_kg"] / unit)  # as they are said: so that no less than asked is called enough
    much = [str(place) for place in places["place"][told < round(found.kg / unit)]]
    tight = places.loc[places["may_add_kg"].idxmin()]
    least = f"{say_mass(tight['may_add_kg'], system)} at {tight['place']}, {tight['first_mark']} first"
    if much:
        some = len(much) < len(places)
        where = (
            f"at {say_list(much)}" if some and len(much) <= PLACES_NAMED else f"at {len(much)} of {len(places)} places"
        )
        return f"{kg} are too much {where}; the least that may be added is {least}"
    if math.isinf(tight["may_add_kg"]):
        return f"{kg} can go at any of the places asked about; no limit up to {say_mass(found.most_kg, system)}"
    return f"{kg} can go at any of the places asked about; the least that may be added is {least}"


def say_place(place: Sequence[float | None], system: str) -> str:
    """A place typed without a name, in words: along the boat, and across where it is off the centreline."""
    along = say_position(float(place[0] or 0.0), "x", system)
    across = place[1] if len(place) > 1 else None
    return along if not across else f"{along}, {say_position(float(across), 'y', system)}"
