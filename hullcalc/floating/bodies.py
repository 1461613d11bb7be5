"""Bodies made ready to be floated: their moment trees side by side, and the upright table that starts each solution."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

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


@lru_cache(maxsize=32)
def afloat(solids: tuple[Solid, ...], flooded: tuple[Solid, ...], tanks: tuple[Solid, ...]) -> Afloat:
    """Bundle bodies for the kernel; the same bodies are bundled once."""
    bodies = (*tanks, *solids, *flooded)
    forest = plant([b.tree for b in bodies], solids[0].tree.origin)
    signs = np.array([1.0] * (len(tanks) + len(solids)) + [-1.0] * len(flooded))
    low = min(float(s.vertices[:, 2].min()) for s in solids)
    high = max(float(s.vertices[:, 2].max()) for s in solids)
    levels = np.linspace(low, high + 1e-9 * (high - low), LEVELS)
    normals = np.tile(UP, (LEVELS, 1))
    volumes = sum(signs[b] * forest.cut(normals, levels, b)[:, 0] for b in range(len(tanks), len(bodies)))
    return Afloat(forest, signs, levels - forest.origin[2], np.maximum.accumulate(volumes))
