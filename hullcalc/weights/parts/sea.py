"""What a plane of water does to a part: pure functions of a part's geometry and the plane.

Boat frame, m. The sea is the plane normal . r = offset; a point is under water where normal . r < offset. A liquid's
surface in a tank is a parallel plane.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import as_number, require
from hullcalc.geometry.solid import Solid, unit_plane

UPRIGHT = (0.0, 0.0, 1.0)


@dataclass(frozen=True, eq=False)
class Immersed:
    """The part of a body under water: its volume [m³], what it lifts [kg], at `centre` (3,) m; nan where it is dry."""

    volume: float
    lift: float
    centre: np.ndarray

    @property
    def moment(self) -> np.ndarray:
        """Lift times centre, (3,) kg m about the origin; 0 where it is dry."""
        return np.zeros(3) if self.volume == 0 else self.lift * self.centre


def immersed(body: Solid, normal: ArrayLike, offset: float, density: float) -> Immersed:
    """What of a body is under water, and what it lifts: the water's density [kg/m³] times the volume (Archimedes)."""
    density = as_number(density, "density", "kg/m3")
    require(density > 0, "density", density, "kg/m3", "must be positive", "1025 for sea water, 1000 for fresh")
    cut = body.cut(normal, offset)
    return Immersed(cut.volume, density * cut.volume, cut.centroid)


def heights_above(points: ArrayLike, normal: ArrayLike, offset: float) -> np.ndarray:
    """Heights of points (..., 3) m above the water [m], shape (...), along its normal; negative when under."""
    n, d = unit_plane(normal, offset)
    return np.asarray(points, dtype=float) @ n - d


def level_with(point: ArrayLike, normal: ArrayLike) -> float:
    """The offset [m] of the plane through a point: a liquid level with a lip, or at a pick-up's mouth."""
    n, _ = unit_plane(normal, 0.0)
    return float(np.asarray(point, dtype=float) @ n)
