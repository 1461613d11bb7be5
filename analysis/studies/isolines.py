"""Lines and regions of equal value of a field over a grid, with gaps where the field is not known."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import contourpy
import numpy as np


def lines_at(x: np.ndarray, y: np.ndarray, field: np.ndarray, level: float) -> list[np.ndarray]:
    """Lines (k, 2) on which the field has this value.

    `x` and `y` are the grid's axes, (m,) and (n,), or its points, both (n, m); `field` is (n, m), nan where not known.
    """
    return [line for line in _generator(x, y, field).lines(level) if len(line) > 1]


def regions_between(x: np.ndarray, y: np.ndarray, field: np.ndarray, low: float, high: float) -> list[np.ndarray]:
    """Outlines (k, 2), closed, of where the field lies between two values; holes are outlines too."""
    polygons, offsets = _generator(x, y, field).filled(low, high)
    return [points[a:b] for points, cuts in zip(polygons, offsets, strict=True) for a, b in pairwise(cuts)]


def _generator(x: np.ndarray, y: np.ndarray, field: np.ndarray) -> Any:
    known: Any = np.ma.masked_invalid(field)
    return contourpy.contour_generator(x=x, y=y, z=known, line_type="Separate", fill_type="OuterOffset")
