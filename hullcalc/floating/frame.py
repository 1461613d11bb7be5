"""The level frame of a boat afloat: fore and aft, and across, in the water's surface."""

from __future__ import annotations

import numpy as np


def level_axes(normal: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """u = the x axis levelled (the z axis where x stands upright) and v = normal x u, to port.

    `normal` (..., 3) of unit length gives two arrays (..., 3) of unit length; nan gives nan.
    """
    upright = 1 - normal[..., 0] ** 2 <= 1e-12
    axis = np.where(upright[..., None], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0])
    u = axis - normal * np.sum(axis * normal, axis=-1, keepdims=True)
    u /= np.linalg.norm(u, axis=-1, keepdims=True)
    return u, np.cross(normal, u)
