"""kind = "livewell": box, rounded box, oval or cylinder, with its standpipe."""

from __future__ import annotations

import numpy as np

from hullcalc.boats.part_kinds.also import WEIGHTS, also_lines
from hullcalc.boats.part_kinds.asking import place, size
from hullcalc.boats.toml_keys import Keys
from hullcalc.errors import LOOK
from hullcalc.geometry.solid import Solid
from hullcalc.weights.parts import livewell as parts
from hullcalc.weights.parts.part import Line, Part, line

SEA_WATER = 1025.0  # kg/m³


def make(keys: Keys, name: str) -> Part | None:
    """A livewell; its lip may be given as a place, or as a height above the floor in the middle of the well."""
    before = len(keys.problems.to_mend)
    room, floor = _room(keys)
    lip_at, pipe = place(keys, False, "lip_"), size(keys, "standpipe", required=False, high=3.0)
    water = size(keys, "water_density", "density", required=False, low=950.0, high=1100.0)
    lines, basis = _lines(keys, name, room)
    if lip_at is None and pipe is None:
        keys.report("standpipe", "", "standpipe is missing", "Write standpipe_m = 0.42, its height above the floor")
    elif lip_at is not None and pipe is not None:
        keys.report("standpipe", pipe, "the lip's place is given too", "Keep one of them")
    if len(keys.problems.to_mend) > before or room is None or floor is None:
        return None
    says = []
    if water is None:
        keys.report("water_density", "", f"not given: sea water of {SEA_WATER:g} kg/m3 was used",
                    f"If that is so, write water_density_kg_m3 = {SEA_WATER:g}", LOOK)  # fmt: skip
    if lip_at is None:
        lip_at = floor + np.array([0.0, 0.0, pipe or 0.0])
        says.append("The standpipe was taken to stand in the middle of the well")
    return parts.livewell(name, room, lip_at, lines, basis=basis, density=water or SEA_WATER, says=says)


def _room(keys: Keys) -> tuple[Solid | None, np.ndarray | None]:
    """The room and the middle of its floor."""
    shape = keys.text("shape", choices=parts.SHAPES, default="box")
    round_one = shape == "cylinder"
    diameter = size(keys, "diameter", required=round_one, high=3.0)
    length, width = (size(keys, side, required=not round_one, high=3.0) for side in ("length", "width"))
    height = size(keys, "height", high=3.0, example="height_m = 0.47")
    radius = size(keys, "corner_radius", required=shape == "rounded box", high=1.5)
    x, y = keys.position("x", "x", True, "x_m = 1.98 (its middle)"), keys.position("y", "y")
    bottom = keys.position("bottom", "z", True, "bottom_m = 0.62")
    if round_one:
        if length is not None or width is not None:
            keys.report("length", "", "a cylinder has a diameter alone", "Take length and width out")
            return None, None
        length = width = diameter
    elif diameter is not None:
        keys.report("diameter", diameter, f"a {shape} has none", 'Write shape = "cylinder", or take the line out')
    if length is None or width is None or height is None or x is None or bottom is None:
        return None, None
    floor = np.array([x, y or 0.0, bottom])
    return parts.well(shape, length, width, height, floor, radius), floor


def _lines(keys: Keys, name: str, room: Solid | None) -> tuple[list[Line], str]:
    """A sheet's mass at its place (or the middle of the walls), or walls and floor by area; and what goes along."""
    mass = size(keys, "mass", "mass", required=False, high=500.0)
    basis = keys.text("basis", choices=WEIGHTS, default="data sheet")
    at = place(keys, False, "mass_")
    per_area = size(keys, "wall_mass_per_area", "mass per area", required=False, high=100.0)
    more = also_lines(keys, name)
    if mass is not None and per_area is not None:
        keys.report("mass", f"{mass:g} kg", "the walls have a mass per area too", "Keep one of them")
    if mass is None and per_area is None:
        keys.report("mass", "", "mass is missing", "Write mass_kg = 20, or wall_mass_per_area_kg_m2 = 9")
    if room is None:
        return [], basis
    area, centre = parts.wall_faces(room)
    if mass is not None:
        return [
            line(name, "empty well", f"{mass:g} kg, {basis}", mass, centre if at is None else at, basis),
            *more,
        ], basis
    how = f"{area:.2f} m² x {per_area or 0:g} kg/m²"
    return [line(name, "walls and floor", how, area * (per_area or 0.0), centre, "calculated"), *more], "calculated"
