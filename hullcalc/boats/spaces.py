"""Bodies of a boat beside her hull: pods and other solids, tanks, and spaces that water may enter.

A space is shut until one of its openings is under. What stays tight inside an open space floats her again: tanks, seat
boxes and the like. All bodies made here are convex, so the part of one inside another is exact.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from hullcalc.boats.presence import Presence
from hullcalc.errors import InputError
from hullcalc.floating.tanks import Tank
from hullcalc.geometry.makers import convex_hull
from hullcalc.geometry.solid import Solid

TOUCHING = 1e-6  # m: radius of the greatest ball in a common part; below it two faces only touch


@dataclass(frozen=True, eq=False)
class Space:
    """A space that water may enter: a solid inside the others, with the names of the marks that are its openings."""

    name: str
    solid: Solid
    openings: tuple[str, ...] = ()
    presence: Presence = field(default_factory=Presence)


@dataclass(frozen=True, eq=False)
class Pod:
    """A closed solid that floats her beside the hull, or one that stays tight `inside` a space of that name.

    With openings it is a space too. `u_volume` is the standard uncertainty of its volume [m³].
    """

    name: str
    solid: Solid
    openings: tuple[str, ...] = ()
    inside: str = ""
    u_volume: float = 0.0
    presence: Presence = field(default_factory=Presence)

    @property
    def as_space(self) -> Space:
        return Space(self.name, self.solid, self.openings, self.presence)


@dataclass(frozen=True, eq=False)
class BoatTank:
    """A tank of the boat, empty; `use` groups tanks that a condition fills alike ("fuel").

    `capacity` is what was typed as its capacity [m³], for comparison: the solid's own volume counts. `u_density`
    [kg/m³] and `u_fill` (of the gross volume) are standard uncertainties of what is in it.
    """

    name: str
    use: str
    solid: Solid
    density: float  # of its liquid [kg/m³]
    lip: np.ndarray | None = None  # (3,) m, of its standpipe
    capacity: float | None = None
    presence: Presence = field(default_factory=Presence)
    note: str = ""
    u_density: float = 0.0
    u_fill: float = 0.0

    def filled(self, fill: float) -> Tank:
        """The tank filled to a fraction of its gross volume."""
        return Tank(self.name, self.solid, density=self.density, fill=fill)

    def filled_to_lip(self) -> Tank:
        """The tank with its liquid level with the lip of the standpipe."""
        if self.lip is None:
            raise InputError(f"{self.name}: has no standpipe; give the place of its lip in tanks.csv")
        return Tank(self.name, self.solid, density=self.density, level_at=self.lip)


def in_step(space: Space, swapped: Mapping[int, Solid]) -> Space:
    """A space that is a reshaped body or tank goes with it; `swapped` has the new solid by the id of the old one."""
    solid = swapped.get(id(space.solid), space.solid)
    return space if solid is space.solid else replace(space, solid=solid)


@lru_cache(maxsize=64)
def common_part(a: Solid, b: Solid) -> Solid | None:
    """The part that two convex solids share; None where they only touch or lie apart."""
    from scipy.optimize import linprog  # here, as few need them and importing them takes a while
    from scipy.spatial import ConvexHull, HalfspaceIntersection

    low = np.maximum(a.vertices.min(axis=0), b.vertices.min(axis=0))
    high = np.minimum(a.vertices.max(axis=0), b.vertices.max(axis=0))
    if np.any(high <= low):
        return None
    half_spaces = np.concatenate([ConvexHull(s.vertices).equations for s in (a, b)])  # normal . r + offset <= 0
    # The deepest inner point: the centre of the greatest ball on the inner side of every half-space.
    deepest = linprog(
        [0.0, 0.0, 0.0, -1.0],
        A_ub=np.column_stack([half_spaces[:, :3], np.ones(len(half_spaces))]),
        b_ub=-half_spaces[:, 3],
        bounds=[(None, None)] * 3 + [(0.0, None)],
    )
    if not deepest.success or deepest.x[3] < TOUCHING:
        return None
    corners = HalfspaceIntersection(half_spaces, deepest.x[:3]).intersections
    return convex_hull(np.unique(np.round(corners, 12), axis=0))
