"""Bodies of plate: the faces of a closed solid with their areas and centres, a wall taken off, bodies of a few figures.

Lengths in m, boat axes: x forward, y to port, z up.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_number, require
from hullcalc.geometry.makers import convex_hull, prism
from hullcalc.geometry.solid import Solid

ALIKE = 0.999  # cosine under which two triangles are no one face
SIDES = ("forward end", "aft end", "port side", "starboard side", "top", "bottom")
CORNERS = 64  # of a round outline


@dataclass(frozen=True, eq=False)
class Face:
    """A flat face of a body: which side it looks to, its area [m²], centre (3,) m and outward normal."""

    side: str
    area: float
    centre: np.ndarray
    normal: np.ndarray


def faces_of(body: Solid) -> tuple[Face, ...]:
    """The flat faces of a body, triangles of one plane taken together; the largest areas first."""
    a, b, c = np.moveaxis(body.vertices[body.faces], 1, 0)
    cross = np.cross(b - a, c - a) / 2
    areas = np.linalg.norm(cross, axis=1)
    normals, centres = cross / areas[:, None], (a + b + c) / 3
    size = float(np.ptp(body.bounds, axis=0).max())
    groups: list[list[int]] = []
    for i in range(len(areas)):
        for group in groups:
            first = group[0]
            level = abs(normals[first] @ (centres[i] - centres[first]))
            if normals[first] @ normals[i] > ALIKE and level < 1e-3 * size:
                group.append(i)
                break
        else:
            groups.append([i])
    found = []
    for group in groups:
        area = float(areas[group].sum())
        normal = cross[group].sum(axis=0) / area
        found.append(Face(_side(normal), area, areas[group] @ centres[group] / area, normal))
    return tuple(sorted(found, key=lambda face: -face.area))


def _side(normal: np.ndarray) -> str:
    axis = int(np.argmax(abs(normal)))
    return SIDES[2 * axis + (0 if normal[axis] > 0 else 1)]


def inset(body: Solid, wall: float) -> Solid:
    """A convex body with every face moved inward by a wall [m], or outward where it is negative.

    Raises InputError for a wall that leaves no room.
    """
    from scipy.optimize import linprog  # here, as few need them and importing them takes a while
    from scipy.spatial import ConvexHull, HalfspaceIntersection

    wall = as_number(wall, "wall", "m")
    planes = np.unique(np.round(ConvexHull(body.vertices).equations, 12), axis=0)  # normal . r + offset <= 0
    planes[:, 3] += wall
    roomiest = linprog(
        [0.0, 0.0, 0.0, -1.0],
        A_ub=np.column_stack([planes[:, :3], np.ones(len(planes))]),
        b_ub=-planes[:, 3],
        bounds=[(None, None)] * 3 + [(None, None)],
    )
    if not roomiest.success or roomiest.x[3] < 1e-4:
        raise InputError(f"wall = {wall:g} m leaves no room inside the body; check the wall and the sizes")
    corners = HalfspaceIntersection(planes, roomiest.x[:3]).intersections
    return convex_hull(np.unique(np.round(corners, 10), axis=0))


def bottom_at(body: Solid, x: float, y: float) -> float:
    """Height [m] of the bottom of a convex body at a place within its outline."""
    looking_down = [face for face in faces_of(body) if face.normal[2] < -1e-9]
    return max(float((f.normal @ f.centre - f.normal[0] * x - f.normal[1] * y) / f.normal[2]) for f in looking_down)


def ellipse(length: float, width: float) -> np.ndarray:
    """An outline (x, y) of an ellipse about the origin, (64, 2) m, of exactly its area: corners lie a hair outside."""
    for name, value in (("length", length), ("width", width)):
        require(value > 0, name, value, "m", "must be positive", "give the inner size")
    turn = 2 * np.pi * (np.arange(CORNERS) + 0.5) / CORNERS
    fair = np.sqrt(2 * np.pi / (CORNERS * np.sin(2 * np.pi / CORNERS)))
    return fair / 2 * np.column_stack([length * np.cos(turn), width * np.sin(turn)])


def rounded_rectangle(length: float, width: float, radius: float) -> np.ndarray:
    """An outline (x, y) about the origin with quarter circles of exactly their area at the corners [m].

    Raises InputError for a size that is not positive or a radius over half the shorter side.
    """
    for name, value in (("length", length), ("width", width)):
        require(value > 0, name, value, "m", "must be positive", "give the inner size")
    most = min(length, width) / 2
    mend = "it is at most half the shorter side; at half of it the ends are round"
    require(0 <= radius <= most, "corner radius", radius, "m", f"must lie between 0 and {most:g} m", mend)
    if radius == 0:
        return np.array([[-length, -width], [length, -width], [length, width], [-length, width]]) / 2
    k = CORNERS // 4
    step = np.pi / 2 / k
    # Corners at the ends of each quarter lie on the circle, so that sides stay straight; those between lie a hair
    # outside: with q of them the sectors make (2 f + (k - 2) f²) sin(step) / 2 r² and that is to be pi / 4 r².
    need = (np.pi / 2) / np.sin(step)
    fair = (-1 + np.sqrt(1 + (k - 2) * need)) / (k - 2)
    turn = step * np.arange(k + 1)
    reach = radius * np.where((np.arange(k + 1) == 0) | (np.arange(k + 1) == k), 1.0, fair)
    quarter = np.column_stack([reach * np.cos(turn), reach * np.sin(turn)])
    corner = np.array([length / 2 - radius, width / 2 - radius])
    outline = []
    for quarters, (sx, sy) in enumerate(((1, 1), (-1, 1), (-1, -1), (1, -1))):
        cos, sin = np.cos(quarters * np.pi / 2).round(), np.sin(quarters * np.pi / 2).round()
        outline.append(quarter @ np.array([[cos, sin], [-sin, cos]]) + corner * [sx, sy])
    points = np.concatenate(outline)
    keep = np.linalg.norm(points - np.roll(points, 1, axis=0), axis=1) > 1e-9  # at half the side two ends meet
    return points[keep]


def upright(outline: ArrayLike, low: float, high: float) -> Solid:
    """A body of one outline (x, y) between two heights [m]."""
    return prism(outline, "z", low, high)
