"""Several moment trees side by side, about one common origin: what the compiled kernel walks over.

The kernel (and with it numba) is imported at the first cut, not when hullcalc is imported.
"""

from __future__ import annotations

import logging
import time
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from types import ModuleType

import numpy as np

from hullcalc.geometry.tree import MomentTree

log = logging.getLogger("hullcalc")


@cache
def kernel() -> ModuleType:
    """The compiled kernel; the first use on a machine compiles it, which takes some seconds and is logged."""
    began = time.perf_counter()
    log.info("preparing the compiled kernel (some seconds the first time on this machine)")
    from hullcalc.geometry import kernel as compiled

    log.debug("kernel imported in %.1f s", time.perf_counter() - began)
    return compiled


@dataclass(frozen=True, eq=False)
class Forest:
    """Bodies in one bundle of arrays: `trees` as the kernel takes it, `origin` (3,) m in the file's frame."""

    trees: tuple[np.ndarray, ...]
    origin: np.ndarray

    def cut(self, normals: np.ndarray, offsets: np.ndarray, body: int = 0) -> np.ndarray:
        """Sections (k, 15) of one body about `origin`, by planes of the file's frame: unit normals (k, 3), offsets."""
        sections = np.empty((len(offsets), kernel().SECTION))
        kernel().cut_many(self.trees, body, normals, offsets - normals @ self.origin, sections)
        return sections


def plant(trees: Sequence[MomentTree], origin: np.ndarray) -> Forest:
    """Set trees side by side about one origin, (3,) m in the file's frame; a tree alone about its own is not copied."""
    if len(trees) == 1 and trees[0].origin is origin:
        tree = trees[0]
        return Forest((*tree[:-1], np.array([0, len(tree.boxes)]), np.zeros((1, 3))), origin)
    nodes = np.cumsum([0, *(len(t.boxes) for t in trees)])
    triangles = np.cumsum([0, *(len(t.corners) for t in trees)])
    return Forest(
        (
            np.concatenate([t.boxes for t in trees]),
            np.concatenate([t.sums for t in trees]),
            np.concatenate([t.skip + n for t, n in zip(trees, nodes, strict=False)]),
            np.concatenate([t.first + n for t, n in zip(trees, triangles, strict=False)]),
            np.concatenate([t.leaf for t in trees]),
            np.concatenate([t.corners for t in trees]),
            np.concatenate([t.areas for t in trees]),
            nodes,
            np.array([t.origin - origin for t in trees]),
        ),
        origin,
    )
