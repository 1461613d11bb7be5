"""kind = "list": a part of one's own; also "cables", "anchor gear", "deck gear", which are lists too.

    kind = "list"
    allowance_percent = 5
    [[thing]]
    what = "main cables"
    section_mm2 = 50
    length_m = 6.8
    x_m = 1.10
    z_m = 0.60

Each [[thing]] is reckoned in one way: mass; area with mass_per_area; length with mass_per_length; section or gauge (a
cable) with length; chain or rope (a diameter) with length; gear (the table's name); gear_by_length with length. `count`
makes several of it. A place at the top of the file is that of all things without their own.
"""

from __future__ import annotations

import numpy as np

from hullcalc.boats.part_kinds.asking import count, place, size, tables
from hullcalc.boats.part_kinds.common import area, fraction, how_known, report_error
from hullcalc.boats.toml_keys import Keys
from hullcalc.errors import InputError
from hullcalc.weights.parts import bill as parts
from hullcalc.weights.parts.cables import cable_mass_per_length, gauge_area
from hullcalc.weights.parts.gear import chain_mass_per_length, rope_mass_per_length
from hullcalc.weights.parts.part import Part

WAYS = {  # the key that chooses the way -> how it is written
    "mass": "mass_kg = 7",
    "mass_per_area": "mass_per_area_kg_m2 = 9.7 with area_m2",
    "mass_per_length": "mass_per_length_kg_per_m = 0.9 with length_m",
    "section": "section_mm2 = 50 with length_m",
    "gauge": 'gauge = "2/0" with length_m',
    "chain": "chain_mm = 8 with length_m",
    "rope": "rope_mm = 12 with length_m",
    "gear": 'gear = "trim tab pair"',
    "gear_by_length": 'gear_by_length = "rub rail PVC" with length_m',
}


def make(keys: Keys, name: str) -> Part | None:
    """A bill of [[thing]]s with an allowance on top."""
    before = len(keys.problems.to_mend)
    common = place(keys, required=False)
    if common is None and len(keys.problems.to_mend) > before:
        common = np.zeros(3)  # said once, not for everything that lies there
    share, doubt = fraction(keys, "allowance"), fraction(keys, "u_allowance")
    entries = []
    for one in tables(keys, "thing", required=True):
        entry = _entry(one, common, name)
        one.finish(strict=True)
        if entry is not None:
            entries.append(entry)
    if len(keys.problems.to_mend) > before:
        return None
    return parts.bill(name, entries, allowance=share or 0.0, u_allowance=doubt)


def _entry(one: Keys, common: np.ndarray | None, part: str) -> parts.Entry | None:
    before = len(one.problems.to_mend)
    what = one.text("what", required=True)
    at = place(one, required=common is None and not any(key[:2] in ("x_", "z_") for key in one.table))
    way = _way(one)
    amount = None
    if way:
        try:
            amount = _amount(one, way)
        except InputError as error:
            report_error(one, way, error)
    if len(one.problems.to_mend) > before or amount is None:
        return None
    own = how_known(one, amount.basis)
    if len(one.problems.to_mend) > before:
        return None
    centre = common if at is None else at
    if centre is None:
        one.report("x", "", "its place is missing", "Write x_m and z_m here, or at the top for all things")
        return None
    amount = parts.Amount(amount.mass, amount.how, own.basis, amount.from_table and own.basis == "table")
    return parts.Entry(what, amount, centre, own.u_mass, own.u_place, part if at is None else "")


def _way(one: Keys) -> str:
    """The one way in which a thing is reckoned; "" with a Problem."""
    found = [way for way in WAYS if any(_is(key, way) for key in one.table)]
    if len(found) == 1:
        return found[0]
    one.asked += one.table
    if found:
        one.report(found[1], "", f"{found[0]} is given too", f"Keep one of {' and '.join(found)}")
    else:
        one.report("mass", "", "how much it weighs is not said", f"Write one of: {'; '.join(WAYS.values())}")
    return ""


def _is(key: str, way: str) -> bool:
    """Is the key this way, alone or with a unit?"""
    longer = [other for other in WAYS if other.startswith(f"{way}_")]
    return key == way or (key.startswith(f"{way}_") and not any(key.startswith(other) for other in longer))


def _amount(one: Keys, way: str) -> parts.Amount | None:
    if way == "gear":
        thing, number = one.text("gear", required=True), count(one, "count", 1, low=1)
        return parts.by_table(thing, number) if thing and number else None
    if way == "gear_by_length":
        thing, length = one.text(way, required=True), size(one, "length", example="length_m = 8")
        return parts.by_table_length(thing, length) if thing and length else None
    number = count(one, "count", 1, low=1)
    if way == "mass":
        mass = size(one, "mass", "mass")
        return parts.by_mass(mass, number) if mass is not None and number else None
    if way == "mass_per_area":
        each, whole = size(one, way, "mass per area"), area(one)
        return parts.by_area(whole, each, number) if each and whole and number else None
    per_length, length = _per_length(one, way), size(one, "length", example="length_m = 8")
    return parts.by_length(length, per_length, number) if per_length and length and number else None


def _per_length(one: Keys, way: str) -> float | None:
    if way == "mass_per_length":
        return size(one, way, "mass per length")
    if way == "gauge":
        gauge = one.text("gauge", required=True)
        section = gauge_area(gauge) if gauge else None
    elif way == "section":
        section = size(one, "section", "area", high=1e-3)
    else:
        thick = size(one, way, high=0.06)
        rule = chain_mass_per_length if way == "chain" else rope_mass_per_length
        return None if thick is None else rule(thick)
    wall = size(one, "insulation", required=False, high=0.01)
    return None if section is None else cable_mass_per_length(section, wall)
