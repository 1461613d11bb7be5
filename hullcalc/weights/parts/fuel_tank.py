"""A fuel tank from its sizes: four volumes, the mass of its shell, full mass, and sizes for a wished range.

Boat frame, SI. "Capacity" means four things, so none is assumed: gross (all the room inside), 95 % of it (how ISO 14946
counts a tank that is full), usable (95 % less what the pick-up cannot reach), unusable. What the pick-up cannot reach
depends on how she lies, so it is asked of a plane.

Shells: aluminium sheet with baffles (sheet area times thickness times density), or polyethylene. The 0.250 in of
inspected passenger vessels (46 CFR 58.50-5) is no rule for a private boat and doubles the shell.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_number, as_vector, require
from hullcalc.geometry.makers import box, prism
from hullcalc.geometry.solid import Solid
from hullcalc.weights.parts.bracket import Plate, plate_lines, share_of
from hullcalc.weights.parts.part import Fact, Line, Part, line
from hullcalc.weights.parts.sea import UPRIGHT, level_with
from hullcalc.weights.parts.shells import bottom_at, faces_of, inset

GASOLINE, U_GASOLINE = 740.0, 15.0  # kg/m³
FULL = 0.95  # of the gross volume: ISO 14946:2021 counts installed tanks so
BAFFLE = 0.7  # of the section: a baffle's corners and ports are cut out; common practice, no source
FITTINGS = 0.10  # of the shell: baffles, flanges and fittings where none are listed; common practice
PICKUP = 0.012  # m above the bottom; common practice, no source
SWELL = 0.015  # of polyethylene after the first fill: 1 to 2 %, from memory


@dataclass(frozen=True, eq=False, kw_only=True)
class FuelTank(Part):
    """A fuel tank; `outer` is the body that has to fit, `holds` the room inside, `pickup` the mouth of its pipe."""

    outer: Solid
    pickup: np.ndarray
    density: float = GASOLINE

    @property
    def gross(self) -> float:
        """All the room inside [m³]."""
        return self.room.volume

    @property
    def full(self) -> float:
        """95 % of the gross volume [m³]."""
        return FULL * self.gross

    def unusable(self, normal: ArrayLike = UPRIGHT) -> float:
        """What lies below the pick-up's mouth when she lies so [m³]; `normal` is the sea's, in boat axes."""
        return self.room.cut(normal, _offset(self.pickup, normal)).volume

    def usable(self, normal: ArrayLike = UPRIGHT) -> float:
        """95 % less what the pick-up cannot reach [m³], not less than zero."""
        return max(0.0, self.full - self.unusable(normal))

    @property
    def full_mass(self) -> float:
        """Shell and 95 % of fuel [kg]."""
        return float(self.item.mass) + self.full * self.density


def _offset(point: np.ndarray, normal: ArrayLike) -> float:
    return level_with(point, normal) * float(np.linalg.norm(np.asarray(normal, dtype=float)))


def box_tank(length: float, width: float, height: float, at: ArrayLike) -> Solid:
    """A box about `at` = (x of its middle, y of its middle, z of its bottom) [m]."""
    x, y, z = _place(at)
    length, width, height = (_size(n, v) for n, v in (("length", length), ("width", width), ("height", height)))
    return box((x - length / 2, x + length / 2), (y - width / 2, y + width / 2), (z, z + height))


def wedge_tank(length: float, width: float, height: float, height_forward: float, at: ArrayLike) -> Solid:
    """A tank of flat top whose bottom rises forward: `height` at its aft end, `height_forward` ahead (0: a point)."""
    x, y, z = _place(at)
    length, width, height = (_size(n, v) for n, v in (("length", length), ("width", width), ("height", height)))
    ahead = as_number(height_forward, "height_forward", "m")
    require(0 <= ahead <= height, "height_forward", ahead, "m", f"must lie between 0 and the height, {height:g} m",
            "the bottom rises forward; for a box leave it out")  # fmt: skip
    top, aft, fore = z + height, x - length / 2, x + length / 2
    outline = [(aft, z), (fore, top - ahead), (fore, top), (aft, top)]
    return prism(outline if ahead > 0 else [outline[0], *outline[2:]], "y", y - width / 2, y + width / 2)


def v_tank(length: float, width: float, height: float, deadrise: float, at: ArrayLike, floor: float = 0.0) -> Solid:
    """A tank whose bottom is a V of `deadrise` [rad] with a flat `floor` across its keel [m]; `at` has its lowest z.

    Raises InputError where the V would rise above the top.
    """
    x, y, z = _place(at)
    length, width, height = (_size(n, v) for n, v in (("length", length), ("width", width), ("height", height)))
    floor = as_number(floor, "floor", "m")
    require(0 < deadrise < np.radians(60), "deadrise", deadrise, "rad", "must lie between 0 and 60 degrees", "of the V")
    require(0 <= floor < width, "floor", floor, "m", f"must lie between 0 and the width, {width:g} m", "flat of the V")
    rise = (width - floor) / 2 * np.tan(deadrise)
    require(
        rise < height, "height", height, "m", f"is less than the V rises, {rise:.3f} m", "make it higher or narrower"
    )
    half, flat, top = width / 2, floor / 2, z + height
    keel = [(y - flat, z), (y + flat, z)] if floor > 0 else [(y, z)]
    outline = [*keel, (y + half, z + rise), (y + half, top), (y - half, top), (y - half, z + rise)]
    return prism(outline, "x", x - length / 2, x + length / 2)


def _place(at: ArrayLike) -> np.ndarray:
    return as_vector(at, "place of the tank")


def _size(name: str, value: float) -> float:
    value = as_number(value, name, "m")
    require(0.02 <= value <= 6, f"{name} of the tank", value, "m", "must lie between 0.02 and 6 m", "check its unit")
    return value


def shell_lines(
    name: str, body: Solid, thickness: float, density: float, baffles: int | None = None, fittings: float = FITTINGS
) -> tuple[Line, ...]:
    """The sheets of a tank, its baffles, and `fittings` as a share of them.

    With `baffles` given each is a plate across, evenly spaced, 70 % of the section there (the rest is cut out);
    without, `fittings` stands for them too.
    """
    plates = [
        Plate(f"sheet, {face.side}", face.area, thickness, density, np.array(face.centre)) for face in faces_of(body)
    ]
    low, high = body.bounds[:, 0]
    for k in range(baffles or 0):
        x = low + (k + 1) / ((baffles or 0) + 1) * (high - low)
        section = body.cut((1.0, 0.0, 0.0), x)
        plates.append(Plate(f"baffle {k + 1}", BAFFLE * section.area, thickness, density, section.area_centroid))
    what = "fittings, flanges" if baffles else "baffles, flanges, fittings"
    return plate_lines(name, plates, fittings, what)


def plastic_lines(name: str, body: Solid, wall: float, density: float, fittings: float = 0.05) -> tuple[Line, ...]:
    """A moulded shell as one line, wall times area times density, and its fittings as a share."""
    sides = faces_of(body)
    area = sum(side.area for side in sides)
    centre = sum((side.area * side.centre for side in sides), start=np.zeros(3)) / area
    how = f"{area:.2f} m² x {wall * 1000:.3g} mm x {density:.0f} kg/m³"
    shell = line(name, "moulded shell", how, area * wall * density, centre, "calculated")
    return (shell, share_of(name, [shell], fittings, "fittings, hold-downs"))


def fuel_tank(
    name: str,
    shape: Solid,
    measured: str,
    wall: float,
    lines: Sequence[Line],
    *,
    basis: str = "calculated",
    density: float = GASOLINE,
    pickup: ArrayLike | None = None,
    swells: bool = False,
    says: Sequence[str] = (),
) -> FuelTank:
    """A tank of a shape that was measured "inside" or "outside" its wall [m].

    `pickup` is the place of the pipe's mouth; without one it is taken 12 mm above the bottom, on the tank's middle
    line, a tenth of the length ahead of its aft end, and that is said.
    """
    wall, density = as_number(wall, "wall", "m"), as_number(density, "density of the fuel", "kg/m3")
    mend = "gasoline is about 740"
    require(500 < density < 1100, "density of the fuel", density, "kg/m3", "must lie between 500 and 1100", mend)
    if measured not in ("inside", "outside"):
        raise InputError(f'measured = {measured!r}; write "inside" or "outside": it makes some per cent of the litres')
    require(0 < wall < 0.05, "wall", wall, "m", "must lie between 0 and 50 mm", "give the thickness of the sheet")
    inner = shape if measured == "inside" else inset(shape, wall)
    outer = shape if measured == "outside" else inset(shape, -wall)
    notes = list(says)
    mouth = as_vector(pickup, "pickup") if pickup is not None else _usual_pickup(inner, notes)
    (low, high) = inner.bounds
    mend = "give its mouth in boat axes"
    require((mouth >= low - 1e-9) & (mouth <= high + 1e-9), "pickup", mouth, "m", "lies outside the tank", mend)
    if swells:
        notes.append(f"Polyethylene swells {100 * SWELL:g} % or so after the first fill: leave room round it")
    made = FuelTank(name=name, lines=tuple(lines), basis=basis, holds=inner, outer=outer, pickup=mouth, density=density,
                    says=tuple(notes))  # fmt: skip
    facts = (
        Fact("gross", made.gross, "volume"),
        Fact("95 % of gross", made.full, "volume"),
        Fact("usable, level", made.usable(), "volume"),
        Fact("below the pick-up, level", made.unusable(), "volume"),
        Fact("full to 95 %, shell and fuel", made.full_mass, "mass"),
        Fact("uncertainty of that from the fuel's density", made.full * U_GASOLINE, "mass"),
    )
    return replace(made, facts=facts)


def _usual_pickup(inner: Solid, notes: list[str]) -> np.ndarray:
    notes.append("Pick-up taken 12 mm above the bottom, a tenth of the length ahead of the aft end: common practice")
    (x0, y0, _), (x1, y1, _) = inner.bounds
    x, y = x0 + 0.1 * (x1 - x0), (y0 + y1) / 2
    return np.array([x, y, bottom_at(inner, x, y) + PICKUP])


@dataclass(frozen=True)
class Wish:
    """What a trip takes: usable and gross litres [m³], and how much of the usable is kept back [m³]."""

    usable: float
    gross: float
    reserve: float


def volume_for(miles: float, per_mile: float, reserve: float, unusable: float = 0.0) -> Wish:
    """The tank for a wished range.

    Parameters
    ----------
    miles : float
        There and back [nautical miles].
    per_mile : float
        Fuel burned [m³ a nautical mile].
    reserve : float
        Share of the usable fuel that is still there at the end: 1/3 for the rule of thirds, 0.1 for a tenth.
    unusable : float
        What the pick-up cannot reach [m³].

    Raises
    ------
    InputError
        For figures that are not positive or a reserve outside 0 to 0.9.
    """
    for name, value, unit in (("miles", miles, "nm"), ("litres_per_mile", per_mile, "m3/nm")):
        require(as_number(value, name, unit) > 0, name, value, unit, "must be positive", "what is the trip?")
    require(0 <= reserve <= 0.9, "reserve", reserve, "", "must lie between 0 and 0.9", "a third is 33 %")
    usable = miles * per_mile / (1 - reserve)
    return Wish(usable, (usable + unusable) / FULL, usable * reserve)


def range_of(usable: float, per_mile: float, reserve: float) -> float:
    """Nautical miles from usable fuel [m³] with the reserve left: planning only, weather and burn are yours."""
    require(per_mile > 0, "litres_per_mile", per_mile, "m3/nm", "must be positive", "what does she burn?")
    require(0 <= reserve <= 0.9, "reserve", reserve, "", "must lie between 0 and 0.9", "a third is 33 %")
    return usable * (1 - reserve) / per_mile


def length_for(gross: float, tank: Solid) -> float:
    """Length [m] that a tank of the same section needs for a gross volume [m³]; its section is even along x."""
    low, high = tank.bounds[:, 0]
    return float((high - low) * gross / tank.volume)
