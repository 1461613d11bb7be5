"""People: how heavy, where, and on what they stand or sit; the height of their centre follows from that.

A standing person's centre is 0.95 m above what they stand on, a seated one's 0.30 m above the seat (table `postures`,
the lower figure); a child's lower by its mass: length goes as the cube root of mass in bodies of one shape. People move
about, so their place has a spread; each of them moves alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_number, require
from hullcalc.weights.parts.part import Line, Part
from hullcalc.weights.parts.sums import positive, say, whole, with_causes
from hullcalc.weights.reference import figure, look_up

GROWN = 75.0  # kg: the person whose centre the table of postures means
U_MASS = 8.0  # kg, a grown person nobody weighed; common practice, no source
U_CHILD = 0.15  # relative; common practice, no source
U_PLACE = (0.15, 0.15, 0.05)  # m: people shift about; common practice, no source
CHILD = 50.0  # kg: under it a child


@dataclass(frozen=True, eq=False)
class Person:
    """Some people alike at one place.

    `mass` [kg] is that of one; `x`, `y` [m] is where they are; `surface` [m] the height of the sole or the seat under
    them; `u_mass` [kg] and `u_place` (3,) [m] are of one.
    """

    who: str
    mass: float
    posture: str
    x: float
    y: float
    surface: float
    number: int = 1
    u_mass: float | None = None
    u_place: ArrayLike | None = None
    basis: str = "estimated"


def centre_above(posture: str, mass: float = GROWN) -> float:
    """Height [m] of a person's centre above what they stand or sit on: "standing", "seated" or "regulation".

    For a child under 50 kg it is less by the cube root of its mass over 75 kg; regulations know no children.
    """
    height = figure(look_up("postures", posture=posture), "low_m")
    mass = positive(mass, "mass of a person", "kg", 250, "US boats are reckoned with 84 kg, ISO with 75 kg")
    if posture == "regulation" or mass >= CHILD:
        return height
    return float(height * np.cbrt(mass / GROWN))


def surface_height(points: ArrayLike, x: float, y: float) -> float:
    """Height [m] at (x, y) of the surface through points of it, such as the marks of a sole.

    Parameters
    ----------
    points : array_like, shape (n, 3)
        One point makes a level surface, two or more in one line a slope along it, others a plane: the least-squares
        one where there are more than three, the least sloping one where they leave it open.
    x, y : float
        Where [m].
    """
    at = np.atleast_2d(np.asarray(points, dtype=float))
    if at.ndim != 2 or at.shape[-1] != 3 or not len(at):
        raise InputError(f"surface stood on: shape {np.shape(points)}, expected (n, 3): give x, y, z in metres")
    require(np.isfinite(at), "surface stood on", at, "m", "must be finite numbers", "give x, y and z")
    middle = at.mean(axis=0)
    slope, *_ = np.linalg.lstsq(at[:, :2] - middle[:2], at[:, 2] - middle[2], rcond=1e-9)
    return float(middle[2] + slope @ (np.array([x, y]) - middle[:2]))


def people(name: str, persons: Sequence[Person]) -> Part:
    """A part of people, one line each group of alike ones.

    Of n alike the masses and places err each for itself: the sums err by sqrt n times one.

    Raises
    ------
    InputError
        For nobody, two groups of one name, or a figure out of range.
    """
    if not persons:
        raise InputError(f"{name}: nobody is listed; give one person or more, or take the part out")
    names = [person.who for person in persons]
    for who in names:
        if names.count(who) > 1:
            raise InputError(f'{name}: "{who}" is listed {names.count(who)} times; give each a name, or a number')
    return Part(name, tuple(_line(name, person) for person in persons), "estimated")


def _line(name: str, person: Person) -> Line:
    who = f"{name}, {person.who}"
    above = centre_above(person.posture, person.mass)
    number = whole(person.number, f"number of {who}", 1, 100)
    surface = as_number(person.surface, f"surface under {who}", "m")
    require(-1 <= surface <= 6, f"surface under {who}", surface, "m", "is not in the boat", "give it in metres, z up")
    x, y = as_number(person.x, f"x of {who}", "m"), as_number(person.y, f"y of {who}", "m")
    u_one = person.u_mass
    if u_one is None:
        u_one = U_MASS if person.mass >= CHILD else U_CHILD * person.mass
    u_one = as_number(u_one, f"uncertainty of the mass of {who}", "kg")
    require(u_one >= 0, f"uncertainty of the mass of {who}", u_one, "kg", "must not be negative", "give 8 kg, or 0")
    spread = np.asarray(U_PLACE if person.u_place is None else person.u_place, dtype=float)
    thing = with_causes(
        who, number * person.mass, (x, y, surface + above), person.basis,
        {f"{who}: mass": np.sqrt(number) * u_one}, spread / np.sqrt(number),
    )  # fmt: skip
    times = "" if number == 1 else f"{number} x "
    how = f"{times}{say(person.mass)} kg, {person.posture}: centre {say(above)} m above {say(surface)} m"
    return Line(person.who, how, thing)
