"""The least freeboard: the lowest point of the deck edge above the water, along the hull's own sheer on both sides."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hullcalc.boats.boat import Boat


@dataclass(frozen=True)
class Freeboard:
    """Height above water [m], negative under, and where on the deck edge: x [m] and side."""

    height: float
    x: float
    side: str  # "port", "starboard"; "both sides" where they are alike


def least_freeboard(boat: Boat, normal: np.ndarray, offset: float) -> Freeboard:
    """The least height of the sheer above the sea's plane.

    Exact: between the points of the sheer it is straight, so the least is at one of them. The sheer begins at the top
    of the raked transom.
    """
    port = np.asarray(list(boat.hull.lines.values())[-1], dtype=float)
    starboard = port * np.array([1.0, -1.0, 1.0])
    heights = np.array([port @ normal - offset, starboard @ normal - offset])
    side, place = np.unravel_index(int(np.argmin(heights)), heights.shape)
    alike = abs(heights[0, place] - heights[1, place]) < 5e-4
    words = "both sides" if alike else ("port", "starboard")[int(side)]
    return Freeboard(float(heights[side, place]), float(port[place, 0]), words)
