"""Righting arms: what turns a heeled boat back, liquids moving and trim free, as far as her openings stay dry.

Boat axes, m; heel in degrees, positive to starboard, trim positive bow up. GZ is the distance across the boat, level,
from the line of weight to the line of buoyancy: positive where it turns her to port, so it has the sign of the heel
where she rights herself. At each heel weight, buoyancy and trim are balanced anew and each liquid lies level.

What a curve cannot see: motion and waves, water coming in (the figures of a side stop at its first opening under), and
anything that moves. She is closed at the sheer; a deck edge under water is seen only if it is among the openings.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hullcalc.errors import HullcalcError, InputError, NoEquilibriumError, as_array, as_vector, require
from hullcalc.floating.equilibrium import SEA_WATER, float_at_rest, hold_heel
from hullcalc.floating.state import FloatState
from hullcalc.floating.tanks import Tank
from hullcalc.geometry.solid import Solid
from hullcalc.units import say_heel

Floats = NDArray[np.float64]
NEAR = 0.01  # deg from rest: where the arm outward has its sign, however wide the first step asked for
CLOSE = 1e-10  # deg, of roots
POINTS = 5  # points a bay of Gauss's rule, where the area has no closed form


@dataclass(frozen=True)
class Side:
    """The righting arm to one side, outward from where she rests; heels in degrees, signed as everywhere.

    `largest_arm` and `area` stop at `valid_to`: beyond the first opening under water there is no righting arm.
    """

    rest: float  # where she rests, or lolls to this side
    first_under: str | None  # the opening that goes under first, None if none does within the heels asked for
    downflooding: float | None  # the heel at which it does; that of rest if it is under there
    vanishing: float | None  # where the arm turns against her, None if it does not within the heels asked for
    valid_to: float  # the heel of downflooding, else the last heel asked for
    largest_arm: float  # [m], positive where it rights her
    largest_at: float
    positive_range: float  # deg from rest to where the arm vanishes, or to the last heel asked for; openings or no
    area: float  # under GZ cos(trim) from rest to the nearer of `valid_to` and `vanishing` [m rad]: work over weight


@dataclass(frozen=True, eq=False)
class RightingCurve:
    """Righting arms at the heels asked for, (n,), and what they mean on either side."""

    heels: Floats  # [deg]
    gz: Floats  # [m]
    trims: Floats  # [deg]
    heights: dict[str, Floats]  # of each opening above the water [m], negative when under
    state: FloatState  # at rest
    starboard: Side | None  # None where no heel beyond rest was asked for, or she capsizes
    port: Side | None

    @property
    def limits(self) -> tuple[str, ...]:
        """Sentences: what the curve is not valid beyond, and whom to ask."""
        said = []
        if self.state.status == "lolls":
            said.append("She does not stay upright: she comes to rest heeled, and righting arms count from there.")
        if self.state.status == "capsizes":
            said.append("She comes to rest with her deck over 60° from level: no righting arm here is of use.")
        if not self.heights:
            said.append("No opening is known, so nothing is said of water coming in.")
        for side in (self.starboard, self.port) if self.heights else ():
            if side is None:
                continue
            if side.downflooding is None:
                said.append(f"No opening goes under as far as {say_heel(side.valid_to)}, the last heel on that side.")
            elif side.downflooding == side.rest:
                said.append(f"Not valid from the start: {side.first_under} is under water where she rests.")
            else:
                said.append(
                    f"Not valid beyond {say_heel(side.downflooding)}: {side.first_under} is under water from there on."
                )
        said.append("For calm water, with nothing shifting but the liquids in tanks.")
        said.append("Questions of stability belong to a naval architect.")
        return tuple(dict.fromkeys(said))


def righting_curve(
    solids: Sequence[Solid] | Solid,
    mass: float,
    cg: ArrayLike,
    heels: ArrayLike,
    density: float = SEA_WATER,
    tanks: Sequence[Tank] = (),
    flooded: Sequence[Solid] = (),
    openings: Mapping[str, ArrayLike] | None = None,
) -> RightingCurve:
    """Righting arms of one boat at many heels, her trim free and her liquids level at each.

    Parameters
    ----------
    solids, mass, cg, density, tanks, flooded
        As in `float_at_rest`.
    heels : array_like, shape (n,)
        Heels [deg], starboard down positive, rising, two or more, in -180 to 180. Each side's figures are refined
        between them; what turns twice between two of them is missed (5 degrees apart is close enough for a boat).
    openings : mapping of name to array_like, shape (3,), optional
        Points where water comes in once they are under [m].

    Returns
    -------
    RightingCurve

    Raises
    ------
    InputError
        If a figure is not finite or out of range, or the heels do not rise.
    NoEquilibriumError
        If she sinks, at rest or, taking in water through a standpipe, at one of the heels.
    HullcalcError
        If the water in standpipe tanks never lets her come to rest.
    """
    heels = as_array(heels, "heels", "deg").copy()
    if heels.ndim != 1 or len(heels) < 2:
        raise InputError(f"heels of shape {heels.shape}: give a list of two or more, in degrees")
    require(abs(heels) <= 180, "heels", heels, "deg", "is not within -180 to 180", "give degrees, starboard positive")
    rising = np.append(True, np.diff(heels) > 0)
    require(rising, "heels", heels, "deg", "is not above the one before", "put the heels in rising order, each once")
    points = {name: as_vector(point, f"opening {name}") for name, point in (openings or {}).items()}
    state = float_at_rest(solids, mass, cg, density, tanks, flooded)
    held = _Held(solids, mass, cg, density, tuple(tanks), tuple(flooded))
    states, gz = held.at(heels)
    heights = {name: states.height_above_water(point) for name, point in points.items()}
    rests = [float(state.heel)] + ([float(state.other.heel)] if state.other is not None else [])
    upright = state.status != "capsizes"
    starboard = _side(held, points, max(rests), heels, 1.0) if upright else None
    port = _side(held, points, min(rests), heels[::-1], -1.0) if upright else None
    return RightingCurve(heels, gz, states.trim, heights, state, starboard, port)


@dataclass(frozen=True, eq=False)
class _Held:
    """The boat, to be held at any heel."""

    solids: Any
    mass: float
    cg: Any
    density: float
    tanks: tuple[Tank, ...]
    flooded: tuple[Solid, ...]

    def at(self, heels: ArrayLike) -> tuple[FloatState, Floats]:
        """The states at these heels and their righting arms [m]."""
        states, moment = hold_heel(self.solids, self.mass, self.cg, heels, self.density, self.tanks, self.flooded)
        if np.any(states.status != "floats"):
            k = int(np.argmax(states.status != "floats"))
            where = f"held at {say_heel(float(np.asarray(heels)[k]))}"
            if states.status[k] == "sinks":
                short = float(states.short_by_kg[k])
                raise NoEquilibriumError(
                    f"{where} she sinks, short of {short:.0f} kg of buoyancy: a standpipe takes in water as she heels; "
                    "give that tank a fill, or fewer heels",
                    short,
                )
            raise HullcalcError(
                f"{where} her trim finds no rest: a standpipe gives and takes water as she trims; "
                "give that tank a fill, or fewer heels"
            )
        return states, moment / states.mass + 0.0

    def arm(self, heel: float) -> float:
        return float(self.at([heel])[1][0])

    def height(self, point: Floats, heel: float) -> float:
        return float(self.at([heel])[0].height_above_water(point)[0])

    def area(self, heels: Floats) -> float:
        """The work of heeling her from the first of these heels to the last, over her weight [m rad].

        It is the rise of G over B (Moseley's formula), exact while her weight does not change, and the area under GZ
        cos(trim): heel is counted about the x axis, GZ turns her about that axis levelled. With a standpipe her weight
        changes; then that area is summed by Gauss's rule from heel to heel.
        """
        if all(tank.level_at is None for tank in self.tanks):
            states, _ = self.at(heels[[0, -1]])
            apart = np.sum(states.normal * (states.cg - states.buoyancy), axis=-1)
            return float(apart[1] - apart[0])
        places, weights = np.polynomial.legendre.leggauss(POINTS)
        half = np.diff(heels)[:, None] / 2
        states, arms = self.at((heels[:-1, None] + half * (1 + places)).ravel())
        arms *= np.cos(np.radians(states.trim))
        return float(np.sum(np.radians(half) * weights * arms.reshape(-1, POINTS)))


def _side(held: _Held, points: Mapping[str, Floats], rest: float, outward: Floats, sign: float) -> Side | None:
    """Figures of one side: `outward` are the heels asked for, ordered that way; `sign` +1 to starboard, -1 to port."""
    beyond = outward[sign * (outward - rest) > NEAR]
    if not len(beyond):
        return None
    heels = np.concatenate([[rest, rest + sign * NEAR], beyond])
    states, gz = held.at(heels)
    arms = sign * gz
    under = np.array([states.height_above_water(point) < 0 for point in points.values()]).reshape(-1, len(heels))
    downflooding, first_under = _first_under(held, points, heels, under)
    vanishing = _vanishing(held, heels, arms)
    valid_to = float(heels[-1]) if downflooding is None else downflooding
    end = valid_to if vanishing is None else sign * min(sign * valid_to, sign * vanishing)
    within = np.append(heels[sign * heels < sign * end], end)
    largest_at, largest_arm = _largest(held, within, sign)
    return Side(
        rest=rest,
        first_under=first_under,
        downflooding=downflooding,
        vanishing=vanishing,
        valid_to=valid_to,
        largest_arm=largest_arm,
        largest_at=largest_at,
        positive_range=abs((float(heels[-1]) if vanishing is None else vanishing) - rest),
        area=held.area(within),
    )


def _first_under(
    held: _Held, points: Mapping[str, Floats], heels: Floats, under: NDArray[np.bool_]
) -> tuple[float | None, str | None]:
    """The heel, outward from rest, at which the first opening goes under, and which one that is."""
    names = list(points)
    bays = np.flatnonzero(under.any(axis=0))
    if not len(bays):
        return None, None
    k = int(bays[0])
    wet = [names[i] for i in np.flatnonzero(under[:, k])]
    if k == 0:
        lowest = min(wet, key=lambda name: held.height(points[name], float(heels[0])))
        return float(heels[0]), lowest
    roots = {name: _root(partial(held.height, points[name]), heels[k - 1], heels[k]) for name in wet}
    first = min(wet, key=lambda name: abs(roots[name] - heels[0]))
    return roots[first], first


def _vanishing(held: _Held, heels: Floats, arms: Floats) -> float | None:
    """The heel, outward from rest, at which the arm turns against her; `arms` positive where they right her."""
    if arms[1] <= 0:
        return float(heels[0])
    for k, (before, after) in enumerate(pairwise(arms[1:]), start=2):
        if before > 0 >= after:
            return _root(held.arm, heels[k - 1], heels[k])
    return None


def _largest(held: _Held, heels: Floats, sign: float) -> tuple[float, float]:
    """Heel and arm where the righting arm is largest among these heels and between them."""
    from scipy.optimize import minimize_scalar  # here, as importing it takes a while

    _, gz = held.at(heels)
    best = int(np.argmax(sign * gz))
    low, high = sorted((float(heels[max(best - 1, 0)]), float(heels[min(best + 1, len(heels) - 1)])))
    at, arm = float(heels[best]), float(sign * gz[best]) + 0.0
    if high > low:
        found = minimize_scalar(lambda h: -sign * held.arm(h), bounds=(low, high), method="bounded")
        if -found.fun > arm:
            at, arm = float(found.x), float(-found.fun)
    return at, arm


def _root(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a function changes sign between two heels."""
    from scipy.optimize import brentq  # here, as importing it takes a while

    return float(brentq(function, low, high, xtol=CLOSE))
