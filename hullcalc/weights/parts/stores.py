"""Coolers, ice and catch: what a packed cooler weighs, and how its mass changes through a day.

Ice that melts becomes water of the same mass: a cooler is lighter only by what is drained, drunk or taken out, and
heavier by the fish put on the ice. Latent heat of melting ice 333.55 kJ/kg (standard value, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_number, require
from hullcalc.weights.parts.part import Fact, Line, Part
from hullcalc.weights.parts.sums import middle, positive, say, with_causes
from hullcalc.weights.reference import look_up

LATENT_HEAT = 333.55e3  # J/kg
HOUR = 3600.0  # s
PACKED = "ice and drinks"


@dataclass(frozen=True, eq=False)
class CoolerDay:
    """A cooler at some hours: each array has the shape of `hours`; [kg]. `mass` is all of it, the box included."""

    hours: np.ndarray
    box: float
    ice: np.ndarray
    melt_water: np.ndarray
    drinks: np.ndarray
    catch: np.ndarray
    drained: np.ndarray

    @property
    def mass(self) -> np.ndarray:
        return self.box + self.ice + self.melt_water + self.drinks + self.catch


def melt_rate(area: float, u_value: float, warmer: float) -> float:
    """Ice that melts [kg/h]: heat through the walls, U A dT, over the latent heat.

    Parameters
    ----------
    area : float
        Of the walls [m2].
    u_value : float
        Heat that goes through them [W/(m2 K)]: 25 mm of foam of 0.03 W/(m K) have 1.2.
    warmer : float
        The air outside over the ice [K].
    """
    area = positive(area, "area of the cooler's walls", "m2", 20, "a cooler of 60 L has about 1 m2")
    u_value = positive(u_value, "U value", "W/(m2 K)", 20, "0.5 to 2 for coolers")
    warmer = as_number(warmer, "temperature over the ice", "K")
    require(0 <= warmer <= 60, "temperature over the ice", warmer, "K", "must lie between 0 and 60", "30 on a hot day")
    return area * u_value * warmer / LATENT_HEAT * HOUR


def cooler_through_the_day(
    hours: ArrayLike,
    ice: float,
    ice_lasts: float,
    drinks: float = 0.0,
    drunk_by: float | None = None,
    catch: float = 0.0,
    catch_from: float = 0.0,
    catch_until: float | None = None,
    box: float = 0.0,
    drained: bool = False,
) -> CoolerDay:
    """What is in a cooler or fish box through a day; straight lines between the hours named.

    Parameters
    ----------
    hours : array_like, shape (...)
        Since leaving [h], not negative.
    ice : float
        When she leaves [kg].
    ice_lasts : float
        Hours until the last of it has melted (`ice / melt_rate(...)` by physics).
    drinks : float
        When she leaves [kg].
    drunk_by : float, optional
        Hour when the last is gone overboard or ashore, its bottles with it; None keeps them. What is only drunk stays
        aboard in the people: leave it in, or move it to them.
    catch : float
        At the end of fishing [kg].
    catch_from, catch_until : float
        Hours between which it grows; `catch_until` is needed where there is a catch.
    box : float
        The empty cooler [kg].
    drained : bool
        Its plug is out: the melt leaves. Else it stays as water.

    Raises
    ------
    InputError
        For a negative mass or hour, or an end that is not after its beginning.
    """
    at = np.asarray(hours, dtype=float)
    require((at >= 0) & np.isfinite(at), "hours", at, "h", "must not be negative", "count from when she leaves")
    masses = {"ice": ice, "drinks": drinks, "catch": catch, "empty cooler": box}
    for what, mass in masses.items():
        kg = as_number(mass, f"mass of {what}", "kg")
        require(0 <= kg <= 1000, f"mass of {what}", kg, "kg", "must lie between 0 and 1000 kg", "give it in kg")
    melted = _done(at, 0.0, ice_lasts, "hours that the ice lasts")
    gone = np.zeros_like(at) if drunk_by is None else _done(at, 0.0, drunk_by, "hour when the last drink is gone")
    if catch_until is None:
        if catch:
            raise InputError("catch_until is missing; say by which hour the fish are aboard")
        caught = np.zeros_like(at)
    else:
        caught = _done(at, as_number(catch_from, "catch_from", "h"), catch_until, "catch_until")
    melt = ice * melted
    out = melt if drained else np.zeros_like(at)
    return CoolerDay(at, float(box), ice - melt, melt - out, drinks * (1 - gone), catch * caught, out)


def packed_cooler(
    name: str,
    volume: float,
    centre: ArrayLike,
    filled: float = 1.0,
    wall: str = "thin wall",
    basis: str = "estimated",
    u_place: ArrayLike | None = None,
) -> Part:
    """A cooler with ice and drinks, half and half.

    Parameters
    ----------
    name : str
    volume : float
        Inside [m3].
    centre : array_like, shape (3,)
        [m].
    filled : float
        Fraction of its volume that is packed, 0 for an empty one.
    wall : str
        "thin wall" or "rotomoulded", for the empty box.
    """
    volume = positive(volume, f"volume of {name}", "m3", 0.5, "a cooler is 30 to 150 L; 60 L is 0.060 m3")
    part = as_number(filled, f"filling of {name}", "")
    require(0 <= part <= 1, f"filling of {name}", part, "", "must lie between 0 and 1", "write 0.9 or 90 %")
    litres = 1000 * volume
    box, packed = (middle(look_up("coolers", cooler=kind), "kg_l") for kind in (f"empty {wall}", "packed"))
    lines = []
    for what, each, how, share in (
        ("empty box", box, f"{say(litres)} L x {say(box.value)} kg/L (table)", 1.0),
        (PACKED, packed, f"{say(100 * part)} % of {say(litres)} L x {say(packed.value)} kg/L", part),
    ):
        if share:
            u = share * litres * each.u
            thing = with_causes(name, share * litres * each.value, centre, basis, {f"{name}: {what}": u}, u_place)
            lines.append(Line(what, how, thing))
    facts = (Fact("volume", volume, "volume"),)
    return Part(name, tuple(lines), basis, facts=facts)


def _done(at: np.ndarray, begin: float, end: float, name: str) -> np.ndarray:
    """Fraction done at hours `at` of what goes evenly from `begin` to `end`."""
    end = as_number(end, name, "h")
    require(begin >= 0, "beginning", begin, "h", "must not be negative", "count from when she leaves")
    require(end > begin, name, end, "h", f"must be after hour {begin:g}", "count from when she leaves")
    return np.clip((at - begin) / (end - begin), 0.0, 1.0)
