"""Outlines of the boat for drawing: hull in profile and from astern, bodies as silhouettes, a plain engine.

Side views are (k, 2) arrays of x and z; views from astern are (k, 2) arrays of -y and z, so that port is on the left as
one looks forward; views from above are (k, 2) arrays of x and y.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy.spatial import ConvexHull

from analysis.studies.floats import Case

SIDE, ASTERN, ABOVE = "side", "astern", "above"

# A plain outboard about its own centre of gravity [m]: x forward, z up; for orientation, not to any maker's shape.
ENGINE_SIDE = np.array(
    [
        (0.22, -0.36), (0.22, 0.48), (0.09, 0.55), (-0.20, 0.52), (-0.27, 0.24), (-0.18, -0.20), (-0.13, -0.52),
        (-0.02, -0.92), (-0.25, -1.03), (-0.20, -1.09), (0.02, -1.10), (0.10, -1.02), (0.12, -0.42),
    ]
)  # fmt: skip
ENGINE_ASTERN = np.array(
    [
        (0.21, -0.15), (0.25, 0.25), (0.19, 0.52), (0.0, 0.56), (-0.19, 0.52), (-0.25, 0.25), (-0.21, -0.15),
        (-0.10, -0.40), (-0.06, -0.86), (-0.10, -1.02), (-0.04, -1.10), (0.04, -1.10), (0.10, -1.02), (0.06, -0.86),
        (0.10, -0.40),
    ]
)  # fmt: skip


def to_view(points: np.ndarray, view: str) -> np.ndarray:
    """Points (…, 3) of the boat as (…, 2) of a view."""
    points = np.asarray(points, dtype=float)
    if view == ABOVE:
        return points[..., [0, 1]]
    return points[..., [0, 2]] if view == SIDE else points[..., [1, 2]] * np.array([-1.0, 1.0])


def profile(hull: Any) -> np.ndarray:
    """The hull's outline from the side: keel forward, up the stem, sheer aft, down the raked transom."""
    lines = [_ends_forward(line) for line in hull.lines.values()]
    keel, sheer = lines[0], lines[-1]
    return to_view(np.vstack([keel, sheer[::-1], keel[:1]]), SIDE)


def chine(hull: Any) -> np.ndarray:
    """The first knuckle line above the keel from the side (the sheer where there is none between)."""
    return to_view(_ends_forward(list(hull.lines.values())[1]), SIDE)


def transom(hull: Any) -> np.ndarray:
    """The hull's outline from astern: the edge of the transom, both sides, closed."""
    port = np.array([_ends_forward(line)[0] for line in hull.lines.values()])  # keel first, sheer last
    half = to_view(port, ASTERN)
    return np.vstack([half, half[::-1] * np.array([-1.0, 1.0]), half[:1]])


def widest(hull: Any) -> np.ndarray:
    """The boat's greatest section from astern, seen beyond the transom: at each knuckle line the point farthest out."""
    port = np.array([line[np.argmax(line[:, 1])] for line in hull.lines.values()])
    half = to_view(port, ASTERN)
    return np.vstack([half, half[::-1] * np.array([-1.0, 1.0])])


def _ends_forward(line: np.ndarray) -> np.ndarray:
    return line if line[0, 0] <= line[-1, 0] else line[::-1]


def silhouette(solid: Any, view: str) -> np.ndarray:
    """The outline of a convex body in a view, closed."""
    flat = to_view(solid.vertices, view)
    corners = flat[ConvexHull(flat).vertices]
    return np.vstack([corners, corners[:1]])


def below(outline: np.ndarray, height_at: Any) -> np.ndarray:
    """The part of a closed convex outline under a line z = height_at(horizontal), closed; empty where none is."""
    kept: list[np.ndarray] = []
    over = outline[:, 1] - height_at(outline[:, 0])
    for a, b, over_a, over_b in zip(outline[:-1], outline[1:], over[:-1], over[1:], strict=True):
        if over_a <= 0:
            kept.append(a)
        if (over_a < 0 < over_b) or (over_b < 0 < over_a):
            kept.append(a + (b - a) * over_a / (over_a - over_b))
    return np.array([*kept, kept[0]]) if kept else np.empty((0, 2))


def plane_in_view(plane: tuple[np.ndarray, float], view: str, at: float = 0.0) -> Any:
    """A plane n·r = d as a line in a view: a function from the view's horizontal to z, at a fixed third coordinate.

    From the side `at` is y; from astern it is x.
    """
    normal, offset = plane
    if view == SIDE:
        return lambda x: (offset - normal[1] * at - normal[0] * np.asarray(x)) / normal[2]
    return lambda across: (offset - normal[0] * at + normal[1] * np.asarray(across)) / normal[2]


def engine_places(case: Case) -> list[np.ndarray]:
    """Centres of gravity of the outboards that hang on the boat [m], (3,) each.

    Read off the ledger: the things aboard, old and new, that are called outboard.
    """
    _, aboard = case.boat.ledger.apply(case.packages)
    return [np.asarray(thing.place) for name, thing in aboard.items() if "outboard" in name.lower()]
