"""Is this set of triangles the surface of a body? Asked before any number is taken from it.

A surface is closed where every directed edge is run as often as its opposite: then the flux of any field through it is
that of a volume. Vertices with exactly equal coordinates count as one, so a triangle soup is as welcome as a shared
list. That the faces look outward and that the surface does not cross itself is shown by winding numbers along sampled
lines (`hullcalc.geometry.winding`). Coordinates may be in any unit and far from the origin.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hullcalc.errors import GeometryError, InputError, require
from hullcalc.geometry.winding import find_fault

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

FARTHEST = 1e12  # a coordinate beyond this is a slip in any unit of length
ROUNDING = 1e-14  # a volume under this share of the size cubed is rounding
NAMED = 4  # edges named in a message; the error holds them all


def check_closed(vertices: ArrayLike, faces: ArrayLike) -> None:
    """Raise unless the triangles bound a body: closed, looking outward, and not crossing themselves.

    Faces without area are legal as long as their edges balance; a face that names one vertex twice contributes nothing.
    Touching shells, several bodies and cavities (an inward shell inside another) are legal. Crossing is looked for
    along about 250 lines through the faces: overlaps that no line meets, or thinner than about a millionth of the size
    of the body, are not seen.

    Parameters
    ----------
    vertices : array_like, shape (n, 3)
        Coordinates, any length unit.
    faces : array_like of int, shape (m, 3)
        Rows of `vertices`, counter-clockwise seen from outside.

    Raises
    ------
    InputError
        For a wrong shape, a coordinate that is not finite or beyond 1e12, or a face that names no vertex of the list.
    GeometryError
        If the surface is open, its faces disagree about the inside, it encloses nothing, is inside out or crosses
        itself; `edges` holds the edges at fault.
    """
    points, triangles, given = _merged(*as_surface(vertices, faces))
    if not len(triangles):
        raise GeometryError("the surface has no face with three different corners; give the faces of a closed body")
    _check_edges(points, triangles, given)
    _check_outward(points, triangles)


def as_surface(vertices: ArrayLike, faces: ArrayLike) -> tuple[Floats, Ints]:
    """The two lists as arrays, (n, 3) float and (m, 3) int, or an InputError that names the first wrong entry."""
    try:
        points, triangles = np.asarray(vertices, dtype=float), np.asarray(faces)
    except (TypeError, ValueError, OverflowError) as error:
        raise InputError(f"vertices or faces are no table of numbers ({error}); give (n, 3) and (m, 3)") from error
    if not triangles.size:
        raise GeometryError("the surface has no faces; give the faces of a closed body")
    for name, array in (("vertices", points), ("faces", triangles)):
        if array.ndim != 2 or array.shape[1] != 3:
            mend = "" if name == "vertices" else "; split faces of four corners into triangles"
            raise InputError(f"{name} have shape {array.shape}, expected (n, 3){mend}")
    if not np.issubdtype(triangles.dtype, np.integer):
        raise InputError(f"faces hold {triangles.dtype} numbers, expected whole ones: each face names three vertices")
    ok = np.abs(points) <= FARTHEST
    require(ok, "vertices", points, "", f"is not a coordinate (finite, at most {FARTHEST:g})", "check the file's unit")
    ok = (triangles >= 0) & (triangles < len(points))
    require(ok, "faces", triangles, "", f"names no vertex: they are 0 to {len(points) - 1}", "count vertices from 0")
    return points, triangles.astype(np.int64)


def merge_vertices(vertices: Floats, faces: Ints) -> tuple[Floats, Ints]:
    """Vertices with exactly equal coordinates made one; without faces that then name one twice, and unused vertices.

    Leaving such a face out opens nothing: it runs one edge to and fro.
    """
    return _merged(vertices, faces)[:2]


def signed_volume(vertices: Floats, faces: Ints) -> float:
    """Volume of a closed surface, positive where its faces look outward (divergence theorem, local origin)."""
    local = vertices - (vertices.min(axis=0) + vertices.max(axis=0)) / 2
    a, b, c = (local[faces[:, k]] for k in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)


def _merged(vertices: Floats, faces: Ints) -> tuple[Floats, Ints, Ints]:
    """Points, triangles, and of each triangle its row in `faces`; see `merge_vertices`."""
    points = vertices + 0.0  # -0.0 becomes 0.0
    order = np.lexsort(points.T)
    points = points[order]
    first = np.ones(len(points), dtype=bool)
    first[1:] = (points[1:] != points[:-1]).any(axis=1)
    number = np.empty(len(points), dtype=np.int64)
    number[order] = np.cumsum(first) - 1
    points, triangles = points[first], number[faces]
    a, b, c = triangles.T
    given = np.flatnonzero((a != b) & (b != c) & (c != a))
    triangles = triangles[given]
    used = np.zeros(len(points), dtype=bool)
    used[triangles] = True
    return points[used], (np.cumsum(used) - 1)[triangles], given


def _check_edges(points: Floats, triangles: Ints, given: Ints) -> None:
    start, end = triangles.ravel(), triangles[:, [1, 2, 0]].ravel()
    n, rising = len(points), start < end
    key = np.where(rising, start * n + end, end * n + start)
    if np.array_equal(np.sort(key[rising]), np.sort(key[~rising])):  # every edge as often as its opposite
        return
    key, edge, count = np.unique(key, return_inverse=True, return_counts=True)
    surplus = np.bincount(edge, np.where(rising, 1, -1), len(key))
    ends = np.stack([key // n, key % n], axis=1)
    uneven = surplus != 0
    single, double, many = uneven & (count == 1), uneven & (count == 2), uneven & (count > 2)
    said = []
    if single.any():
        said.append(
            f"the surface is open: {_named(points[ends[single]])} used by one face only; "
            f"{_gap_mend(points, ends[single])}"
        )
    if double.any():
        faults = np.bincount(np.arange(len(edge)) // 3, double[edge], len(triangles))
        turned = ", ".join(str(given[face]) for face in np.flatnonzero(faults == faults.max())[:NAMED])
        said.append(
            f"faces disagree about the inside: {_named(points[ends[double]])} run twice in the same direction; "
            f"turn the faces on one side round (swap two corners; look at face {turned} first, counted from 0)"
        )
    if many.any():
        said.append(
            f"faces do not balance: {_named(points[ends[many]])} shared by three or more of them; "
            "take out double faces, and close each body's surface by itself"
        )
    raise GeometryError(". Also, ".join(said), points[ends[uneven]])


def _named(edges: Floats) -> str:
    """Such as "2 edges, (0, 0, 0) to (1, 0, 0) and (1, 0, 0) to (1, 1, 0), are"; the first few only."""
    shown = " and ".join(f"({point(a)}) to ({point(b)})" for a, b in edges[:NAMED])
    if len(edges) == 1:
        return f"1 edge, {shown}, is"
    return f"{len(edges)} edges, {shown}{' and so on' if len(edges) > NAMED else ''}, are"


def point(coordinates: Floats) -> str:
    """Coordinates for a message."""
    return ", ".join(f"{c + 0.0:.7g}" for c in coordinates)


def _gap_mend(points: Floats, ends: Ints) -> str:
    """How to close it: nearly equal corners ask for welding, anything else for the missing faces."""
    from scipy.spatial import cKDTree  # only this message needs it

    rim = points[np.unique(ends)]
    twins = cKDTree(rim).query_pairs(1e-5 * np.ptp(points, axis=0).max())
    if twins:
        return f"{len(twins)} pairs of corners there are nearly but not exactly equal: make them equal (weld them)"
    return "close the hole with the missing faces, such as a deck or a transom"


def _check_outward(points: Floats, triangles: Ints) -> None:
    size = np.ptp(points, axis=0).max()
    volume = signed_volume(points / size, triangles)
    if volume < -ROUNDING:
        raise GeometryError("the surface is inside out: its faces look inward; swap two corners of every face")
    fault = find_fault(points, triangles)
    if fault is None and volume <= ROUNDING:
        raise GeometryError("the surface encloses no volume; give it a thickness, or leave it out")
    if fault is None:
        return
    where = f"at about ({point(fault.place)})"
    if fault.winding < 0:
        what = (
            f"a part of the surface is inside out or crosses itself: {where} it winds {fault.winding} times round; "
            "turn that part's faces outward, or untangle the outline it was made from"
        )
    else:
        what = (
            f"the surface crosses itself or two of its bodies overlap: {where} it counts {fault.winding} times; "
            "keep overlapping bodies as separate solids, or join them into one surface"
        )
    corners = points[triangles[fault.faces]]
    raise GeometryError(what, np.stack([corners, corners[:, [1, 2, 0]]], axis=2))
