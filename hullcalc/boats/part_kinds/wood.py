"""kind = "dry wood": a sheet by the table of woods; kind = "wet wood": a sheet from squares cut out of it."""

from __future__ import annotations

from hullcalc.boats.part_kinds.asking import place, size, tables
from hullcalc.boats.part_kinds.common import area, how_known, how_placed
from hullcalc.boats.toml_keys import Keys
from hullcalc.weights.parts import wood as parts
from hullcalc.weights.parts.part import Part
from hullcalc.weights.parts.sums import middle
from hullcalc.weights.reference import look_up


def make_dry(keys: Keys, name: str) -> Part | None:
    """Area times thickness times density."""
    before = len(keys.problems.to_mend)
    whole, at, how = area(keys), place(keys), how_known(keys, "calculated")
    thickness = size(keys, "thickness", high=0.5, example="thickness_mm = 19")
    density = size(keys, "density", "density", required=False, high=1300.0)
    wood = keys.text("wood", required=density is None, default="wood")
    if len(keys.problems.to_mend) > before or whole is None or at is None or thickness is None:
        return None
    return parts.dry_wood(name, wood, thickness, whole, at, density, how.basis, how.u_mass, how.u_place)


def make_wet(keys: Keys, name: str) -> Part | None:
    """Area times the mean kg/m2 of [[square]]s: mass, and area or length and width."""
    before = len(keys.problems.to_mend)
    whole, at = area(keys), place(keys)
    how = how_placed(keys, "calculated")
    thickness = size(keys, "thickness", required=False, high=0.5)
    dry, wood = size(keys, "dry_density", "density", required=False, high=1300.0), keys.text("wood")
    shared = keys.text("shared", default=parts.SOAKED_WOOD)
    squares = []
    for one in tables(keys, "square", required=True):
        mass = size(one, "mass", "mass", example="mass_g = 1560")
        piece = area(one, example="area_cm2 = 400")
        one.finish(strict=True)
        if mass is not None and piece is not None:
            squares.append(parts.Square(mass, piece))
    if len(keys.problems.to_mend) > before or whole is None or at is None:
        return None
    if dry is None and wood:
        dry = middle(look_up("woods", wood=wood), "kg_m3").value
    return parts.wet_wood(name, squares, whole, at, thickness, dry, how.basis, how.u_place, shared)
