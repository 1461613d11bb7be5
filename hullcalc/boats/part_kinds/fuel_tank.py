"""kind = "fuel tank": a box, a wedge, a V bottom, in sheet or polyethylene, measured inside or outside."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from hullcalc.boats.part_kinds.also import WEIGHTS, also_lines, material
from hullcalc.boats.part_kinds.asking import count, place, size
from hullcalc.boats.toml_keys import Keys
from hullcalc.errors import LOOK
from hullcalc.geometry.solid import Solid
from hullcalc.weights.parts import fuel_tank as parts
from hullcalc.weights.parts.part import Fact, Line, Part, line

SHAPES = ("box", "wedge", "V bottom")
PLASTIC = "polyethylene"


def make(keys: Keys, name: str) -> Part | None:
    """A tank; with a table [wish] also what a trip takes."""
    before = len(keys.problems.to_mend)
    shape = _shape(keys)
    measured = keys.text("measured", required=True, choices=("inside", "outside"))
    wall = size(keys, "wall", high=0.05, example="wall_mm = 4")
    plastic = keys.table.get("material") == PLASTIC
    metal = material(keys)
    fuel = size(keys, "fuel_density", "density", required=False, low=500.0, high=1100.0)
    pickup = place(keys, False, "pickup_")
    lines, basis = _lines(keys, name, shape, wall, metal, plastic)
    wish = _wish(keys)
    if len(keys.problems.to_mend) > before or shape is None or wall is None:
        return None
    if fuel is None:
        keys.report("fuel_density", "", f"not given: gasoline of {parts.GASOLINE:g} kg/m3 was used",
                    f"If that is so, write fuel_density_kg_m3 = {parts.GASOLINE:g}", LOOK)  # fmt: skip
    made = parts.fuel_tank(name, shape, measured, wall, lines, basis=basis, density=fuel or parts.GASOLINE,
                           pickup=pickup, swells=plastic)  # fmt: skip
    return made if wish is None else _with_wish(made, *wish)


def _shape(keys: Keys) -> Solid | None:
    named = keys.text("shape", choices=SHAPES, default="box")
    sides = [size(keys, side, high=6.0, example=f"{side}_m = 0.6") for side in ("length", "width", "height")]
    x, y = keys.position("x", "x", True, "x_m = 2.60 (its middle)"), keys.position("y", "y")
    bottom = keys.position("bottom", "z", True, "bottom_m = 0.195")
    ahead = size(keys, "height_forward", required=named == "wedge", low=0.0, high=6.0)
    deadrise = size(keys, "deadrise", "angle", required=named == "V bottom", high=1.05)
    floor = size(keys, "floor", required=False, low=0.0, high=3.0)
    for key, given, of in (("height_forward", ahead, "wedge"), ("deadrise", deadrise, "V bottom")):
        if given is not None and named != of:
            keys.report(key, given, f"a {named} has none", f'Write shape = "{of}", or take the line out')
    if None in sides or x is None or bottom is None:
        return None
    length, width, height = (float(side) for side in sides if side is not None)
    at = np.array([x, y or 0.0, bottom])
    if named == "wedge":
        return None if ahead is None else parts.wedge_tank(length, width, height, ahead, at)
    if named == "V bottom":
        return None if deadrise is None else parts.v_tank(length, width, height, deadrise, at, floor or 0.0)
    return parts.box_tank(length, width, height, at)


def _lines(keys: Keys, name: str, shape: Solid | None, wall: float | None, metal: float | None, plastic: bool):
    """The sum: a sheet's mass at the shell's middle, or the shell of its sheets; and what goes along."""
    mass = size(keys, "mass", "mass", required=False, high=500.0)
    basis = keys.text("basis", choices=WEIGHTS, default="data sheet")
    baffles = count(keys, "baffles", 0, 0, 20)
    share = keys.quantity("fittings", "fraction")
    more = also_lines(keys, name)
    if shape is None or wall is None or metal is None:
        return [], basis
    made: tuple[Line, ...]
    if plastic:
        made = parts.plastic_lines(name, shape, wall, metal, 0.05 if share is None else share)
    else:
        usual = 0.03 if baffles else parts.FITTINGS
        made = parts.shell_lines(name, shape, wall, metal, baffles or None, usual if share is None else share)
    if mass is None:
        return [*made, *more], "calculated"
    centre = sum((one.item.moment for one in made), start=np.zeros(3)) / sum(float(one.item.mass) for one in made)
    return [line(name, "empty tank", f"{mass:g} kg, {basis}", mass, centre, basis), *more], basis


def _wish(keys: Keys) -> tuple[float, float, float] | None:
    """Miles, m³ a nautical mile, reserve."""
    if "wish" not in keys.table:
        keys.asked.append("wish")
        return None
    wish = keys.sub("wish")
    miles, burn = (size(wish, one, "number") for one in ("nautical_miles", "litres_per_mile"))
    reserve = size(wish, "reserve", "fraction", low=0.0, high=0.9, example='reserve = "33 %"')
    wish.finish(strict=True)
    return None if miles is None or burn is None or reserve is None else (miles, burn / 1000, reserve)


def _with_wish(made: parts.FuelTank, miles: float, burn: float, reserve: float) -> parts.FuelTank:
    wish = parts.volume_for(miles, burn, reserve, made.unusable())
    assert made.holds is not None  # a fuel tank always holds something
    reach = parts.range_of(made.usable(), burn, reserve)
    facts = (
        Fact("nautical miles with the reserve kept, planning only", reach, "number"),
        Fact("gross for the wished trip", wish.gross, "volume"),
        Fact("length of this section for the wished trip", parts.length_for(wish.gross, made.holds), "length"),
    )
    enough = "is enough" if made.gross >= wish.gross else "is too little"
    said = (
        f"For {miles:g} nautical miles at {burn * 1000:g} L a mile with {100 * reserve:.0f} % kept back she needs "
        f"{wish.gross * 1000:.0f} L gross; {made.gross * 1000:.0f} L {enough}. Weather and burn are yours"
    )
    return replace(made, facts=(*made.facts, *facts), says=(*made.says, said))
