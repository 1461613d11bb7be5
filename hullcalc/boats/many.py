"""Floating a boat in many loads at once: loads added to one loading; which loadings can be taken together.

First round only: every space is shut but those held open. A load is (mass, mx, my, mz) in kg and kg m, about the
boat's origin. Boat frame, SI.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.boats.afloat import bodies_open
from hullcalc.boats.rounds import Loading
from hullcalc.errors import InputError, as_array, require
from hullcalc.floating.equilibrium import float_many
from hullcalc.floating.state import FloatState


@dataclass(frozen=True, eq=False)
class ManyFloats:
    """One loading with n loads added; `states` has a leading axis n. A row that sinks is nan."""

    loading: Loading
    states: FloatState

    def heights(self, marks: Sequence[str] | None = None) -> np.ndarray:
        """Height of each mark above water [m], shape (n, marks); all marks of the loading unless named."""
        names = list(self.loading.marks) if marks is None else marks
        points = np.array([self.loading.marks[name].point for name in names], dtype=float).reshape(-1, 3)
        heights: np.ndarray = self.states.height_above_water(points)
        return heights


def float_added(
    loading: Loading,
    loads: ArrayLike,
    fills: Mapping[str, ArrayLike] | None = None,
    density: ArrayLike | None = None,
    threads: int | None = None,
) -> ManyFloats:
    """Float the loading once for each of n loads added to it (negative: taken off).

    Parameters
    ----------
    loading : Loading
        From `Boat.loading(plan, condition)`.
    loads : array_like, shape (n, 4)
        Added mass [kg] and moments [kg m].
    fills : mapping, optional
        Tank name -> fractions of gross volume, (n,) or one figure; other tanks keep the loading's own fill.
    density : array_like, optional
        Of the sea [kg/m3], (n,) or one figure; the loading's own unless given.

    Raises
    ------
    InputError
        If a tank is not there, a figure is not finite or out of range, or a total weight is not positive.
    """
    loads = np.atleast_2d(as_array(loads, "loads", "kg"))
    if loads.ndim != 2 or loads.shape[1] != 4:
        raise InputError(f"loads must be (n, 4): mass and three moments each, not shape {loads.shape}")
    require(np.isfinite(loads), "loads", loads, "kg or kg m", "must be finite numbers", "look for an empty cell")
    mass = loading.mass + loads[:, 0]
    require(mass > 0, "mass of the boat", mass, "kg", "must be positive", "do the removals outweigh the boat?")
    cg = (loading.mass * loading.cg + loads[:, 1:]) / mass[:, None]
    sea = loading.density if density is None else density
    return ManyFloats(loading, _float(loading, mass, cg, sea, _fills(loading, fills or {}, len(loads)), threads))


def _fills(loading: Loading, said: Mapping[str, ArrayLike], n: int) -> np.ndarray | None:
    """Fractions by tank, (n, tanks); nan keeps a tank's own."""
    names = [tank.name for tank in loading.tanks]
    unknown = [name for name in said if name not in names]
    if unknown:
        raise InputError(f"no tank is called {unknown[0]!r} in this plan; there are: {', '.join(names) or 'none'}")
    if not said:
        return None
    fills = np.full((n, len(names)), np.nan)
    for name, fill in said.items():
        fills[:, names.index(name)] = as_array(fill, f"fill of {name}", "")
    return fills


def _float(loading, mass, cg, density, fills, threads) -> FloatState:
    solids, flooded = bodies_open(loading, loading.held_open)
    return float_many(solids, mass, cg, density, loading.tanks, fills, flooded, threads)


def same_bodies(loading: Loading) -> tuple:
    """The same for loadings of the same bodies and tanks, however full, that `float_many` can take together."""
    lips = [None if t.level_at is None else tuple(np.asarray(t.level_at)) for t in loading.tanks]
    tanks = tuple((t.name, id(t.solid), t.density, lip) for t, lip in zip(loading.tanks, lips, strict=True))
    tight = (*map(id, loading.tight_tanks), *((n, s, id(b)) for n, (s, b) in loading.tight_inside.items()))
    spaces = tuple(id(loading.spaces[name].solid) for name in loading.held_open)
    return (tuple(map(id, loading.solids.values())), tanks, spaces, tight if spaces else ())
