"""Kinds of part files: for each kind the function that makes a Part of the keys of its file.

A maker takes the file's Keys, whose keys "kind" and "name" have been asked already, and the name of the part. It
reports what is wrong through the Keys and answers None then; it need not catch the InputError of a calculation.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from hullcalc.boats.part_kinds import bracket, engine, fuel_tank
from hullcalc.boats.toml_keys import Keys
from hullcalc.weights.parts.part import Part

Maker = Callable[[Keys, str], Part | None]

KINDS: Mapping[str, Maker] = {
    "engine": engine.make,
    "bracket": bracket.make,
    "jack plate": bracket.make_jack_plate,
    "fuel tank": fuel_tank.make,
}
