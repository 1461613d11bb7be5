"""The sole of a cockpit as a plane, its corners, and where rain on it leaves: geometry only, boat frame, SI.

The plane goes through the sole's marks where three of them span one, else through the floor of the cockpit space. Its
corners are those of that floor, or the marks themselves where there is no such space.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.spaces import Space
from hullcalc.errors import InputError

DRAINS = ("scupper", "drain")  # kinds of marks that let water off a sole
FLOOR = np.cos(np.radians(45))  # a face that leans less than 45 degrees from level is floor
FLAT = 1e-3  # m: marks nearer to one line than this span no plane


@dataclass(frozen=True, eq=False)
class Sole:
    """The sole of one plan; `space` holds the water that stands on it, None where nobody drew one."""

    normal: np.ndarray  # (3,) of the plane, upward, unit length
    through: np.ndarray  # (3,) m, a point of it
    corners: Mapping[str, np.ndarray]  # name -> (3,) m
    drains: Mapping[str, np.ndarray]
    space: Space | None
    misfit: float  # m: how far the marks lie off the plane, at most

    def slopes(self, up: np.ndarray) -> tuple[float, float]:
        """Rise of the sole per metre along it, forward and to port, with the upward direction `up` (unit) [m/m]."""
        m = self.normal
        forward, port = np.array([m[2], 0.0, -m[0]]), np.array([0.0, m[2], -m[1]])
        sines = (float(up @ t / np.linalg.norm(t)) for t in (forward, port))
        rise_forward, rise_port = (s / np.sqrt(1 - s * s) for s in sines)
        return rise_forward, rise_port


def sole_of(boat: Boat, plan: AnyPlan) -> Sole:
    """The sole of a plan.

    Raises
    ------
    InputError
        If there is neither a cockpit in spaces.csv nor three marks of the kind sole that span a plane.
    """
    marks = boat.marks_in(plan)
    points = {name: mark.point for name, mark in marks.items() if mark.kind == "sole"}
    drains = {name: mark.point for name, mark in marks.items() if mark.kind in DRAINS}
    space = cockpit(boat, plan)
    floor = {} if space is None else _named(_floor(space))
    for through in (points, floor):
        found = _plane(np.array(list(through.values()), dtype=float).reshape(-1, 3))
        if found is not None:
            normal, centre, misfit = found
            return Sole(normal, centre, floor or points, drains, space, misfit)
    raise InputError(
        f"{boat.name}: {len(points)} marks of the kind sole in this plan, and no cockpit: which way water runs cannot "
        "be told. Write three corners of it in marks.csv (kind sole, not in one line), or the cockpit in spaces.csv"
    )


def cockpit(boat: Boat, plan: AnyPlan) -> Space | None:
    """The space whose openings are scuppers or drains, the largest of several; None where there is none."""
    marks = boat.marks_in(plan)
    found = [
        space
        for space in boat.spaces_in(plan).values()
        if any(marks[name].kind in DRAINS for name in space.openings if name in marks)
    ]
    return max(found, key=lambda space: space.solid.volume, default=None)


def _floor(space: Space) -> np.ndarray:
    """Corners of the faces that look down, (k, 3)."""
    solid = space.solid
    triangles = solid.vertices[solid.faces]
    outward = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    length = np.linalg.norm(outward, axis=1)
    down = -outward[:, 2] > FLOOR * np.where(length > 0, length, np.inf)
    return solid.vertices[np.unique(solid.faces[down])]


def _named(corners: np.ndarray) -> dict[str, np.ndarray]:
    """Corners named by where they are: "aft port", "forward starboard", "amidships"."""
    low, high = corners.min(axis=0), corners.max(axis=0)
    size, middle = np.where(high > low, high - low, 1.0), (low + high) / 2
    named: dict[str, np.ndarray] = {}
    for corner in corners:
        along, across = (corner - middle)[:2] / size[:2]
        words = [
            "aft" if along < -0.2 else "forward" if along > 0.2 else "amidships",
            "port" if across > 0.2 else "starboard" if across < -0.2 else "centre",
        ]
        name = " ".join(words)
        named[name if name not in named else f"{name} {len(named) + 1}"] = corner
    return named


def _plane(points: np.ndarray) -> tuple[np.ndarray, np.ndarray, float] | None:
    """(normal, centre, misfit) of the plane nearest to the points; None where they span none."""
    if len(points) < 3:
        return None
    centre = points.mean(axis=0)
    _, sizes, axes = np.linalg.svd(points - centre, full_matrices=True)
    if sizes[1] < FLAT:
        return None
    normal = axes[2] if axes[2, 2] >= 0 else -axes[2]
    if normal[2] < FLOOR:
        return None
    return normal, centre, float(np.max(np.abs((points - centre) @ normal)))
