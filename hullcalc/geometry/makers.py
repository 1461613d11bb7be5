"""Solids made from a few dimensions: boxes, prisms, convex hulls of corners, lofted half sections.

Lengths in m, in the frame of the caller; hulls are lofted in boat axes (x forward, y to port, z up).
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hullcalc.errors import GeometryError, InputError, require
from hullcalc.geometry.polygon import triangulate
from hullcalc.geometry.solid import Solid
from hullcalc.geometry.surface import merge_vertices, signed_volume

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Axis = Literal["x", "y", "z"]
MIRROR = np.array([1.0, -1.0, 1.0])


def box(x: ArrayLike, y: ArrayLike, z: ArrayLike) -> Solid:
    """A box between two values of each axis.

    Parameters
    ----------
    x, y, z : array_like, shape (2,)
        Low and high end along each axis [m].

    Raises
    ------
    InputError
        If an end is not finite or a high end does not lie above its low one.
    """
    low, high = np.array([_ends(name, ends) for name, ends in (("x", x), ("y", y), ("z", z))]).T
    outline = np.array([[low[1], low[2]], [high[1], low[2]], [high[1], high[2]], [low[1], high[2]]])
    return prism(outline, "x", low[0], high[0])


def prism(outline: ArrayLike, axis: Axis, low: float, high: float) -> Solid:
    """A body of one cross-section between two ends.

    Parameters
    ----------
    outline : array_like, shape (k, 2)
        Corners of the cross-section [m], once round in either direction, concave allowed: (y, z) for axis "x",
        (x, z) for "y", (x, y) for "z".
    axis : "x", "y" or "z"
        Along which the body runs.
    low, high : float
        Its ends along the axis [m].

    Raises
    ------
    InputError
        For fewer than three corners, a value that is not finite, `high` not above `low`, or another axis.
    GeometryError
        If the outline crosses itself or encloses no area.
    """
    if axis not in ("x", "y", "z"):
        raise InputError(f'axis = {axis!r} is none of "x", "y", "z"; name the axis the body runs along')
    corners = _table("outline", outline, 2, least=3)
    low, high = _ends(axis, (low, high))
    along = "xyz".index(axis)
    twice_area = float(np.sum(corners[:, 0] * np.roll(corners[:, 1], -1) - corners[:, 1] * np.roll(corners[:, 0], -1)))
    if twice_area < 0:
        corners = corners[::-1]
    k = len(corners)
    flat = triangulate(corners)
    here = np.arange(k)
    there = np.roll(here, -1)
    sides = [np.stack([here, there, there + k], axis=1), np.stack([here, there + k, here + k], axis=1)]
    faces = np.concatenate([flat[:, ::-1], flat + k, *sides])
    if axis == "y":  # (x, z, y) is left-handed
        faces = faces[:, ::-1]
    vertices = np.insert(np.concatenate([corners, corners]), along, np.repeat([low, high], k), axis=1)
    return Solid(*merge_vertices(vertices, faces))


def convex_hull(corners: ArrayLike) -> Solid:
    """The smallest convex body round all the corners; those inside it or on its faces change nothing.

    Parameters
    ----------
    corners : array_like, shape (k, 3)
        Points [m], at least four, in any order.

    Raises
    ------
    InputError
        For fewer than four corners or a coordinate that is not finite.
    GeometryError
        If all corners lie in one plane.
    """
    from scipy.spatial import ConvexHull, QhullError  # here, as few need it and importing it takes a while

    points = _table("corners", corners, 3, least=4)
    try:
        hull = ConvexHull(points - points.mean(axis=0))  # its tolerance grows with the distance from the origin
    except QhullError as error:
        raise GeometryError(
            "the corners lie in one plane or on one line, so they enclose nothing; give at least one corner off it"
        ) from error
    vertices, faces = merge_vertices(points, _one_way_round(hull.simplices, hull.neighbors))
    if signed_volume(vertices, faces) < 0:
        faces = faces[:, ::-1]
    used, faces = np.unique(faces, return_inverse=True)
    return Solid(vertices[used], faces.reshape(-1, 3))


def loft(sections: ArrayLike) -> Solid:
    """A hull from half sections, mirrored to the bit in the centre plane and closed flat.

    Straight lines join like points of neighbouring slices; patches between them are split along the diagonal from the
    lower point of the after slice to the upper point of the forward slice, on both sides alike. The deck is closed flat
    across the last points (the sheer), the bottom across the first (if they are off the centreline), both ends flat.

    Parameters
    ----------
    sections : array_like, shape (slices, points, 3)
        Port halves in boat axes [m], slices from aft forward, points from keel to sheer, y >= 0. A slice need not
        stand square to x (a raked transom), but no point may lie aft of the same point of the slice before.

    Raises
    ------
    InputError
        For another shape, fewer than two slices or points, a coordinate that is not finite, y < 0, or a slice that
        lies aft of the one before.
    GeometryError
        If the surface encloses nothing or crosses itself.
    """
    port = np.asarray(sections, dtype=float)
    if port.ndim != 3 or port.shape[2] != 3 or min(port.shape[:2]) < 2:
        raise InputError(f"sections have shape {port.shape}, expected (slices, points, 3), two or more of each")
    require(np.isfinite(port), "sections", port, "m", "is no number", "measure it, or leave the slice out")
    require(port[..., 1] >= 0, "y of sections", port[..., 1], "m", "lies to starboard", "give the port half, y >= 0")
    ahead = np.diff(port[..., 0], axis=0)
    require(ahead >= 0, "step in x of sections", ahead, "m", "goes aft", "order the slices from aft forward")
    return Solid(*_lofted(port + 0.0))


def _lofted(port: Floats) -> tuple[Floats, Ints]:
    centre = port[:, [0, -1]] * [1.0, 0.0, 1.0]
    ring = np.concatenate([centre[:, :1], port, centre[:, 1:]], axis=1)  # keel centreline ... deck centreline
    slices, k = ring.shape[:2]
    number = np.arange(slices * k).reshape(slices, k)
    after_low, after_high = number[:-1, :-1].ravel(), number[:-1, 1:].ravel()
    ahead_low, ahead_high = number[1:, :-1].ravel(), number[1:, 1:].ravel()
    faces = [
        np.stack([after_low, after_high, ahead_high], axis=1),
        np.stack([after_low, ahead_high, ahead_low], axis=1),
    ]
    for end, turn in ((0, -1), (-1, 1)):  # counter-clockwise in (y, z) faces forward
        half = ring[end]
        if half[:, 1].any():  # otherwise both sides meet on the centreline (a plumb stem) and there is nothing to close
            faces.append(number[end][triangulate(half[:, 1:])[:, ::turn]])
    side = np.concatenate(faces)
    vertices = ring.reshape(-1, 3)
    both = np.concatenate([vertices, vertices * MIRROR])
    return merge_vertices(both, np.concatenate([side, side[:, ::-1] + len(vertices)]))


def _one_way_round(simplices: Ints, neighbours: Ints) -> Ints:
    """The same triangles, each turned so that it runs every edge against its neighbour.

    From neighbour to neighbour, as a triangle too thin to have a normal cannot tell by itself.
    """
    faces = simplices.astype(np.int64)
    done = np.zeros(len(faces), dtype=bool)
    done[0] = True
    todo = [0]
    while todo:
        face = todo.pop()
        edges = {tuple(edge) for edge in faces[face][[[0, 1], [1, 2], [2, 0]]].tolist()}
        for other in neighbours[face]:
            if not done[other]:
                if edges & {tuple(edge) for edge in faces[other][[[0, 1], [1, 2], [2, 0]]].tolist()}:
                    faces[other] = faces[other][::-1]
                done[other] = True
                todo.append(other)
    return faces


def _table(name: str, values: ArrayLike, columns: int, least: int) -> Floats:
    array = np.asarray(values, dtype=float)
    if array.ndim != 2 or array.shape[1] != columns or len(array) < least:
        raise InputError(f"{name} of shape {array.shape}: give {least} or more rows of {columns} coordinates")
    require(np.isfinite(array), name, array, "m", "is no number", "measure it again")
    return array


def _ends(name: str, ends: ArrayLike) -> Floats:
    array = np.asarray(ends, dtype=float)
    if array.shape != (2,):
        raise InputError(f"{name} of shape {array.shape}: give two values, the low and the high end")
    require(np.isfinite(array), name, array, "m", "is no number", "measure it again")
    require(
        array[1] > array[0],
        f"high end of {name}",
        array[1],
        "m",
        f"is not above the low end {array[0]:g} m",
        "swap them?",
    )
    return array
