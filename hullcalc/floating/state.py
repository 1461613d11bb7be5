"""What is known of a boat at rest: the sea's plane in boat axes, heights above it, stiffness and response.

Boat axes: x forward, y to port, z up, m. Trim is positive bow up, heel positive to starboard, both in degrees.
The arrays of a state of one boat have no leading axis; those of many have one, and every formula here serves both.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_array, require
from hullcalc.floating.frame import level_axes


@dataclass(frozen=True, eq=False)
class Liquid:
    """The liquid of one tank, lying level with the sea."""

    name: str
    mass: Any  # (...) kg
    centre: np.ndarray  # (..., 3) m
    fill: Any  # (...) fraction of the gross volume
    surface_offset: Any  # (...) m: its surface is normal . r = surface_offset; nan where there is no liquid


@dataclass(frozen=True, eq=False)
class FloatState:
    """A boat at rest, or many of the same bodies: then every array has a leading axis.

    Attributes
    ----------
    status : str or ndarray of str
        "floats"; "lolls" (held upright she would fall to a side); "capsizes" (rests with the deck over 60 degrees from
        level); "sinks" (many only: her row is nan, `short_by_kg` says by how much).
    normal, offset : ndarray, shape (..., 3) and (...)
        The sea: a point r is under water where normal . r < offset; |normal| = 1.
    mass, cg : with the liquids, where they lie [kg], (..., 3) m.
    volume, buoyancy : displaced volume [m3] and its centroid (..., 3) m.
    waterplane_area, flotation : of the plane she floats at [m2] and its centroid (..., 3) m.
    stiffness : (..., 2, 2) kg m: K = rho I_F - sum rho_t I_t + (rho int w dV - sum m w) 1 for turns along u and v.
    slack : (..., 2, 2) kg m: the sum rho_t I_t of the free surfaces, already taken off in `stiffness`.
    spill : (..., 3, 2): what standpipe tanks add to the derivatives of (mass, moments) with a turn along u and v.
    liquids : one `Liquid` a tank.
    hull_cuts : walks over the hull's triangles to the answer; those that settle whether she lolls are not counted.
    density : of the sea [kg/m3].
    short_by_kg : weight over buoyancy where she sinks, else nan.
    other : the position on the other side where she lolls and there is one, else None; only of one boat.
    """

    status: Any
    normal: np.ndarray
    offset: Any
    mass: Any
    cg: np.ndarray
    volume: Any
    buoyancy: np.ndarray
    waterplane_area: Any
    flotation: np.ndarray
    stiffness: np.ndarray
    slack: np.ndarray
    spill: np.ndarray
    liquids: tuple[Liquid, ...]
    hull_cuts: Any
    density: Any
    short_by_kg: Any = np.nan
    other: FloatState | None = None

    def __post_init__(self) -> None:
        for array in vars(self).values():
            if isinstance(array, np.ndarray):
                array.flags.writeable = False

    @property
    def plane(self) -> tuple[np.ndarray, Any]:
        """(normal, offset): the sea in boat axes; a point r is under water where normal . r < offset."""
        return self.normal, self.offset

    @property
    def trim(self) -> Any:
        """Angle of the keel run to the water [deg], bow up positive."""
        return np.degrees(np.arcsin(self.normal[..., 0]))

    @property
    def heel(self) -> Any:
        """Angle across the boat [deg], starboard down positive."""
        return np.degrees(np.arctan2(self.normal[..., 1], self.normal[..., 2]))

    def height_above_water(self, points: ArrayLike) -> Any:
        """Height of points (..., 3) m above the water [m], negative when under: states first, then points."""
        points = _points(points)
        offset = np.reshape(self.offset, np.shape(self.offset) + (1,) * (points.ndim - 1))
        return np.tensordot(self.normal, points, axes=(-1, -1)) - offset

    @property
    def gm_longitudinal(self) -> Any:
        """GM for a small turn in trim [m], liquids free at their present mass."""
        return self.stiffness[..., 0, 0] / self.mass

    @property
    def gm_transverse(self) -> Any:
        """GM for a small turn in heel [m], liquids free at their present mass."""
        return self.stiffness[..., 1, 1] / self.mass

    @property
    def free_surface(self) -> tuple[Any, Any]:
        """(transverse, longitudinal) m already taken off: GM + free surface = GM with the liquids frozen."""
        return self.slack[..., 1, 1] / self.mass, self.slack[..., 0, 0] / self.mass

    def response(self, points: ArrayLike) -> np.ndarray:
        """Change of each point's height above water for a small weight added, its liquids free to move.

        Parameters
        ----------
        points : array_like, shape (..., 3)
            Points of the boat [m].

        Returns
        -------
        ndarray, shape (states..., points..., 4)
            d height / d (mass, mass x, mass y, mass z) of the added weight [m/kg, m/(kg m)]: exact at rest.
        """
        points = _points(points)
        flat = points.reshape(-1, 3)
        u, v = level_axes(self.normal)
        states = self.normal.shape[:-1]
        # small rise e at F and slopes (p, q): M (e, p, q) = -(dm, u.(dM - F dm), v.(dM - F dm))
        matrix = np.zeros((*states, 3, 3))
        matrix[..., 0, 0] = self.density * self.waterplane_area
        matrix[..., 1:, 1:] = self.stiffness
        matrix[..., :, 1:] += self.spill
        load = np.zeros((*states, 3, 4))
        load[..., 0, 0] = -1
        for row, axis in ((1, u), (2, v)):
            load[..., row, 0] = np.sum(axis * self.flotation, axis=-1)
            load[..., row, 1:] = -axis
        motion = _solve(matrix, load)
        arm = flat - self.flotation[..., None, :]
        lever = np.stack(
            [np.ones(arm.shape[:-1]), np.sum(arm * u[..., None, :], axis=-1), np.sum(arm * v[..., None, :], axis=-1)],
            axis=-1,
        )
        return (lever @ motion).reshape(*states, *points.shape[:-1], 4)


def _points(points: ArrayLike) -> np.ndarray:
    """Points (..., 3) m as an array; raises InputError for another shape or a figure that is not finite."""
    array = as_array(points, "points", "m")
    if array.ndim < 1 or array.shape[-1] != 3:
        raise InputError(f"points must be (x, y, z) in metres, shape (..., 3), not {array.shape}")
    require(np.isfinite(array), "points", array, "m", "must be a finite number", "check the mark's place")
    return array


def _solve(matrix, load):
    """Solve stacks of 3 x 3 systems; a state that sank, or whose matrix is singular, answers nan."""
    sound = np.all(np.isfinite(matrix), axis=(-2, -1))
    with np.errstate(all="ignore"):
        sound &= np.nan_to_num(np.linalg.det(np.where(sound[..., None, None], matrix, np.eye(3)))) != 0
    answer = np.linalg.solve(np.where(sound[..., None, None], matrix, np.eye(3)), load)
    return np.where(sound[..., None, None], answer, np.nan)
