"""Densities of metals and plastics that parts are cut from, and masses per area of tops; and plates and tubes of them.

Sources: alloy densities are standard values (from memory); sheet goods of tops from memory or common practice, as said
beside each. A weighed or maker-stated figure always goes first.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from hullcalc.errors import InputError, as_number, require

INCH = 0.0254  # m
DENSITIES: Mapping[str, float] = {  # kg/m³
    "aluminium 5052": 2680.0, "aluminium 5083": 2660.0, "aluminium 5086": 2660.0, "aluminium 6061": 2700.0,
    "stainless steel": 8000.0, "steel": 7850.0, "polyethylene": 945.0,
}  # fmt: skip
SHEETS: Mapping[str, tuple[float, str]] = {  # of tops: kg/m², the middle of the range, and where it comes from
    "acrylic canvas": (0.31, "0.30 to 0.32 kg/m², from memory"),
    "coated polyester": (0.63, "0.5 to 0.75 kg/m², from memory"),
    "clear vinyl 1 mm": (1.25, "density 1250 kg/m³, from memory"),
    "hardtop single skin": (7.5, "6 to 9 kg/m², 4 to 6 mm of solid laminate"),
    "hardtop cored": (8.25, "6.5 to 10 kg/m², two skins of 1.5 to 2 mm on 12 to 20 mm of core"),
}


def density_of(material: str) -> float:
    """Density [kg/m³] of a material by name; an InputError that lists the names otherwise."""
    if material not in DENSITIES:
        raise InputError(f"material {material!r} is not known; write one of: {', '.join(DENSITIES)}, or give a density")
    return DENSITIES[material]


def plate_mass_per_area(thickness: float, density: float) -> float:
    """kg/m² of plate: thickness [m] times density [kg/m³]."""
    thickness, density = as_number(thickness, "thickness", "m"), as_number(density, "density", "kg/m3")
    mend = "give it in metres (0.004) or with its unit"
    require(0 < thickness < 0.1, "thickness of plate", thickness, "m", "must lie between 0 and 0.1 m", mend)
    require(density > 0, "density", density, "kg/m3", "must be positive", "aluminium is about 2680 kg/m3")
    return thickness * density


def tube_mass_per_length(diameter: float, wall: float, density: float) -> float:
    """kg/m of round tube from its outer diameter and wall [m]: pi (D - t) t times density.

    A wall of half the diameter is a solid bar. Raises InputError for a wall that is not positive or thicker than that.
    """
    diameter, wall = as_number(diameter, "diameter of tube", "m"), as_number(wall, "wall of tube", "m")
    mend = "give both in metres, or with their unit"
    require(0 < diameter < 1, "diameter of tube", diameter, "m", "must lie between 0 and 1 m", mend)
    mend = "a wall is a few millimetres"
    require(0 < wall <= diameter / 2, "wall of tube", wall, "m", "must lie between 0 and half the diameter", mend)
    require(density > 0, "density", density, "kg/m3", "must be positive", "aluminium 6061 is 2700 kg/m3")
    return math.pi * (diameter - wall) * wall * density
