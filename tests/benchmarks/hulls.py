"""What is measured: the demo outboard's hull at several sizes, planes near her draught, ordinary loads, box tanks."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import trimesh

import hullcalc as hc
from hullcalc.boats.folder import read_boat
from hullcalc.geometry.makers import box
from hullcalc.measuring.stations import hull_from_stations

DEMO = Path(__file__).parents[2] / "data" / "boats" / "demo-outboard-22"
SLICES = 29  # a bay: about 4,600 triangles
SEED = 20240611  # any


@cache
def hull(splits: int = 0) -> hc.Solid:
    """The hull; each split halves every edge, so that it has four times the triangles and the same shape."""
    of = read_boat(DEMO).hull
    solid = hull_from_stations(of.table, of.transom_rake, of.loft, SLICES).solid
    vertices, faces = solid.vertices, solid.faces
    for _ in range(splits):
        vertices, faces = trimesh.remesh.subdivide(vertices, faces)
    return hc.Solid(vertices, faces) if splits else solid


def planes(count: int = 200) -> tuple[np.ndarray, np.ndarray]:
    """Unit normals (count, 3) and offsets (count,) near her draught, a little trimmed and heeled."""
    rng = np.random.default_rng(SEED)
    slopes = rng.normal((-0.012, 0.03), (0.01, 0.03), (count, 2))
    depth = rng.normal(0.42, 0.02, count)  # over the keel at x = 2 m
    normals = np.column_stack([-slopes, np.ones(count)])
    normals /= np.linalg.norm(normals, axis=1, keepdims=True)
    return normals, normals[:, 0] * 2.0 + normals[:, 2] * depth


def loads(count: int) -> tuple[np.ndarray, np.ndarray]:
    """Masses (count,) kg and centres (count, 3) m of an ordinary boat."""
    rng = np.random.default_rng(SEED)
    return rng.uniform(1500, 2500, count), rng.normal((2.0, 0.0, 0.7), (0.15, 0.06, 0.05), (count, 3))


def tanks() -> tuple[hc.Tank, ...]:
    """Fuel, livewell and two side tanks, part filled: plain boxes."""
    return (
        hc.Tank("fuel", box((1.0, 3.1), (-0.365, 0.365), (0.195, 0.466)), fill=0.5),
        hc.Tank("livewell", box((1.78, 2.18), (-0.4, 0.4), (0.62, 1.09)), 1025.0, fill=0.5),
        hc.Tank("port", box((0.5, 1.5), (0.5, 0.9), (0.5, 0.8)), 1000.0, fill=0.3),
        hc.Tank("starboard", box((0.5, 1.5), (-0.9, -0.5), (0.5, 0.8)), 1000.0, fill=0.3),
    )
