"""A livewell: its room to the standpipe and to the rim, its empty mass, and what she does to it when she trims.

Boat frame, SI. Its fill is a standpipe's height, not a fraction: the water stands level with the lip, parallel to the
sea. With the pump off and the seacock open it is a space open to the sea: taken off below the sea, not carried.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_number, as_vector, require
from hullcalc.geometry.solid import Solid
from hullcalc.weights.parts.part import Fact, Line, Part
from hullcalc.weights.parts.sea import UPRIGHT, Immersed, immersed, level_with
from hullcalc.weights.parts.shells import ellipse, rounded_rectangle, upright

SHAPES = ("box", "rounded box", "oval", "cylinder")


@dataclass(frozen=True, eq=False)
class Standing:
    """Water in a well whose pump runs: its volume [m³], where it lies (3,) m, and how far the rim stands over it [m].

    Where `rim_above` is negative the water passes the rim before it reaches the lip: it overflows at `lowest_rim`, and
    volume and centre are those of the well full to that point.
    """

    volume: float
    centre: np.ndarray
    rim_above: float
    lowest_rim: np.ndarray

    @property
    def overflows(self) -> bool:
        """True where the rim is passed before the standpipe takes the water."""
        return self.rim_above < 0


@dataclass(frozen=True, eq=False, kw_only=True)
class Livewell(Part):
    """A livewell; `holds` is its room to the rim, `lip` the standpipe's upper end, `rim` the corners of its edge."""

    lip: np.ndarray
    rim: np.ndarray  # (n, 3) m
    density: float  # of the water it is fed with [kg/m³]

    def standing(self, normal: ArrayLike = UPRIGHT) -> Standing:
        """The water in it with the pump running, for the direction of the sea's normal in boat axes."""
        n = np.asarray(normal, dtype=float)
        n = n / np.linalg.norm(n)
        lip, along = level_with(self.lip, n), self.rim @ n
        lowest = int(np.argmin(along))
        cut = self.room.cut(n, min(lip, float(along[lowest])))
        return Standing(cut.volume, cut.centroid, float(along[lowest] - lip), self.rim[lowest])

    def open_to_the_sea(self, normal: ArrayLike, offset: float, density: float) -> Immersed:
        """Pump off, seacock open: the room below the sea, which floats her no more (lost buoyancy); see `sea`."""
        return immersed(self.room, normal, offset, density)


def well(shape: str, length: float, width: float, height: float, at: ArrayLike, radius: float | None = None) -> Solid:
    """The room of a well, upright walls and a flat floor; inner sizes [m].

    Parameters
    ----------
    shape : str
        One of SHAPES. Of a cylinder `length` and `width` are both its diameter; of an oval they are its two axes.
    length, width, height : float
        Fore and aft, across, from floor to rim [m].
    at : array_like, shape (3,)
        The middle of its floor [m].
    radius : float, optional
        Of the corners of a rounded box [m]; half the shorter side gives round ends.

    Raises
    ------
    InputError
        For a shape that is not known, sizes that are none, or a radius that does not fit.
    """
    x, y, z = as_vector(at, "place of the well")
    if shape not in SHAPES:
        raise InputError(f"shape = {shape!r} is not known; write one of: {', '.join(SHAPES)}")
    for name, value in (("length", length), ("width", width), ("height", height)):
        value = as_number(value, f"{name} of the well", "m")
        require(0.05 <= value <= 3, f"{name} of the well", value, "m", "must lie between 0.05 and 3 m", "inner size")
    if shape == "cylinder" and abs(length - width) > 1e-9:
        raise InputError(f"cylinder: length {length:g} m and width {width:g} m differ; for two axes write oval")
    if (radius is not None) != (shape == "rounded box"):
        raise InputError(f"a {shape} {'needs a corner radius' if radius is None else 'has no corner radius'}")
    outline = ellipse(length, width) if shape in ("oval", "cylinder") else rounded_rectangle(length, width, radius or 0)
    return upright(outline + np.array([x, y]), z, z + height)


def livewell(
    name: str,
    room: Solid,
    lip: ArrayLike,
    lines: Sequence[Line],
    *,
    basis: str,
    density: float,
    says: Sequence[str] = (),
) -> Livewell:
    """A livewell of its room and lines; raises InputError for a lip outside the room or nothing to weigh."""
    if not lines:
        raise InputError(f"{name}: there is nothing to weigh; give the mass of a sheet, or a wall's mass per area")
    density = as_number(density, "density of the water", "kg/m3")
    mend = "1025 for sea water, 1000 for fresh"
    require(950 < density < 1100, "density of the water", density, "kg/m3", "must lie between 950 and 1100", mend)
    lip = as_vector(lip, "lip of the standpipe")
    low, high = room.bounds
    mend = "its upper end stands in the well, below the rim"
    require((lip >= low) & (lip <= high), "lip of the standpipe", lip, "m", "lies outside the well", mend)
    rim = room.vertices[room.vertices[:, 2] > high[2] - 1e-9]
    made = Livewell(name=name, lines=tuple(lines), basis=basis, holds=room, lip=lip, rim=rim, density=density,
                    says=tuple(says))  # fmt: skip
    level = made.standing()
    empty = float(made.item.mass)
    facts = (
        Fact("to the standpipe, level", level.volume, "volume"),
        Fact("to the rim", room.volume, "volume"),
        Fact("water to the standpipe", level.volume * density, "mass"),
        Fact("empty and water to the standpipe", empty + level.volume * density, "mass"),
        Fact("rim above the standpipe", level.rim_above, "length"),
    )
    return replace(made, facts=facts)


def wall_faces(room: Solid) -> tuple[float, np.ndarray]:
    """Area [m²] and centre (3,) m of walls and floor; the top is open."""
    top = room.bounds[1, 2]
    a, b, c = np.moveaxis(room.vertices[room.faces], 1, 0)
    lid = np.all(room.vertices[room.faces][..., 2] > top - 1e-9, axis=1)
    areas = np.where(lid, 0.0, np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2)
    area = float(areas.sum())
    return area, areas @ ((a + b + c) / 3) / area
