"""Bodies made ready to be floated: their moment trees side by side, and the upright table that starts each solution."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from hullcalc.errors import InputError
from hullcalc.geometry.forest import Forest, plant
from hullcalc.geometry.solid import Solid

LEVELS = 129  # of the upright volume table
UP = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True, eq=False)
class Afloat:
    """Tanks first, then hull, pods and flooded spaces, as the kernel takes them."""

    forest: Forest  # about the middle of the first hull: a symmetric boat's is on the centreline to the bit
    signs: np.ndarray  # +1, or -1 for a flooded space
    levels: np.ndarray  # offsets of level planes, upright, about the forest's origin [m]
    volumes: np.ndarray  # buoyant volume below each [m3]

    @property
    def capacity(self) -> float:
        """All the buoyant volume there is [m3]."""
        return float(self.volumes[-1])

    def level(self, volume: np.ndarray) -> np.ndarray:
        """Offset of the upright plane that has about `volume` below it [m]."""
        return np.interp(volume, self.volumes, self.levels)


@lru_cache(maxsize=8)  # a few, as each holds a copy of its bodies' trees
def afloat(solids: tuple[Solid, ...], flooded: tuple[Solid, ...], tanks: tuple[Solid, ...]) -> Afloat:
    """Bundle bodies for the kernel; the same bodies are bundled once.

    Raises InputError for a flooded space that lies in part or wholly outside the boat.
    """
    _check_inside(solids, flooded)
    bodies = (*tanks, *solids, *flooded)
    forest = plant([b.tree for b in bodies], solids[0].tree.origin)
    signs = np.array([1.0] * (len(tanks) + len(solids)) + [-1.0] * len(flooded))
    low, high = min(s.bounds[0, 2] for s in solids), max(s.bounds[1, 2] for s in solids)
    levels = np.linspace(low, high + 1e-9 * (high - low), LEVELS)
    normals = np.tile(UP, (LEVELS, 1))
    volumes = sum(signs[b] * forest.cut(normals, levels, b)[:, 0] for b in range(len(tanks), len(bodies)))
    return Afloat(forest, signs, levels - forest.origin[2], np.maximum.accumulate(volumes))


def _check_inside(solids: tuple[Solid, ...], flooded: tuple[Solid, ...]) -> None:
    """Raise an InputError for a flooded space that reaches outside the box round all solids, or for too many."""
    low = np.min([s.bounds[0] for s in solids], axis=0)
    high = np.max([s.bounds[1] for s in solids], axis=0)
    slack = 1e-9 * (high - low).max()
    for k, space in enumerate(flooded):
        if np.any(space.bounds[0] < low - slack) or np.any(space.bounds[1] > high + slack):
            raise InputError(
                f"flooded[{k}] reaches from {_say(space.bounds[0])} to {_say(space.bounds[1])} m, outside the solids "
                f"({_say(low)} to {_say(high)}); a space open to the sea lies inside what floats her: cut it off there"
            )
    if sum(s.volume for s in flooded) > (1 + 1e-9) * sum(s.volume for s in solids):
        raise InputError("the flooded spaces hold more than the solids; do two of them overlap, or is one named twice?")


def _say(point: np.ndarray) -> str:
    return "({:.3g}, {:.3g}, {:.3g})".format(*point)
