"""Winding numbers along sampled lines: does a closed surface look outward and keep clear of itself?

Off the surface of a proper body the winding number is 1 inside and 0 outside, and nothing else. A line through a
sampled face crosses the surface a few times; summing the signs of the crossings from one end gives the winding number
of every stretch between them, just inside and just outside the sampled face among them. Coinciding crossings (touching
bodies, thin plates) bound no stretch, so they raise no alarm.

All lines run one way, generic to anything built by hand: the surface is turned by a fixed rotation and lines run along
its third axis. Which side of an edge a line passes is computed once for the edge, not once for each of its faces, so
neighbours never both count a line, nor both miss it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

LINES = 256
PAIRS = 4_000_000  # of a line and a face looked at together: bounds the memory
SEEN = 5e-7  # of the size: how far a face may be off its true place; what is thinner than twice that is not looked into
SLIVER = 1e-6  # of the square of its longest side: a projected face under this gives no trustworthy depth


def _rotation() -> Floats:
    """A rotation whose axis and angle are those of no made object (quaternion of square roots)."""
    w, x, y, z = np.sqrt([2.0, 3.0, 5.0, 7.0]) / np.sqrt(17.0)
    return np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
            [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
            [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)],
        ]
    )


ROTATION = _rotation()


@dataclass(frozen=True, eq=False)
class Fault:
    """A stretch of a line where the surface winds round other than 0 or 1 times."""

    winding: int
    place: Floats  # (3,), in the coordinates of the surface
    faces: Ints  # (2,) the faces the line crosses at either end of the stretch


def find_fault(points: Floats, triangles: Ints, lines: int = LINES) -> Fault | None:
    """The widest wrong stretch on any of the sampled lines, or None.

    Parameters
    ----------
    points : ndarray, shape (n, 3)
        Distinct points, any unit.
    triangles : ndarray of int, shape (m, 3)
        A closed surface: edges balance. No triangle names a point twice.
    lines : int
        Lines shot; one through each separate body comes first, the rest is spread over faces and area.
    """
    centre, size = (points.min(axis=0) + points.max(axis=0)) / 2, np.ptp(points, axis=0).max()
    astray = max(SEEN, _resolution(points) / size)
    turned = ROTATION @ ((points - centre) / size).T
    u, v = turned[0][triangles.T], turned[1][triangles.T]
    feet = _feet(u, v, _choose(triangles, u, v, lines))
    found = [_crossings(turned, triangles, feet, astray, *pairs) for pairs in _candidates(u, v, feet)]
    line, face, sign, depth, doubt = (np.concatenate(arrays) for arrays in zip(*found, strict=True))
    odd = np.bincount(line, sign, len(feet)) != 0  # a line through an edge to the last bit: rounding, so not used
    use = ~odd[line]
    line, face, sign, depth, doubt = (array[use] for array in (line, face, sign, depth, doubt))
    if not len(line):
        return None

    order = np.lexsort((depth, line))
    line, face, sign, depth, doubt = (array[order] for array in (line, face, sign, depth, doubt))
    winding = -np.cumsum(sign)  # beyond each crossing, going up; 0 again at the end of each line
    along = depth + 4.0 * line  # depths lie within +-1: one axis for all lines
    top = np.maximum.accumulate(along + doubt)[:-1]
    bottom = np.minimum.accumulate((along - doubt)[::-1])[::-1][1:]
    wrong = (winding[:-1] != 0) & (winding[:-1] != 1) & (bottom > top) & (line[1:] == line[:-1])
    if not wrong.any():
        return None
    k = int(np.argmax(np.where(wrong, bottom - top, 0.0)))
    place = np.array([*feet[line[k]], (depth[k] + depth[k + 1]) / 2]) @ ROTATION * size
    place = np.where(abs(place) < 1e-9 * size, 0.0, place) + centre
    return Fault(int(winding[k]), place, face[k : k + 2])


def _resolution(points: Floats) -> float:
    """How far a point may lie off its true place by the rounding of its coordinates, which may be single precision."""
    single = (points == points.astype(np.float32)).all()
    return float(np.finfo(np.float32 if single else float).eps * np.abs(points).max())


def _projected(u: Floats, v: Floats) -> tuple[Floats, Floats]:
    """Twice the area of each face as seen along the lines, and the square of its longest side; u, v are (3, m)."""
    (a, b, c), (d, e, f) = u - u[[1, 2, 0]], v - v[[1, 2, 0]]
    return a * e - d * b, np.maximum(np.maximum(a * a + d * d, b * b + e * e), c * c + f * f)


def _choose(triangles: Ints, u: Floats, v: Floats, lines: int) -> Ints:
    """Faces to shoot lines through: the best seen of each body, then evenly over the count and the area of all."""
    double, side = _projected(u, v)
    seen = np.abs(double)
    fit = np.flatnonzero(seen > SLIVER * side)
    if not len(fit):
        return fit
    seen = seen[fit]
    body = _bodies(triangles)[fit]
    largest = np.zeros(body.max() + 1)
    np.maximum.at(largest, body, seen)
    best = np.flatnonzero(seen == largest[body])
    best = best[np.unique(body[best], return_index=True)[1]]
    best = best[np.argsort(-seen[best], kind="stable")][: lines // 2]
    share = np.cumsum(seen / seen.sum() + 1 / len(fit))
    rest = lines - len(best)
    spread = np.searchsorted(share, (np.arange(rest) + 0.5) / rest * share[-1])
    return fit[np.concatenate([best, np.minimum(spread, len(fit) - 1)])]


def _bodies(triangles: Ints) -> Ints:
    """A number for each face: the same for faces that hang together by their corners."""
    from scipy.sparse import coo_array  # here, as importing it costs more than most checks
    from scipy.sparse.csgraph import connected_components

    a, b, c = triangles.T
    n = triangles.max() + 1
    ends = np.concatenate([a, b]), np.concatenate([b, c])
    return connected_components(coo_array((np.ones(len(ends[0]), dtype=np.int8), ends), (n, n)), directed=False)[1][a]


def _feet(u: Floats, v: Floats, chosen: Ints) -> Floats:
    """A point inside each chosen face, at varying generic shares of its corners, seen along the lines: (lines, 2)."""
    share = 0.2 + np.array([[0.5545497], [0.3083158], [0.7548777]]) * np.arange(len(chosen)) % 1
    share /= share.sum(axis=0)
    return np.stack([(share * u[:, chosen]).sum(axis=0), (share * v[:, chosen]).sum(axis=0)], axis=1)


def _candidates(u: Floats, v: Floats, feet: Floats) -> Iterator[tuple[Ints, Ints]]:
    """Pairs (line, face) where the foot of the line lies in the box round the face, a few lines at a time."""
    order = np.argsort(feet[:, 0])
    first = np.searchsorted(feet[order, 0], u.min(axis=0))
    past = np.searchsorted(feet[order, 0], u.max(axis=0), side="right")
    low, high = v.min(axis=0), v.max(axis=0)
    rounds = int((past - first).sum()) // PAIRS + 1
    for begin, end in pairwise(np.linspace(0, len(feet), rounds + 1).astype(int)):
        start, stop = np.clip(first, begin, end), np.clip(past, begin, end)
        face = np.repeat(np.arange(len(start)), stop - start)
        shift = np.cumsum(stop - start) - stop  # pairs of the faces before, less the first line of this one
        line = order[np.arange(len(face)) - shift[face]]
        foot = feet[line, 1]
        near = (low[face] <= foot) & (foot <= high[face])
        yield line[near], face[near]


def _crossings(
    turned: Floats, triangles: Ints, feet: Floats, astray: float, line: Ints, face: Ints
) -> tuple[Ints, Ints, Ints, Floats, Floats]:
    """Of the candidates those that cross: line, face, sign (+1 facing up), depth along the line, doubt of the depth."""
    corner, (x, y) = triangles[face].T, feet[line].T
    u, v, w = turned
    part, left = np.empty(corner.shape), np.empty(corner.shape, dtype=bool)
    for k in range(3):  # the edge opposite corner k
        i, j = corner[(k + 1) % 3], corner[(k + 2) % 3]
        low, high = np.minimum(i, j), np.maximum(i, j)
        side = (u[high] - u[low]) * (y - v[low]) - (v[high] - v[low]) * (x - u[low])
        part[k] = np.where(i < j, side, -side)
        left[k] = (side >= 0) == (i < j)
    up, down = left.all(axis=0), ~left.any(axis=0)
    hit = up | down
    line, face, sign, part, corner = line[hit], face[hit], np.where(up, 1, -1)[hit], part[:, hit], corner[:, hit]
    total = part.sum(axis=0)
    depth = (part * w[corner]).sum(axis=0) / np.where(total == 0, 1.0, total)
    double, side = _projected(u[corner], v[corner])
    seen, span = np.maximum(np.abs(double), 1e-300), np.ptp(w[corner], axis=0)
    one, two = (turned[:, corner[k]] - turned[:, corner[0]] for k in (1, 2))
    slant = np.linalg.norm(np.cross(one, two, axis=0), axis=0) / seen  # depth by which a face astray by 1 is met later
    doubt = astray * (1 + slant) + np.minimum(4e-15 * side / seen, 1.0) * span
    return line, face, sign, depth, doubt
