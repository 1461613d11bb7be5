"""Triangles from a mesh file: binary STL by itself; text STL, OBJ and PLY through trimesh (extra `mesh`).

Files come from strangers. Whatever is in one, the answer is its triangles or an InputError; nothing beside the file is
opened (materials, textures), and no hole is filled nor winding mended: whether it is a body is for `Solid` to say.
"""

from __future__ import annotations

import io
import logging
import warnings
from os import PathLike
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from hullcalc.errors import GeometryError, InputError
from hullcalc.geometry.surface import as_surface, merge_vertices

HEAD = 84  # bytes of a binary STL before its triangles: 80 of free text, 4 of their number
RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])  # 50 bytes a triangle
FORMATS = (".stl", ".obj", ".ply")


def read_mesh(path: str | PathLike[str]) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Vertices (n, 3) in the file's unit and faces (m, 3) of a mesh file; exactly equal vertices made one.

    Faces that name one vertex twice are left out; faces of more than three corners are split.

    Raises
    ------
    InputError
        If the file is missing, empty, of another format, damaged, holds no triangles or a coordinate that is no number,
        or needs trimesh where that is not installed.
    """
    path = Path(path)
    suffix = path.suffix.lower()
    if suffix not in FORMATS:
        raise InputError(
            f"{path}: a mesh file ends in {', '.join(FORMATS)}; save it as one of them, best as binary STL"
        )
    try:
        data = path.read_bytes()
    except OSError as error:
        raise InputError(
            f"{path}: cannot be read ({error.strerror or error}); check the name and the folder"
        ) from error
    if not data:
        raise InputError(f"{path}: the file is empty; save the mesh again")
    triangles = _binary_stl(data) if suffix == ".stl" else None
    vertices, faces = triangles if triangles is not None else _by_trimesh(path, data, suffix[1:])
    try:
        return merge_vertices(*as_surface(vertices, faces))
    except (InputError, GeometryError) as error:
        raise InputError(f"{path}: {error}") from error


def _binary_stl(data: bytes) -> tuple[NDArray, NDArray] | None:
    """The corners of a binary STL, None if it is none: its length tells, as even binary ones may begin with "solid"."""
    count = int.from_bytes(data[HEAD - 4 : HEAD], "little")
    if len(data) < HEAD or len(data) != HEAD + RECORD.itemsize * count:
        return None
    corners = np.frombuffer(data, RECORD, offset=HEAD)["corners"].reshape(-1, 3)
    return corners.astype(float), np.arange(len(corners)).reshape(-1, 3)


def _by_trimesh(path: Path, data: bytes, kind: str) -> tuple[NDArray, NDArray]:
    if kind == "stl" and not (data.lstrip()[:5].lower() == b"solid" and b"facet" in data):
        count = int.from_bytes(data[HEAD - 4 : HEAD], "little")
        raise InputError(
            f"{path}: neither a text STL (no facets) nor a binary one ({len(data)} bytes, but its head says {count} "
            f"triangles, {HEAD + RECORD.itemsize * count} bytes); the file is damaged or cut short, save it again"
        )
    try:
        import trimesh
    except ImportError as error:
        raise InputError(
            f"{path}: this format needs the extra `mesh` (pip install 'hullcalc[mesh]'); or save it as binary STL"
        ) from error
    logging.getLogger("trimesh").addHandler(logging.NullHandler())  # else its tracebacks of bad files reach the screen
    kind = "stl_ascii" if kind == "stl" else kind
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # a file's oddities; what counts is checked afterwards
            mesh = trimesh.load_mesh(io.BytesIO(data), file_type=kind, process=False, skip_materials=True)
        return np.array(mesh.vertices, dtype=float), np.array(mesh.faces)
    except Exception as error:  # a stranger's file may break a reader anywhere
        raise InputError(f"{path}: cannot be read as {kind.split('_')[0].upper()} ({error}); save it again") from error
