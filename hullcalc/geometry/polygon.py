"""Triangles for a flat outline, by cutting off ears one at a time (Meisters, Am. Math. Monthly 82, 1975, 648-651)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from hullcalc.errors import GeometryError

LEVEL = 1e-14  # of the outline's extent squared: a corner that turns less is straight


def triangulate(outline: NDArray[np.float64]) -> NDArray[np.int64]:
    """Split a polygon, concave ones too, into triangles of its own corners.

    Every side of the polygon is a side of one triangle and every cut is shared by two, so what is closed with these
    triangles stays closed. Straight corners, repeated points and spikes are legal; they give triangles without area.

    Parameters
    ----------
    outline : ndarray, shape (k, 2)
        Corners in order, counter-clockwise.

    Returns
    -------
    ndarray of int, shape (k - 2, 3)
        Rows of `outline`, counter-clockwise.

    Raises
    ------
    GeometryError
        If the outline crosses itself so that no ear is left to cut.
    """
    points = outline - outline[0]
    level = LEVEL * float(np.abs(points).max()) ** 2
    left = list(range(len(points)))
    ears = []
    while len(left) > 3:
        k = _ear(points[left], level)
        if k is None:
            raise GeometryError("the outline crosses itself; give its corners in order, once round")
        ears.append([left[k - 1], left[k], left[(k + 1) % len(left)]])
        del left[k]
    return np.array([*ears, left], dtype=np.int64)


def _ear(points: NDArray[np.float64], level: float) -> int | None:
    """The corner to cut off: the first true ear with nothing inside, else a straight one or a spike, else None."""
    before, after = np.roll(points, 1, axis=0), np.roll(points, -1, axis=0)
    turn = _cross(points - before, after - points)
    for k in np.flatnonzero(turn > level):
        a, b, c = before[k], points[k], after[k]
        corner = (points == a).all(axis=1) | (points == b).all(axis=1) | (points == c).all(axis=1)
        others = points[~corner]
        inside = [_cross(q - p, others - p) >= 0 for p, q in ((a, b), (b, c), (c, a))]
        if not np.all(inside, axis=0).any():
            return int(k)
    straight = np.flatnonzero(np.abs(turn) <= level)
    return int(straight[0]) if len(straight) else None


def _cross(a: NDArray[np.float64], b: NDArray[np.float64]) -> NDArray[np.float64]:
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
