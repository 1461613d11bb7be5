"""Lines of a plane on the outside of a hull: where the sea meets her side, and how far that is below the sheer.

Boat frame, m. Sections are straight from knuckle to knuckle and, between stations, joined as the hull was lofted; aft
of x = 0 the section is that of the transom. Above the highest place where a section comes out of the water it is dry.
"""

from __future__ import annotations

import numpy as np

from hullcalc.boats.fit import section
from hullcalc.measuring.stations import Hull

PORT, STARBOARD = 1, -1
ROUNDING = 1e-9  # m
Plane = tuple[np.ndarray, float]


def water_on_side(hull: Hull, plane: Plane, x: float, side: int = PORT) -> np.ndarray | None:
    """The point (3,) of the hull's side at x where it comes out of the water; None where it is all dry or all wet."""
    normal, offset = plane
    half = section(hull, x)
    points = np.column_stack([np.full(len(half), x), side * half[:, 0], half[:, 1]])
    heights = points @ normal - offset
    leaves = np.flatnonzero((heights[:-1] < 0) & (heights[1:] >= 0))
    if not len(leaves):
        return None
    k = int(leaves[-1])
    share = heights[k] / (heights[k] - heights[k + 1])
    point: np.ndarray = points[k] + share * (points[k + 1] - points[k])
    return point


def waterline(hull: Hull, plane: Plane, side: int = PORT) -> np.ndarray:
    """The line of a plane on one side of the hull, (k, 3) from aft forward: a point at each slice that it crosses."""
    slices = np.unique(np.concatenate([line[:, 0] for line in hull.lines.values()]))
    points = [on_transom(hull, plane, side), *(water_on_side(hull, plane, float(x), side) for x in slices)]
    rake = np.tan(hull.transom_rake)
    kept = [p for p in points if p is not None and p[0] >= -p[2] * rake - ROUNDING]
    return np.array(sorted(kept, key=lambda p: float(p[0]))).reshape(-1, 3)


def on_transom(hull: Hull, plane: Plane, side: int = PORT) -> np.ndarray | None:
    """Where the line of a plane ends on the edge of the raked transom; None where the edge is all dry or all wet."""
    edge = np.array([line[0] for line in hull.lines.values()]) * [1.0, side, 1.0]
    heights = edge @ plane[0] - plane[1]
    leaves = np.flatnonzero((heights[:-1] < 0) & (heights[1:] >= 0))
    if not len(leaves):
        return None
    k = int(leaves[-1])
    point: np.ndarray = edge[k] + heights[k] / (heights[k] - heights[k + 1]) * (edge[k + 1] - edge[k])
    return point


def below_sheer(hull: Hull, point: np.ndarray) -> tuple[float, float]:
    """How far a point of the side is below the sheer [m]: along the skin of its section, and plumb."""
    half = section(hull, float(point[0]))
    at = np.array([abs(point[1]), point[2]])
    length = 0.0
    for upper, lower in zip(half[::-1][:-1], half[::-1][1:], strict=True):
        run = lower - upper
        size = float(run @ run)
        share = float(np.clip((at - upper) @ run / size, 0, 1)) if size > 0 else 0.0
        if np.hypot(*(upper + share * run - at)) < 1e-6:
            return length + share * float(np.sqrt(size)), float(half[-1, 1] - at[1])
        length += float(np.sqrt(size))
    return length, float(half[-1, 1] - at[1])


def level_across(plane: Plane) -> Plane:
    """The plane with its heel taken out, the same on the centreline: what is painted alike on both sides goes by it."""
    normal, offset = plane
    upright = np.array([normal[0], 0.0, normal[2]])
    size = float(np.linalg.norm(upright))
    return upright / size, float(offset) / size


def height_at(plane: Plane, x: float, y: float = 0.0) -> float:
    """Height of the water above the keel line at (x, y), along the boat's z [m]."""
    normal, offset = plane
    return float((offset - normal[0] * x - normal[1] * y) / normal[2])


def ends(hull: Hull) -> tuple[float, float]:
    """x of the aftmost and foremost point of the hull [m]."""
    x = hull.solid.vertices[:, 0]
    return float(x.min()), float(x.max())
