"""A body is a closed surface; a plane cuts it; exact integrals come out.

Exact for the given triangles at any attitude, to rounding. Lengths in m, in whatever frame the vertices are given.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from os import PathLike

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_number, as_vector, require
from hullcalc.geometry.forest import Forest, plant
from hullcalc.geometry.mesh_files import read_mesh
from hullcalc.geometry.surface import check_closed
from hullcalc.geometry.tree import MomentTree, build_tree

SINK = 1.6e-15  # part of the size by which a plane is lowered: what rounding may lift a turned face's corners


@dataclass(frozen=True, eq=False)
class Cut:
    """The part of a solid on one side of a plane, and the plane section; a face in the plane counts from below."""

    volume: float  # [m3]
    centroid: np.ndarray  # (3,) m; nan where the volume is 0
    area: float  # of the plane section [m2]
    area_centroid: np.ndarray  # (3,) m; nan where the area is 0
    area_inertia: np.ndarray  # (3, 3) m4: J = int (r - c)(r - c)^T dA about the section's own centroid c, in boat axes


class Solid:
    """A closed body of triangles.

    Parameters
    ----------
    vertices : array_like, shape (n, 3)
        Points [m]; exactly equal points count as one.
    faces : array_like of int, shape (m, 3)
        Corners of each triangle, counter-clockwise seen from outside.

    Raises
    ------
    InputError
        If the arrays are not points and triangles at all.
    GeometryError
        If the surface is open, inside-out, of two minds about the inside or crosses itself; it names the edges.
    """

    def __init__(self, vertices: ArrayLike, faces: ArrayLike) -> None:
        check_closed(vertices, faces)
        self.vertices = np.array(vertices, dtype=float)
        self.faces = np.array(faces, dtype=np.int64)
        for array in (self.vertices, self.faces):
            array.flags.writeable = False

    def __reduce__(self) -> tuple:
        return Solid, (self.vertices, self.faces)  # copies are checked and shut like the first

    def __repr__(self) -> str:
        return f"Solid({len(self.vertices)} vertices, {len(self.faces)} faces, {self.volume:.6g} m3)"

    @classmethod
    def from_mesh(cls, path: str | PathLike[str], scale: float = 1.0) -> Solid:
        """Read a closed mesh file (STL, OBJ, PLY); `scale` turns its unit into metres (0.001 for millimetres).

        Raises InputError for a file that cannot be read or a scale that is not positive, GeometryError as `Solid` does.
        """
        scale = as_number(scale, "scale", "")
        require(scale > 0, "scale", scale, "", "must be positive", "0.001 reads millimetres")
        vertices, faces = read_mesh(path)
        return cls(vertices * scale, faces)

    @cached_property
    def tree(self) -> MomentTree:
        """The moment tree of the surface."""
        return build_tree(self.vertices, self.faces)

    @cached_property
    def _alone(self) -> Forest:
        return plant((self.tree,), self.tree.origin)

    @cached_property
    def volume(self) -> float:
        """Volume enclosed [m3], by the divergence theorem."""
        return float(np.trace(self.tree.sums[0, 3:12].reshape(3, 3)) / 3)

    @cached_property
    def centroid(self) -> np.ndarray:
        """Centroid of the volume, (3,) m."""
        t = self.tree.sums[0, 12:].reshape(6, 3)
        moment = np.array([t[0, 0] + t[3, 1] + t[4, 2], t[3, 0] + t[1, 1] + t[5, 2], t[4, 0] + t[5, 1] + t[2, 2]]) / 4
        centroid = self.tree.origin + moment / self.volume
        centroid.flags.writeable = False
        return centroid

    @cached_property
    def bounds(self) -> np.ndarray:
        """Least and greatest x, y, z of the surface, (2, 3) m; vertices that no face uses do not count."""
        used = self.vertices[self.faces]
        bounds = np.array([used.min(axis=(0, 1)), used.max(axis=(0, 1))])
        bounds.flags.writeable = False
        return bounds

    def cut(self, normal: ArrayLike, offset: float) -> Cut:
        """Cut by a plane: the part where normal . r <= offset.

        Parameters
        ----------
        normal : array_like, shape (3,)
            Direction out of the part; need not be of unit length.
        offset : float
            normal . r on the plane [m, times the length of `normal`].

        Raises
        ------
        InputError
            If `normal` is zero or anything is not finite.
        """
        n, d = unit_plane(normal, offset)
        section = self._alone.cut(n[None], np.array([self._from_below(n, d)]))[0]
        return _as_cut(section, n, d, self._alone.origin)

    def cut_level(self, offsets: ArrayLike, normal: ArrayLike = (0.0, 0.0, 1.0)) -> tuple[Cut, ...]:
        """Cut by many parallel planes: one `Cut` for each of `offsets`, shape (k,) [m]."""
        offsets = np.asarray(offsets, dtype=float)
        planes = [unit_plane(normal, offset) for offset in offsets]
        normals = np.array([n for n, _ in planes]).reshape(-1, 3)
        sections = self._alone.cut(normals, np.array([self._from_below(n, d) for n, d in planes]))
        return tuple(_as_cut(s, n, d, self._alone.origin) for s, (n, d) in zip(sections, planes, strict=True))

    def _from_below(self, normal: np.ndarray, offset: float) -> float:
        """The offset lowered by a few roundings, so that a face in the plane counts from below however it is turned."""
        size = abs(self.tree.boxes[0, 3:]) @ abs(normal) + abs(normal @ self.tree.origin)
        return offset - SINK * (size + abs(offset))


def unit_plane(normal: ArrayLike, offset: float, name: str = "normal") -> tuple[np.ndarray, float]:
    """The same plane with a normal of unit length; raises InputError for a zero normal or anything not finite."""
    direction = as_vector(normal, name, "gives no direction; give three finite numbers, not all zero")
    greatest = np.max(abs(direction))
    if greatest == 0:
        raise InputError(f"{name} = {normal!r} gives no direction; give three finite numbers, not all zero")
    distance = as_number(offset, "offset", "m")
    direction = direction / greatest  # so that no square under- or overflows
    length = float(np.linalg.norm(direction))
    return direction / length, distance / greatest / length


def _as_cut(section: np.ndarray, normal: np.ndarray, offset: float, origin: np.ndarray) -> Cut:
    """Name the kernel's figures and set them back into the file's frame."""
    nowhere = np.full(3, np.nan)
    volume, area = float(section[0]), float(section[1])
    centroid = origin + section[3:6] / volume if volume > 0 else nowhere
    if area == 0:
        return Cut(volume, centroid, 0.0, nowhere, np.zeros((3, 3)))
    local = section[6:9] / area
    local += normal * (offset - normal @ origin - normal @ local)  # on the plane to the last bit that matters
    flat = local - normal * (normal @ local)
    xx, yy, zz, xy, xz, yz = section[9:15]
    inertia = np.array([[xx, xy, xz], [xy, yy, yz], [xz, yz, zz]]) - area * np.outer(flat, flat)
    return Cut(volume, centroid, area, origin + local, inertia)
