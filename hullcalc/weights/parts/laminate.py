"""Laminates by area: plies of glass and resin, cores with the resin they drink, gelcoat; kg/m2, thickness, mass, place.

Layers are given from the outer face inwards. A ply of glass g [kg/m2] with the glass fraction w (by mass) weighs g / w
and is g / rho_glass + (g / w - g) / rho_resin thick: the rule of mixtures, without voids. Glass fractions, densities
and the take-up of core faces are those of the reference tables where none are given.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_number, require
from hullcalc.weights.parts.part import Fact, Line, Part
from hullcalc.weights.parts.sums import Figure, default_u, middle, positive, say, whole, with_causes
from hullcalc.weights.reference import figure, look_up

FIBRE = "E-glass"


@dataclass(frozen=True)
class Layer:
    """One layer: mass [kg/m2] with the uncertainty of a table's range, thickness [m], and the sum behind it.

    Resin taken up by a core's face has no thickness of its own.
    """

    what: str
    mass_per_area: Figure
    thickness: float
    how: str


@dataclass(frozen=True)
class Stack:
    """Layers on each other, the outer one first: their kg/m2, thickness, density, and depth of their mass centre."""

    layers: tuple[Layer, ...]

    def __post_init__(self) -> None:
        if not self.layers:
            raise InputError("a laminate without plies; give one or more plies, cores or coats")

    @property
    def mass_per_area(self) -> float:
        return sum(layer.mass_per_area.value for layer in self.layers)

    @property
    def thickness(self) -> float:
        return sum(layer.thickness for layer in self.layers)

    @property
    def density(self) -> float:
        """[kg/m3], the mean through the thickness; asked only of a stack with one."""
        require(self.thickness > 0, "thickness", self.thickness, "m", "must be positive", "give a ply or a core")
        return self.mass_per_area / self.thickness

    @property
    def depth_of_centre(self) -> float:
        """[m] under the outer face of the first layer."""
        depth = moment = 0.0
        for layer in self.layers:
            moment += layer.mass_per_area.value * (depth + layer.thickness / 2)
            depth += layer.thickness
        return moment / self.mass_per_area


def fraction_of_ratio(resin_ratio: float) -> float:
    """Glass fraction by mass from the mass of resin to that of glass: 1 / (1 + ratio)."""
    mend = "2.3 means 2.3 kg of resin on 1 kg of glass"
    return 1 / (1 + positive(resin_ratio, "resin ratio", "", 10, mend))


def ply(
    kind: str,
    glass: float,
    glass_fraction: float | None = None,
    process: str = "hand",
    resin: str = "polyester",
    number: int = 1,
) -> Layer:
    """A ply, or several alike.

    Parameters
    ----------
    kind : str
        "mat", "woven roving", "biaxial" or another of the table `plies`; any name where `glass_fraction` is given.
    glass : float
        Dry glass [kg/m2], a mat of 450 g/m2 being 0.45.
    glass_fraction : float, optional
        By mass, between 0 and 1; that of the table for the kind and the process ("hand", "infused") unless given.
    resin : str
        A material of the table `resins`.
    number : int
        Plies alike on each other.
    """
    mend = "mats are 0.2 to 0.9 kg/m2; given in g/m2? divide by 1000"
    glass = positive(glass, f"glass of {kind}", "kg/m2", 5, mend)
    if glass_fraction is None:
        glass_fraction = figure(look_up("plies", ply=kind, process=process), "glass_fraction")
    w = as_number(glass_fraction, f"glass fraction of {kind}", "")
    require(0 < w < 1, f"glass fraction of {kind}", w, "", "must lie between 0 and 1", "write 0.30 or 30 %")
    number = whole(number, f"number of plies of {kind}", 1, 100)
    fibre, matrix = (figure(look_up("resins", material=m), "density_kg_m3") for m in (FIBRE, resin))
    mass, thickness = glass / w, glass / fibre + (glass / w - glass) / matrix
    times = f"{number} x " if number > 1 else ""
    what = f"{times}{kind} {say(1000 * glass)} g/m²"
    return Layer(what, Figure(number * mass), number * thickness, f"{times}{say(glass)} kg/m² / {say(w)} of glass")


def core(kind: str, thickness: float, density: float | None = None, take_up: float | None = None) -> tuple[Layer, ...]:
    """A core between the resin that its two faces drink.

    Parameters
    ----------
    kind : str
        Of the table `cores`; any name where `density` is given.
    thickness : float
        [m].
    density : float, optional
        [kg/m3]; the middle of the table's range unless given.
    take_up : float, optional
        Resin that each face takes up [kg/m2]; 0 for a core laid dry; the middle of the table's range unless given.
    """
    thickness = positive(thickness, f"thickness of {kind}", "m", 0.2, "cores are 5 to 50 mm; given in mm?")
    if density is None:
        rho, said = middle(look_up("cores", core=kind), "kg_m3"), "kg/m³, the table's middle"
    else:
        mend = "foam cores are 60 to 200 kg/m3, boards to 700"
        rho, said = Figure(positive(density, f"density of {kind}", "kg/m3", 1500, mend)), "kg/m³"
    if take_up is None:
        drunk, table = middle(look_up("take_up", surface="core face"), "kg_m2"), ", the table's middle"
    else:
        given = as_number(take_up, f"take-up of {kind}", "kg/m2")
        mend = "0.3 to 0.6 kg/m2 is usual, 0 for a core laid dry"
        require(0 <= given <= 3, f"take-up of {kind}", given, "kg/m2", "must lie between 0 and 3 kg/m2", mend)
        drunk, table = Figure(given), ""
    inside = Layer(
        f"core, {kind} {say(1000 * thickness)} mm",
        Figure(rho.value * thickness, rho.u * thickness),
        thickness,
        f"{say(thickness)} m x {say(rho.value)} {said}",
    )
    if not drunk.value:
        return (inside,)
    face = Layer(f"resin into a face of {kind}", drunk, 0.0, f"{say(drunk.value)} kg/m²{table}")
    return face, inside, face


def gelcoat(thickness: float) -> Layer:
    """Gelcoat of a thickness [m]; its density is that of the table `resins`."""
    thickness = positive(thickness, "thickness of gelcoat", "m", 0.005, "gelcoat is 0.5 to 0.7 mm thick")
    density = figure(look_up("resins", material="gelcoat"), "density_kg_m3")
    how = f"{say(thickness)} m x {say(density)} kg/m³"
    return Layer(f"gelcoat {say(1000 * thickness)} mm", Figure(density * thickness), thickness, how)


def coat(what: str, mass_per_area: float) -> Layer:
    """Anything reckoned by weight alone: paint, nonskid, adhesive, a sandwich from its sheet [kg/m2]."""
    mass = positive(mass_per_area, what, "kg/m2", 100, "paint is 0.1 to 0.5 kg/m2; given in g/m2? divide by 1000")
    return Layer(what, Figure(mass), 0.0, f"{say(mass)} kg/m²")


def laminate(
    name: str,
    layers: Sequence[Layer],
    area: float,
    centre: ArrayLike,
    basis: str = "calculated",
    u_mass: float | None = None,
    u_place: ArrayLike | None = None,
) -> Part:
    """A part made of one stack of layers over an area.

    Parameters
    ----------
    name : str
    layers : sequence of Layer
        From the outer face inwards.
    area : float
        [m2], both sides of a thing laid up on both sides.
    centre : array_like, shape (3,)
        Centre of the area [m].
    basis, u_mass, u_place
        As in `items.item`; `u_mass` is of the whole [kg]. The uncertainty of table ranges (a core's density, the resin
        taken up) comes beside it, each a cause of its own.

    Raises
    ------
    InputError
        For no layers, an area or figure out of range, or an unknown basis.
    """
    stack = Stack(tuple(layers))
    area = positive(area, f"area of {name}", "m2", 200, "give it in square metres, or with its unit")
    mass = stack.mass_per_area * area
    u_whole = default_u(basis, mass, u_mass)
    lines = []
    for layer in stack.layers:
        of_layer = layer.mass_per_area.value * area
        # One lay-up, one area, one place: the causes carry the part's name, so they add up linearly over the layers.
        causes = {f"{name}: mass": u_whole * of_layer / mass, f"{name}: {layer.what}": layer.mass_per_area.u * area}
        each = layer.how if layer.thickness == 0 else f"{layer.how} = {say(layer.mass_per_area.value)} kg/m²"
        line = with_causes(name, of_layer, centre, basis, causes, u_place)
        lines.append(Line(layer.what, f"{each}, x {say(area)} m²", line))
    facts = [Fact("area", area, "area"), Fact("mass per area", stack.mass_per_area, "mass per area")]
    if all(layer.thickness for layer in stack.layers if not layer.what.startswith("resin into")):
        facts += [Fact("thickness", stack.thickness, "length"), Fact("density", stack.density, "density")]
    says = ("Resin-rich work is heavier: weigh a piece of known area, or issue resin and glass by weight.",)
    return Part(name, tuple(lines), basis, says=says, facts=tuple(facts))
