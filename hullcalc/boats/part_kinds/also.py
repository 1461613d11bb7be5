"""Tables that several kinds of part files share: [[also]] (things from a sheet or scale), [[plate]], [[opening]]."""

from __future__ import annotations

import numpy as np

from hullcalc.boats.part_kinds.asking import count, place, size, tables
from hullcalc.boats.toml_keys import Keys
from hullcalc.weights.parts.bracket import Plate
from hullcalc.weights.parts.materials import density_of
from hullcalc.weights.parts.part import Line, line
from hullcalc.weights.sources import BASES

WEIGHTS = tuple(basis for basis in BASES if basis != "measured afloat")


def also_lines(keys: Keys, name: str) -> tuple[Line, ...]:
    """Lines of the tables [[also]]: what, mass, x, y, z, basis."""
    lines = []
    for one in tables(keys, "also"):
        what = one.text("what", required=True)
        mass = size(one, "mass", "mass", low=0.0, high=5000.0, example="mass_kg = 7")
        at, basis = place(one), one.text("basis", required=True, choices=WEIGHTS)
        u_mass = size(one, "u_mass", "mass", required=False, low=0.0)
        one.finish(strict=True)
        if what and mass is not None and at is not None and basis:
            lines.append(line(name, what, f"{mass:g} kg, {basis}", mass, at, basis, u_mass=u_mass))
    return tuple(lines)


def material(keys: Keys, default: str = "") -> float | None:
    """Density [kg/m³] from `density` or `material`; one of them is required where there is no default."""
    density = size(keys, "density", "density", required=False, low=100.0, high=12000.0)
    named = keys.text("material", default=default)
    if density is not None:
        return density
    if not named:
        keys.report("material", "", "material is missing", 'Write material = "aluminium 5083", or density_kg_m3')
        return None
    return density_of(named)


def plates(keys: Keys, density: float | None) -> tuple[Plate, ...]:
    """Plates of the tables [[plate]]: what, area or length and width, thickness, count, x, y, z."""
    found = []
    for one in tables(keys, "plate"):
        what = one.text("what", required=True)
        area = size(one, "area", "area", required=False, high=20.0)
        sides = [size(one, side, required=False, high=12.0) for side in ("length", "width")]
        thick = size(one, "thickness", high=0.1, example="thickness_mm = 5")
        own = material(one) if {"material", "density", "density_kg_m3"} & set(one.table) else density
        times, at = count(one, "count", 1, low=1), place(one)
        one.finish(strict=True)
        if area is None and None not in sides:
            area = float(np.prod([side for side in sides if side is not None]))
        if area is None and not any(key.startswith(("area", "length", "width")) for key in one.table):
            one.report("area", "", "area is missing", "Write area_m2 = 0.31, or length_m and width_m")
        if what and area and thick and own and times and at is not None:
            found.append(Plate(what, area, thick, own, at, times))
    return tuple(found)


def openings(keys: Keys) -> dict[str, np.ndarray]:
    """Places of the tables [[opening]]: what, x, y, z of its lowest edge."""
    found = {}
    for one in tables(keys, "opening"):
        what, at = one.text("what", required=True), place(one)
        one.finish(strict=True)
        if what in found:
            one.report("what", what, "this opening stands here twice", "Give each its own name")
        elif what and at is not None:
            found[what] = at
    return found
