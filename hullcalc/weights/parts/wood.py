"""Wood, dry by its table and wet by squares cut from it.

A wet square of known area on a kitchen scale gives kg/m2 (and with its thickness kg/m3) for the whole sheet. How much
water wood can hold is bounded: with cell walls of 1500 kg/m3, pores filled, it weighs rho + 1000 (1 - rho / 1500) [1]_.

References
----------
.. [1] The cell wall's density is a standard value of wood science (from memory); the bound follows from it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from numpy.typing import ArrayLike

from hullcalc.errors import require
from hullcalc.weights.parts.part import Fact, Line, Part
from hullcalc.weights.parts.samples import ONE_SQUARE, mean_of
from hullcalc.weights.parts.sums import default_u, middle, positive, say, with_causes
from hullcalc.weights.reference import look_up

CELL_WALL = 1500.0  # kg/m3
WATER = 1000.0  # kg/m3, what wood soaks up is mostly rain
HEAVIEST = 1300.0  # kg/m3; soaked through, wood of 900 kg/m3 dry weighs as much
SOAKED_WOOD = "all soaked wood"


@dataclass(frozen=True)
class Square:
    """A piece cut out and weighed: mass [kg], area [m2]."""

    mass: float
    area: float


def soaked_limit(dry_density: float) -> float:
    """Density [kg/m3] of wood with every pore full of water, from its dry density [kg/m3]."""
    dry = positive(dry_density, "dry density", "kg/m3", CELL_WALL, "plywood is 450 to 650 kg/m3")
    return dry + WATER * (1 - dry / CELL_WALL)


def dry_wood(
    name: str,
    wood: str,
    thickness: float,
    area: float,
    centre: ArrayLike,
    density: float | None = None,
    basis: str = "calculated",
    u_mass: float | None = None,
    u_place: ArrayLike | None = None,
) -> Part:
    """Sheet wood: area [m2] x thickness [m] x density [kg/m3], the middle of the table `woods` unless given."""
    thickness = positive(thickness, f"thickness of {name}", "m", 0.5, "plywood is 4 to 40 mm; given in mm?")
    area = positive(area, f"area of {name}", "m2", 200, "give it in square metres, or with its unit")
    causes, table = {}, ""
    if density is None:
        figure, table = middle(look_up("woods", wood=wood), "kg_m3"), ", the table's middle"
        density = figure.value
        causes[f"{name}: density of {wood}"] = figure.u * area * thickness
    density = positive(density, f"density of {wood}", "kg/m3", HEAVIEST, "plywood is 450 to 650 kg/m3")
    mass = area * thickness * density
    causes[f"{name}: mass"] = default_u(basis, mass, u_mass)
    how = f"{say(area)} m² x {say(thickness)} m x {say(density)} kg/m³{table}"
    line = Line(wood, how, with_causes(name, mass, centre, basis, causes, u_place))
    facts = (
        Fact("mass per area", thickness * density, "mass per area"),
        Fact("soaked through, at most", area * thickness * soaked_limit(density), "mass"),
    )
    return Part(name, (line,), basis, facts=facts)


def wet_wood(
    name: str,
    squares: Sequence[Square],
    area: float,
    centre: ArrayLike,
    thickness: float | None = None,
    dry: float | None = None,
    basis: str = "calculated",
    u_place: ArrayLike | None = None,
    shared: str = SOAKED_WOOD,
) -> Part:
    """Wet sheet wood from squares cut out of it.

    Parameters
    ----------
    name : str
    squares : sequence of Square
        One or more.
    area : float
        Of the whole [m2].
    centre : array_like, shape (3,)
        [m].
    thickness : float, optional
        [m]; then its density is told and held against what wood can weigh.
    dry : float, optional
        Dry density [kg/m3], with `thickness`: then the water in it is told.
    basis, u_place
        As in `items.item`; the mass's uncertainty is that of the squares (see `samples`).
    shared : str
        Name of the cause that soaked things share: one boat's wet wood is wet for one reason, so errors add up.

    Raises
    ------
    InputError
        For no squares, a figure out of range, or a square heavier than wood can be.
    """
    area = positive(area, f"area of {name}", "m2", 200, "give it in square metres, or with its unit")
    for square in squares:
        positive(square.area, f"area of a square of {name}", "m2", 4, "200 mm square is 0.04 m2")
    found = mean_of([s.mass / s.area for s in squares], ONE_SQUARE, f"squares of {name}", "kg/m2")
    mass = area * found.value
    facts, says = [Fact("mass per area", found.value, "mass per area")], []
    if thickness is not None:
        thickness = positive(thickness, f"thickness of {name}", "m", 0.5, "plywood is 4 to 40 mm; given in mm?")
        density = found.value / thickness
        mend = "check the square's mass, its sides and the thickness"
        require(
            found.greatest / thickness <= HEAVIEST, f"density of a square of {name}", found.greatest / thickness,
            "kg/m3", "is more than soaked wood can weigh", mend,
        )  # fmt: skip
        facts.append(Fact("density", density, "density"))
        if dry is not None:
            limit = soaked_limit(dry)
            facts += [
                Fact("dry", area * thickness * dry, "mass"),
                Fact("water in it", mass - area * thickness * dry, "mass"),
                Fact("soaked through, at most", area * thickness * limit, "mass"),
            ]
            if density > limit:
                says.append(
                    f"The squares weigh {density:.0f} kg/m³, more than such wood soaked through ({limit:.0f} kg/m³): "
                    "is glass or resin on them?"
                )
            if density < dry:
                says.append(f"The squares weigh {density:.0f} kg/m³, less than dry ({dry:.0f} kg/m³): was it rot?")
    how = f"{say(area)} m² x {say(found.value)} kg/m² ({found.rule})"
    causes = {shared or f"{name}: mass": area * found.u}
    line = Line("wet, from squares", how, with_causes(name, mass, centre, basis, causes, u_place))
    return Part(name, (line,), basis, says=tuple(says), facts=tuple(facts))
