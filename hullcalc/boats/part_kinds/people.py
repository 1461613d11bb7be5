"""kind = "people": [[person]]s with mass, posture, place, and the height of what they stand or sit on."""

from __future__ import annotations

import numpy as np

from hullcalc.boats.part_kinds.asking import count, point, size, tables
from hullcalc.boats.part_kinds.common import WEIGHTS, report_error
from hullcalc.boats.toml_keys import Keys
from hullcalc.errors import InputError
from hullcalc.weights.parts import people as parts
from hullcalc.weights.parts.part import Part
from hullcalc.weights.reference import figure, look_up

POSTURES = ("standing", "seated", "regulation")


def make(keys: Keys, name: str) -> Part | None:
    """People; `surface` (a height, or points of a sole) of the file is under everyone who has none of their own."""
    before = len(keys.problems.to_mend)
    sole = _surface(keys)
    if sole is None and len(keys.problems.to_mend) > before:
        sole = np.zeros((1, 3))  # said once, not for everyone who stands on it
    persons = []
    for one in tables(keys, "person", required=True):
        person = _person(one, sole)
        one.finish(strict=True)
        if person is not None:
            persons.append(person)
    if len(keys.problems.to_mend) > before:
        return None
    return parts.people(name, persons)


def _person(one: Keys, sole: np.ndarray | None) -> parts.Person | None:
    before = len(one.problems.to_mend)
    who, posture = one.text("who", required=True), one.text("posture", required=True, choices=POSTURES)
    mass = _mass(one)
    x, y = one.position("x", "x", True, "x_m = 2.35"), one.position("y", "y", True, 'y = "0.35 m P"')
    number = count(one, "count", 1, low=1, high=100)
    own = _surface(one)
    under = sole if own is None else own
    basis = one.text("basis", choices=WEIGHTS, default="estimated")
    u_mass = size(one, "u_mass", "mass", required=False, low=0.0)
    u_place = size(one, "u_place", required=False, low=0.0, high=5.0)
    if under is None and len(one.problems.to_mend) == before:
        mend = "Write surface_m = 0.50, or points of it: surface = [[0.06, 0, 0.50], [3.80, 0, 0.54]]"
        one.report("surface", "", "the height stood or sat on is missing", mend)
    if len(one.problems.to_mend) > before or under is None or mass is None or x is None or y is None or number is None:
        return None
    spread = None if u_place is None else (u_place, u_place, parts.U_PLACE[2])
    height = parts.surface_height(under, x, y)
    return parts.Person(who, mass, posture, x, y, height, number, u_mass, spread, basis)


def _mass(one: Keys) -> float | None:
    """The key `mass`, or that of `rule` in the table of people."""
    mass, rule = size(one, "mass", "mass", required=False, high=250.0), one.text("rule")
    if mass is not None and rule:
        one.report("rule", rule, "mass is given too", "Keep one of them")
        return None
    if rule:
        try:
            return figure(look_up("people", person=rule), "mass_kg")
        except InputError as error:
            report_error(one, "rule", error)
            return None
    if mass is None and not any(key == "mass" or key.startswith("mass_") for key in one.table):
        one.report("mass", "", "mass is missing", 'Write mass_kg = 85, or rule = "ISO crew"')
    return mass


def _surface(keys: Keys) -> np.ndarray | None:
    """Points of what is stood on: one of a height, or those of a list; None where nothing is said."""
    value = keys.raw("surface")
    if isinstance(value, list):
        points = [point(keys, "surface", one) for one in value]
        if not points:
            keys.report("surface", value, "expected points [x, y, z]", "Write surface_m = 0.50")
        return None if not points or any(p is None for p in points) else np.array(points)
    height = keys.position("surface", "z")
    return None if height is None else np.array([[0.0, 0.0, height]])
