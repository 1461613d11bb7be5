"""Kinds of part files: for each kind the function that makes a Part of the keys of its file.

A maker takes the file's Keys, whose keys "kind" and "name" have been asked already, and the name of the part. It
reports what is wrong through the Keys and answers None then; it need not catch the InputError of a calculation.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from hullcalc.boats.part_kinds import (
    batteries,
    bill,
    bracket,
    engine,
    foam,
    fuel_tank,
    laminate,
    livewell,
    people,
    stores,
    top,
    wood,
)
from hullcalc.boats.toml_keys import Keys
from hullcalc.weights.parts.part import Part

Maker = Callable[[Keys, str], Part | None]

KINDS: Mapping[str, Maker] = {
    "engine": engine.make,
    "bracket": bracket.make,
    "jack plate": bracket.make_jack_plate,
    "fuel tank": fuel_tank.make,
    "livewell": livewell.make,
    "T-top": top.make,
    "leaning post": top.make,
    "laminate": laminate.make,
    "dry wood": wood.make_dry,
    "wet wood": wood.make_wet,
    "soaked foam": foam.make_soaked,
    "new foam": foam.make_new,
    "batteries": batteries.make,
    "people": people.make,
    "cooler": stores.make_cooler,
    **dict.fromkeys(("list", "cables", "anchor gear", "deck gear"), bill.make),
}
