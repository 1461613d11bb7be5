"""The moment tree: thirty numbers a node that let a plane cut a closed surface by visiting only what it touches.

With N dA the outward area element, a surface gives A_k = int N_k, M_ik = int r_i N_k and T_ijk = int r_i r_j N_k. They
do not depend on the plane and they add up, so a node that lies wholly below the plane is answered by its own sums and
one that lies wholly above it is passed over; only leaves that the plane crosses are clipped triangle by triangle. All
of it is about an origin inside the body, so that coordinates far from a file's origin lose nothing.

Formulas: the divergence theorem for polynomial fields over triangles; see any text on mass properties of polyhedra.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

LEAF = 8  # triangles in a leaf, at most
VERTICAL = 3.5  # hulls are cut near level: flat boxes are met by fewer planes
SYMMETRIC = [(0, 0), (1, 1), (2, 2), (0, 1), (0, 2), (1, 2)]  # the order of the six r_i r_j
SUMS = 3 + 9 + 18


class MomentTree(NamedTuple):
    """A perfect binary tree over the triangles of one body, its nodes in preorder; lengths in m about `origin`."""

    boxes: np.ndarray  # (nodes, 6): centre and half extent
    sums: np.ndarray  # (nodes, 30): A_k, M_ik, T_ijk
    skip: np.ndarray  # (nodes,) int64: the node that follows this one's subtree
    first: np.ndarray  # (nodes,) int64: first triangle of the subtree
    leaf: np.ndarray  # (nodes,) int64: triangles of a leaf; 0 for an inner node
    corners: np.ndarray  # (triangles, 9)
    areas: np.ndarray  # (triangles, 3): outward area vectors
    origin: np.ndarray  # (3,) in the file's frame


def build_tree(vertices: np.ndarray, faces: np.ndarray) -> MomentTree:
    """Build the tree of a closed surface, vertices (n, 3) m and faces (m, 3), by halving at the median."""
    triangles = vertices[faces]
    origin = (triangles.min(axis=(0, 1)) + triangles.max(axis=(0, 1))) / 2  # vertices that no face uses do not count
    triangles -= origin
    depth = max(0, int(np.ceil(np.log2(len(faces) / LEAF))))
    order, starts = _halve(triangles.mean(axis=1), depth)
    triangles = triangles[order]
    areas = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]) / 2
    levels = [_leaves(triangles, areas, starts)]
    for _ in range(depth):
        levels.insert(0, _parents(*levels[0]))
    nodes = 2 ** (depth + 1) - 1
    boxes, sums = np.empty((nodes, 6)), np.empty((nodes, SUMS))
    skip, first, leaf = (np.zeros(nodes, dtype=np.int64) for _ in range(3))
    place = np.zeros(1, dtype=np.int64)
    for level, (low, high, node_sums) in enumerate(levels):
        below = 2 ** (depth - level + 1) - 1  # nodes of a subtree at this level
        boxes[place], sums[place] = _boxes(low, high), node_sums
        skip[place] = place + below
        first[place] = starts[: -1 : 2 ** (depth - level)]
        if level == depth:
            leaf[place] = np.diff(starts)
        place = np.stack([place + 1, place + 1 + below // 2], axis=1).ravel()
    return MomentTree(boxes, sums, skip, first, leaf, triangles.reshape(-1, 9), areas, origin)


def _halve(centres, depth):
    """Split the triangles `depth` times at the median of each part's longest axis: their order, the parts' bounds."""
    order, starts = np.arange(len(centres)), np.array([0, len(centres)])
    for _ in range(depth):
        part = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
        placed = centres[order]
        extent = np.maximum.reduceat(placed, starts[:-1]) - np.minimum.reduceat(placed, starts[:-1])
        axis = np.argmax(extent * [1, 1, VERTICAL], axis=1)
        order = order[np.lexsort((placed[np.arange(len(order)), axis[part]], part))]
        middles = (starts[:-1] + starts[1:]) // 2
        starts = np.append(np.stack([starts[:-1], middles], axis=1).ravel(), len(centres))
    return order, starts


def _leaves(triangles, areas, starts):
    """Bounds and sums of the leaves: each triangle's integrals are exact for polynomials of second degree."""
    middle = triangles.sum(axis=1)
    second = [
        ((triangles[:, :, i] * triangles[:, :, j]).sum(axis=1) + middle[:, i] * middle[:, j]) / 12 for i, j in SYMMETRIC
    ]
    columns = [areas, *(middle[:, i : i + 1] / 3 * areas for i in range(3)), *(s[:, None] * areas for s in second)]
    sums = np.add.reduceat(np.concatenate(columns, axis=1), starts[:-1])
    low = np.minimum.reduceat(triangles.min(axis=1), starts[:-1])
    high = np.maximum.reduceat(triangles.max(axis=1), starts[:-1])
    return low, high, sums


def _parents(low, high, sums):
    """Bounds and sums of the level above: each node holds the next two."""
    return (
        low.reshape(-1, 2, 3).min(axis=1),
        high.reshape(-1, 2, 3).max(axis=1),
        sums.reshape(-1, 2, SUMS).sum(axis=1),
    )


def _boxes(low, high):
    """Centre and half extent, a few roundings wider than the truth: a box may be visited in vain, never missed."""
    centre, half = (low + high) / 2, (high - low) / 2
    return np.concatenate([centre, half * (1 + 1e-15) + 4e-16 * (np.abs(low) + np.abs(high))], axis=1)
