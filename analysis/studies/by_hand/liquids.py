"""Liquids where a hand puts them: level with the boat upright, whatever her trim."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from hullcalc.floating.tanks import Tank

UPRIGHT = (0.0, 0.0, 1.0)


class UprightLiquid(NamedTuple):
    """A tank's liquid while the boat stands level and upright; no surface where the tank is empty or full."""

    mass: float  # kg
    centre: np.ndarray  # (3,) m
    fill: float  # fraction of the gross volume
    level: float  # height of the surface [m]
    second_moment: float  # of the surface about its fore-and-aft axis [m⁴]


def upright_liquid(tank: Tank) -> UprightLiquid:
    """The liquid of a tank with a fill, or up to the lip of its standpipe."""
    from scipy.optimize import brentq  # here, as importing it takes a while

    low, high = (float(z) for z in tank.solid.bounds[:, 2])
    whole = tank.solid.volume
    if tank.level_at is not None:
        level = float(np.clip(np.asarray(tank.level_at)[2], low, high))
    elif (wanted := float(tank.fill or 0.0) * whole) in (0.0, whole):
        level = low if wanted == 0 else high
    else:
        level = float(brentq(lambda z: tank.solid.cut(UPRIGHT, z).volume - wanted, low, high, xtol=1e-13))
    if level <= low:
        return UprightLiquid(0.0, tank.solid.centroid, 0.0, low, 0.0)
    cut = tank.solid.cut(UPRIGHT, level)
    slack = 0.0 if level >= high else float(cut.area_inertia[1, 1])
    return UprightLiquid(tank.density * cut.volume, cut.centroid, cut.volume / whole, level, slack)
