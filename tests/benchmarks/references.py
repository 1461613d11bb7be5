"""Plain ways to the same answers, to be held beside the moment tree: each visits every triangle at every plane.

A section is (volume [m3], its centroid (3,) m, waterplane area [m2], its centroid (3,) m); wet means n.r < d.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import trimesh
from scipy.optimize import newton, root

from hullcalc.geometry.forest import Forest, plant
from hullcalc.geometry.solid import Solid

Section = tuple[float, np.ndarray, float, np.ndarray]


def tree(solid: Solid) -> Forest:
    """The moment tree itself, ready to be cut by many planes in one call."""
    return plant((solid.tree,), solid.tree.origin)


def one_leaf(solid: Solid) -> Forest:
    """The compiled kernel without its tree: a single leaf that holds every triangle."""
    whole, triangles = solid.tree, len(solid.faces)
    flat = whole._replace(
        boxes=whole.boxes[:1].copy(), sums=whole.sums[:1].copy(),
        skip=np.array([1]), first=np.array([0]), leaf=np.array([triangles]),
    )  # fmt: skip
    return plant((flat,), whole.origin)


@dataclass(frozen=True, eq=False)
class NumpySweep:
    """All triangles at once in numpy, with the ten integrals of the moment tree and no cap."""

    vertices: np.ndarray
    faces: np.ndarray
    areas: np.ndarray  # (faces, 3): outward area vectors

    @classmethod
    def of(cls, solid: Solid) -> NumpySweep:
        a, b, c = np.moveaxis(solid.vertices[solid.faces], 1, 0)
        return cls(solid.vertices, solid.faces, np.cross(b - a, c - a) / 2)

    def cut(self, normal: np.ndarray, offset: float) -> Section:
        about = offset * normal  # a point of the plane: then the volume needs no waterplane
        heights = self.vertices @ normal - offset
        of_face = heights[self.faces]
        wet = (of_face < 0).sum(axis=1)
        part = self.areas @ normal
        whole = wet == 3
        corners, parts = [self.vertices[self.faces[whole]]], [part[whole]]
        for count in (1, 2):
            rows = np.flatnonzero(wet == count)
            below = of_face[rows] < 0
            odd = np.argmax(below if count == 1 else ~below, axis=1)
            order = (odd[:, None] + [0, 1, 2]) % 3
            p, q, r = np.moveaxis(self.vertices[np.take_along_axis(self.faces[rows], order, axis=1)], 1, 0)
            hp, hq, hr = np.take_along_axis(of_face[rows], order, axis=1).T
            s, t = hp / (hp - hq), hp / (hp - hr)
            pq, pr = p + s[:, None] * (q - p), p + t[:, None] * (r - p)
            if count == 1:
                corners.append(np.stack([p, pq, pr], axis=1))
                parts.append(part[rows] * s * t)
            else:
                corners += [np.stack([q, r, pq], axis=1), np.stack([r, pr, pq], axis=1)]
                parts += [part[rows] * (1 - s), part[rows] * s * (1 - t)]
        triangles, parts = np.concatenate(corners) - about, np.concatenate(parts)
        middle = triangles.sum(axis=1)
        a, m = parts.sum(), parts @ middle / 3
        t = (
            np.einsum("f,fci,fcj->ij", parts, triangles, triangles) + np.einsum("f,fi,fj->ij", parts, middle, middle)
        ) / 12
        volume = normal @ m
        moment = t @ normal - normal * (normal @ t @ normal) / 2
        return volume, about + moment / volume, -a, about + (normal * volume - m) / -a


def trimesh_cut_and_cap(mesh: trimesh.Trimesh, normal: np.ndarray, offset: float) -> Section:
    """Slice the mesh, close it with a fan of triangles and ask the closed body for its volume and centroid."""
    vertices, faces, _ = trimesh.intersections.slice_faces_plane(mesh.vertices, mesh.faces, -normal, offset * normal)
    wet = trimesh.Trimesh(vertices, faces)
    rim = wet.edges[trimesh.grouping.group_rows(wet.edges_sorted, require_count=1)]
    middle = len(wet.vertices)
    fan = np.column_stack([rim[:, ::-1], np.full(len(rim), middle)])
    points = np.vstack([wet.vertices, wet.vertices[rim].mean(axis=(0, 1))])
    body = trimesh.Trimesh(points, np.vstack([wet.faces, fan]), process=False)
    lid = points[fan]
    areas = np.cross(lid[:, 1] - lid[:, 0], lid[:, 2] - lid[:, 0]) @ normal / 2
    return float(body.volume), np.array(body.center_mass), float(areas.sum()), areas @ lid.mean(axis=1) / areas.sum()


def plain_float(solid: Solid, mass: float, cg: np.ndarray, density: float) -> tuple[np.ndarray, float, int]:
    """Float a hull as one would without derivatives: slopes by a general root finder, the level within by the secant.

    Returns the sea's unit normal and offset, and the number of slices.
    """
    mesh = trimesh.Trimesh(solid.vertices, solid.faces, process=False)
    slices, last = 0, float(solid.centroid[2])

    def slice_at(normal, offset):
        nonlocal slices
        slices += 1
        return trimesh_cut_and_cap(mesh, normal, offset)

    def level(slopes):
        nonlocal last
        normal = np.array([-slopes[0], -slopes[1], 1.0])
        normal /= np.linalg.norm(normal)
        last = newton(lambda d: slice_at(normal, d)[0] - mass / density, last, x1=last + 0.01, tol=1e-9)
        return normal, last

    def apart(slopes):
        normal, offset = level(slopes)
        lever = slice_at(normal, offset)[1] - cg
        return (lever - normal * (lever @ normal))[:2]

    found = root(apart, (0.0, 0.0), tol=1e-8)
    normal, offset = level(found.x)
    return normal, offset, slices
