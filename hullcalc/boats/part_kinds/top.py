"""kind = "T-top" or "leaning post": [[tube]], [[panel]] and [[gear]]."""

from __future__ import annotations

import numpy as np

from hullcalc.boats.part_kinds.also import WEIGHTS, material
from hullcalc.boats.part_kinds.asking import place, point, size, tables
from hullcalc.boats.toml_keys import Keys
from hullcalc.errors import LOOK, InputError
from hullcalc.weights.parts import top as parts
from hullcalc.weights.parts.materials import covering
from hullcalc.weights.parts.part import Part, line

ALUMINIUM = "aluminium 6061"


def make(keys: Keys, name: str) -> Part | None:
    """A frame of tube with panels and gear."""
    before = len(keys.problems.to_mend)
    density = material(keys, ALUMINIUM)
    welds = keys.quantity("welds", "fraction")
    tubes, panels, gear = _tubes(keys, density), _panels(keys), _gear(keys, name)
    if len(keys.problems.to_mend) > before:
        return None
    if welds is None and tubes:
        keys.report("welds", "", f"not given: {100 * parts.WELDS:g} % of the tube was taken for welds, plates and feet",
                    'If that is so, write welds = "10 %"', LOOK)  # fmt: skip
    return parts.top(name, tubes, panels, gear, parts.WELDS if welds is None else welds)


def _tubes(keys: Keys, density: float | None) -> list[parts.Tube]:
    found = []
    for one in tables(keys, "tube"):
        what = one.text("what", required=True)
        diameter = size(one, "diameter", high=0.5, example="diameter_in = 2")
        wall = size(one, "wall", high=0.1, example="wall_in = 0.125")
        radius = size(one, "bend_radius", required=False, low=0.0, high=5.0)
        paired = one.flag("pair")
        points = _points(one)
        one.finish(strict=True)
        if not what or diameter is None or wall is None or density is None or points is None:
            continue
        try:
            found.append(parts.tube(what, diameter, wall, density, points, radius or 0.0, paired))
        except InputError as problem:
            expected, _, mend = str(problem).rpartition("; ")
            one.report("points", "", expected, f"{mend[:1].upper()}{mend[1:]}")
    return found


def _points(one: Keys) -> np.ndarray | None:
    """The corners of a run, in metres."""
    value = one.raw("points")
    if not isinstance(value, list) or len(value) < 2:
        one.report("points", "" if value is None else value, "expected two or more points",
                   "Write points = [[2.4, 0.6, 0.55], [2.4, 0.6, 2.3]], x, y and z in metres")  # fmt: skip
        return None
    points = [point(one, "points", corner) for corner in value]
    return None if any(p is None for p in points) else np.array(points)


def _panels(keys: Keys) -> list[parts.Panel]:
    found = []
    for one in tables(keys, "panel"):
        what, made_of = one.text("what", required=True), one.text("made_of")
        length, width = size(one, "length", high=8.0), size(one, "width", high=8.0)
        per_area = size(one, "mass_per_area", "mass per area", required=False, high=60.0)
        thickness = size(one, "thickness", required=False, low=0.0, high=0.3)
        stands = one.text("stands", choices=parts.STANDS, default="flat")
        at = place(one)
        one.finish(strict=True)
        if (per_area is None) == (not made_of):
            one.report("made_of", made_of, "expected what it is made of, or a mass per area, one of them",
                       'Write made_of = "hardtop cored", or mass_per_area_kg_m2 = 8')  # fmt: skip
            continue
        if made_of:
            try:
                covering(made_of)
            except InputError as problem:
                one.report("made_of", made_of, str(problem).split("; ")[0], str(problem).split("; ")[-1])
                continue
        if what and length and width and at is not None:
            found.append(parts.panel(what, length, width, at, made_of=made_of, per_area=per_area,
                                     thickness=thickness or 0.0, stands=stands))  # fmt: skip
    return found


def _gear(keys: Keys, name: str) -> list[parts.Gear]:
    found = []
    for one in tables(keys, "gear"):
        what = one.text("what", required=True)
        mass, at = size(one, "mass", "mass", high=500.0, example="mass_kg = 12"), place(one)
        basis = one.text("basis", required=True, choices=WEIGHTS)
        side, ahead = (size(one, f"{view}_area", "area", False, low=0.0, high=20.0) for view in ("side", "ahead"))
        one.finish(strict=True)
        if what and mass is not None and at is not None and basis:
            made = line(name, what, f"{mass:g} kg, {basis}", mass, at, basis)
            found.append(parts.Gear(made, side or 0.0, ahead or 0.0))
    return found
