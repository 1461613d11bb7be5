"""What parts are cut from: plates and tubes of metal, and what covers a top, with the masses of a metre of each.

Densities and masses per area are rows of the reference tables "metals" and "coverings", each with its source; a weighed
or maker-stated figure always goes first.
"""

from __future__ import annotations

import math

from hullcalc.errors import as_number, require
from hullcalc.weights.reference import look_up


def density_of(material: str) -> float:
    """Density [kg/m³] of a metal or plastic by name; an InputError with the near names otherwise."""
    return float(look_up("metals", material=material)["density_kg_m3"])


def covering(name: str) -> tuple[float, float, float, str]:
    """Low, likely and high mass per area [kg/m²] of what covers a top, and where the figures come from."""
    row = look_up("coverings", covering=name)
    low, likely, high = (float(row[f"{end}_kg_m2"]) for end in ("low", "likely", "high"))
    return low, likely, high, f"{row['source']}, {row['status']}"


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
