"""How long and how broad a boat is where she meets the water: the outline of the waterplane, edge by edge.

Exact for the given triangles at any attitude: each triangle that the sea cuts gives one straight piece of the outline.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hullcalc.floating.frame import level_axes
from hullcalc.geometry.solid import Solid, unit_plane

Floats = NDArray[np.float64]
SHARE = 1e-9  # of the waterplane's size: lengths below this are rounding, left where a body is taken off


class Extent(NamedTuple):
    """The whole extent of the waterplane, all bodies and the water between them included; 0 where nothing is cut."""

    length: float  # fore and aft, level [m]
    beam: float  # across, level [m]


def waterline_extent(
    solids: Sequence[Solid] | Solid, normal: ArrayLike, offset: float, flooded: Sequence[Solid] = ()
) -> Extent:
    """Length and beam of the waterline: how far the waterplane reaches fore and aft, and across.

    Parameters
    ----------
    solids : sequence of Solid
        Bodies that float her, pods included.
    normal, offset : array_like, shape (3,), and float [m]
        The sea: normal . r = offset, as a state's `plane`.
    flooded : sequence of Solid
        Closed spaces inside `solids` that are open to the sea; the outline runs round them. A flooded end shortens her.

    Returns
    -------
    Extent
        Measured in the water's surface: along the x axis levelled, and across it. A face that lies in the plane counts
        from below, as in `Solid.cut`.

    Raises
    ------
    InputError
        If `normal` is zero or anything is not finite.
    """
    n, d = unit_plane(normal, offset)
    along, across = level_axes(n)
    solids = (solids,) if isinstance(solids, Solid) else tuple(solids)
    pieces = np.concatenate([_outline(s, n, d) for s in solids])
    taken = np.concatenate([_outline(s, n, d)[:, ::-1] for s in flooded]) if flooded else pieces[:0]
    if not len(pieces):
        return Extent(0.0, 0.0)
    return Extent(*(_reach(pieces, taken, axis, side) for axis, side in ((along, across), (across, -along))))


def _outline(solid: Solid, normal: Floats, offset: float) -> Floats:
    """The pieces of a body's outline in the plane, (k, 2, 3) m, counter-clockwise seen from above the water."""
    heights = solid.vertices @ normal - offset
    wet = (heights < 0)[solid.faces]
    cut = wet.any(axis=1) & ~wet.all(axis=1)
    faces, wet = solid.faces[cut], wet[cut]
    after = np.roll(faces, -1, axis=1)
    leaves = wet & ~np.roll(wet, -1, axis=1)  # the one edge, counter-clockwise, that comes up out of the water
    dives = ~wet & np.roll(wet, -1, axis=1)
    end = _meet(solid.vertices, heights, faces[leaves], after[leaves])
    return np.stack([_meet(solid.vertices, heights, after[dives], faces[dives]), end], axis=1)


def _meet(vertices: Floats, heights: Floats, wet: NDArray[np.int64], dry: NDArray[np.int64]) -> Floats:
    """Where edges meet the plane, reckoned from the wet end: one point for both triangles that share the edge."""
    share = heights[wet] / (heights[wet] - heights[dry])
    return vertices[wet] + share[:, None] * (vertices[dry] - vertices[wet])


def _reach(pieces: Floats, taken: Floats, axis: Floats, side: Floats) -> float:
    """Extent along `axis` of what the outline `pieces` encloses less what `taken`, running the other way, encloses.

    Without `taken` that is the extent of the points. With it, the stretches between ends of pieces are gone through
    from either end until one has a chord left.
    """
    ends = pieces @ axis
    size = float(np.ptp(ends))
    if not len(taken):
        return size
    outline = np.concatenate([pieces, taken])
    s, t = outline @ axis, outline @ side
    marks = np.unique(s)
    marks = marks[np.append(True, np.diff(marks) > SHARE * size)]
    stretches = list(pairwise(marks.tolist()))

    def filled(stretch: tuple[float, float]) -> bool:
        return _chord(s, t, sum(stretch) / 2) > SHARE * size

    first = next(filter(filled, stretches), None)
    if first is None:
        return 0.0
    last = next(filter(filled, reversed(stretches)))
    return last[1] - first[0]


def _chord(s: Floats, t: Floats, at: float) -> float:
    """Breadth in t at s = `at` enclosed by counter-clockwise pieces (k, 2): their far side runs back along s."""
    on = (s.min(axis=1) < at) & (at < s.max(axis=1))
    s, t = s[on], t[on]
    run = s[:, 1] - s[:, 0]
    return float(np.sum(-np.sign(run) * (t[:, 0] + (at - s[:, 0]) / run * (t[:, 1] - t[:, 0]))))
