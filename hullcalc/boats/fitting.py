"""Does a part's body fit the hull: which corner is out and by how much, how near the skin, how much is shared.

Distances are in the hull's own section at each point, as a tape would find them; the body's edges are walked, as a
straight edge may pass through the skin between two corners that are inside.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hullcalc.boats.fit import Outside, outside, section, skin_distance
from hullcalc.geometry.solid import Solid
from hullcalc.measuring.stations import Hull

STEPS = 21  # points along an edge


@dataclass(frozen=True, eq=False)
class Misfit:
    """A point of a body outside the hull: where (3,) m, and how."""

    point: np.ndarray
    out: Outside


@dataclass(frozen=True, eq=False)
class Fit:
    """How a body stands in a hull: `misfits` are its points outside, worst first; where there is none, `clearance` [m]
    is the least distance to the skin, square to it, at `nearest` (3,) m, and `above_bottom` [m] the least height over
    the bottom, straight up; infinite for a body above the sheer."""

    misfits: tuple[Misfit, ...]
    clearance: float
    nearest: np.ndarray
    above_bottom: float

    @property
    def fits(self) -> bool:
        return not self.misfits


def fit_inside(hull: Hull, body: Solid) -> Fit:
    """How a body, such as a tank, stands in the hull; above the sheer nothing is in its way."""
    points = _along_edges(body)
    found = [Misfit(p, out) for p in points if (out := outside(hull, p)) is not None]
    found.sort(key=lambda one: -one.out.distance)
    below = np.array([p for p in points if p[2] <= section(hull, p[0])[-1, 1]]).reshape(-1, 3)
    if found or not len(below):
        none = 0.0 if found else np.inf
        return Fit(tuple(found), none, found[0].point if found else points[0], none)
    distances = [skin_distance(hull, p) for p in below]
    nearest = int(np.argmin(distances))
    return Fit((), distances[nearest], below[nearest], min(_above_bottom(hull, p) for p in below))


def _above_bottom(hull: Hull, point: np.ndarray) -> float:
    """Height [m] of a point over the bottom between keel and chine; infinite outboard of the chine."""
    half = section(hull, point[0])
    bottom = half[:-1] if len(half) > 2 else half
    reach = np.maximum.accumulate(bottom[:, 0])
    y = abs(point[1])
    return np.inf if y > reach[-1] else float(point[2] - np.interp(y, reach, bottom[:, 1]))


def _along_edges(body: Solid) -> np.ndarray:
    """Points along the edges of a body, its corners among them, (n, 3) m."""
    sides = np.concatenate([body.faces[:, [0, 1]], body.faces[:, [1, 2]], body.faces[:, [2, 0]]])
    pairs = np.unique(np.sort(sides, axis=1), axis=0)
    part = np.linspace(0, 1, STEPS)[:, None]
    ends = body.vertices[pairs]
    return np.unique(np.round(np.concatenate([(1 - t) * ends[:, 0] + t * ends[:, 1] for t in part]), 9), axis=0)
