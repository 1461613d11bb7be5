"""A hull, a pod and some spaces, made up for tests of floating: lopsided fore and aft, mirrored port and starboard."""

from __future__ import annotations

import numpy as np

import hullcalc as hc
from hullcalc.geometry.makers import box, convex_hull


def v_hull() -> hc.Solid:
    """A hard-chine V hull, 6 m long, with raked ends; no two of its panels are alike."""
    half = [(0, 0, 0), (-0.1, 1.0, 0.35), (-0.25, 1.15, 0.95), (4, 0, 0.05), (4, 0.8, 0.5), (4, 1.0, 1.1), (6, 0, 1.2)]
    return convex_hull(np.array([*half, *((x, -y, z) for x, y, z in half if y)]))


HULL = v_hull()
POD = convex_hull([(x, s * 0.3, z) for s in (1, -1) for x, z in ((-0.06, 0.2), (-0.2, 0.6), (-0.8, 0.35), (-0.8, 0.6))])
WELL = box((1, 3), (-0.7, 0.7), (0.45, 0.9))
FUEL = box((1.5, 2.5), (-0.3, 0.3), (0.25, 0.42))
BAIT = box((0.5, 0.9), (-0.8, -0.4), (0.5, 0.9))
