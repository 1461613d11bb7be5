"""Flotation foam: soaked, from plugs cut with a hole saw or from bounds; new, from its density; and what each lifts.

Foam inside a shut space lifts nothing that the hull does not lift already. It counts when its space floods: then it
keeps the water out of its own volume and lifts that volume of water less its own mass (Archimedes). So a part of foam
has no body here; its litres and its net lift are said beside the sum.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import as_number, require
from hullcalc.weights.items import MassItem, combine, item
from hullcalc.weights.parts.part import Fact, Line, Part
from hullcalc.weights.parts.samples import ONE_PLUG, Mean, mean_of, u_of_mean
from hullcalc.weights.parts.sums import default_u, middle, only_causes, positive, say, with_causes
from hullcalc.weights.reference import look_up

SEA = 1025.0  # kg/m3
HEAVIEST = 1100.0  # kg/m3: foam with every pore full of water weighs about 1000
U_VOLUME = 0.10  # relative, of foam that was never drawn; common practice, no source
LOSS = 0.05  # of buoyancy that a soak test lets a foam lose at most: 33 CFR 183.114
SOAKED_FOAM = "all soaked foam"
ENOUGH = 5  # plugs; common practice, no source


@dataclass(frozen=True)
class Plug:
    """A plug cut out and weighed: mass [kg], volume [m3]."""

    mass: float
    volume: float


def plug_volume(diameter: float, length: float) -> float:
    """Volume [m3] of a round plug: pi / 4 d² l, lengths in m."""
    diameter = positive(diameter, "diameter of the plug", "m", 0.5, "a hole saw is 25 to 100 mm; given in mm?")
    length = positive(length, "length of the plug", "m", 1.0, "plugs are 50 to 300 mm long; given in mm?")
    return float(np.pi / 4 * diameter**2 * length)


def density_of_plugs(plugs: Sequence[Plug], name: str = "foam") -> Mean:
    """Density [kg/m3] of foam from its plugs and how well it is known (see `samples`).

    Raises InputError for no plugs, or one that is not positive or heavier than foam full of water.
    """
    for plug in plugs:
        positive(plug.volume, f"volume of a plug of {name}", "m3", 0.1, "50 mm across and 100 mm long is 0.196 L")
    densities = [plug.mass / plug.volume for plug in plugs]
    mend = "foam full of water is about 1000; check its mass in grams and its size"
    at = f"density of the plugs of {name}"
    require(np.array(densities) <= HEAVIEST, at, np.array(densities), "kg/m3", "cannot be foam", mend)
    return mean_of(densities, ONE_PLUG, at, "kg/m3")


def foam_of_plugs(
    name: str,
    volume: float,
    plugs: Sequence[Plug],
    centre: ArrayLike,
    u_volume: float = U_VOLUME,
    basis: str = "estimated",
    u_place: ArrayLike | None = None,
    shared: str = SOAKED_FOAM,
    water: float = SEA,
) -> Part:
    """Foam as it is found: its volume times the mean density of its plugs.

    Parameters
    ----------
    name : str
    volume : float
        Of the foam [m3].
    plugs : sequence of Plug
        One or more, best from low and high, aft and forward.
    centre : array_like, shape (3,)
        [m].
    u_volume : float
        Relative standard uncertainty of the volume.
    basis, u_place
        As in `items.item`, for the place; the mass's causes are the plugs and the volume.
    shared : str
        Name of the cause that all soaked foam shares, whose errors then add up.
    water : float
        [kg/m3], for the lift.
    """
    volume = _volume(name, volume)
    found = density_of_plugs(plugs, name)
    at_fault = _fraction(name, u_volume)
    mass = volume * found.value
    causes = {shared or f"{name}: density": volume * found.u, f"{name}: volume": mass * at_fault}
    many = "plug" if found.number == 1 else "plugs"
    how = (
        f"{say(volume)} m³ x {found.value:.0f} ± {found.u:.0f} kg/m³ "
        f"({found.number} {many}, {found.least:.0f} to {found.greatest:.0f}; {found.rule})"
    )
    thing = with_causes(name, mass, centre, basis, causes, u_place)
    part = _part(name, "foam, from plugs", how, thing, basis, volume, found.value, water)
    if found.number >= ENOUGH:
        return part
    then = np.hypot(volume * u_of_mean(found.value, found.scatter, ENOUGH, ONE_PLUG), mass * at_fault)
    more = f"Cut more: {ENOUGH} plugs that scatter alike tell its mass to ± {then:.0f} kg, not ± {thing.u_mass:.0f} kg."
    return replace(part, says=(*part.says, more))


def foam_in_bounds(
    name: str,
    volume: float,
    low: float,
    likely: float,
    high: float,
    centre: ArrayLike,
    u_volume: float = U_VOLUME,
    basis: str = "estimated",
    u_place: ArrayLike | None = None,
    shared: str = SOAKED_FOAM,
    water: float = SEA,
) -> Part:
    """Foam whose density [kg/m3] is a judgement: low, likely, high, a triangular distribution (see `sources`).

    Sums use the likely figure; the mean lies (low + high - 2 likely) / 3 from it, which the item carries as its shift.
    Other parameters as in `foam_of_plugs`.
    """
    volume = _volume(name, volume)
    bounds = np.array([low, likely, high], dtype=float)
    mend = "dry foam is about 32 kg/m3, full of water about 1000"
    in_reach = (bounds > 0) & (bounds <= HEAVIEST)
    require(in_reach, f"density of {name}", bounds, "kg/m3", "must lie between 0 and 1100 kg/m3", mend)
    at_fault = as_number(u_volume, f"uncertainty of the volume of {name}", "")
    require(
        0 <= at_fault < 1, f"uncertainty of the volume of {name}", at_fault, "", "must be a fraction", "0.10 is 10 %"
    )
    mass = volume * likely
    judged = item(
        name, mass, centre, basis, u_place=u_place, shared=shared or f"{name}: density",
        low=volume * low, high=volume * high,
    )  # fmt: skip
    by_volume = only_causes(name, centre, basis, {f"{name}: volume": mass * at_fault})
    how = f"{say(volume)} m³ x {say(likely)} kg/m³ (judged, {say(low)} to {say(high)})"
    thing = combine([judged, by_volume], name, basis)
    return _part(name, "foam, judged", how, thing, basis, volume, likely, water)


def new_foam(
    name: str,
    volume: float,
    centre: ArrayLike,
    foam: str = "poured polyurethane 2 lb",
    density: float | None = None,
    basis: str = "calculated",
    u_mass: float | None = None,
    u_place: ArrayLike | None = None,
    water: float = SEA,
) -> Part:
    """Closed-cell foam put in: volume [m3] x density [kg/m3], the middle of the table `foams` unless given."""
    volume = _volume(name, volume)
    causes, table = {}, ""
    if density is None:
        figure, table = middle(look_up("foams", foam=foam), "kg_m3"), ", the table's middle"
        density, causes[f"{name}: density of {foam}"] = figure.value, figure.u * volume
    density = positive(density, f"density of {name}", "kg/m3", 300, "new foam is 30 to 70 kg/m3; 2 lb/ft3 is 32")
    mass = volume * density
    causes[f"{name}: mass"] = default_u(basis, mass, u_mass)
    thing = with_causes(name, mass, centre, basis, causes, u_place)
    how = f"{say(volume)} m³ x {say(density)} kg/m³{table}"
    part = _part(name, foam, how, thing, basis, volume, density, water)
    after = volume * (water * (1 - LOSS) - density)
    kept = Fact("net lift where its space floods, 5 % lost in a soak", after, "mass")
    return replace(part, facts=(*part.facts, kept))


def _volume(name: str, volume: float) -> float:
    return positive(volume, f"volume of {name}", "m3", 20, "340 L is 0.340 m3")


def _fraction(name: str, u_volume: float) -> float:
    u, at = as_number(u_volume, f"uncertainty of the volume of {name}", ""), f"uncertainty of the volume of {name}"
    require(0 <= u < 1, at, u, "", "must lie between 0 and 1", "write 0.10 for 10 %")
    return u


def _part(
    name: str, what: str, how: str, thing: MassItem, basis: str, volume: float, density: float, water: float
) -> Part:
    """The part of one line, with its litres and what it lifts where its space floods."""
    water = positive(water, "density of the water", "kg/m3", 1100, "1025 for sea water, 1000 for fresh")
    facts = (
        Fact("volume", volume, "volume"),
        Fact("density", density, "density"),
        Fact("net lift where its space floods", volume * (water - density), "mass"),
    )
    says = ["It lifts only where water enters its space: the hull's own volume holds it until then."]
    if density > 0.9 * water:
        says.append("As heavy as water, it lifts next to nothing.")
    return Part(name, (Line(what, how, thing),), basis, says=tuple(says), facts=facts)
