"""A T-top or a leaning post: tube by diameter, wall, straights and bends; panels; gear on top; what the wind sees.

Boat frame, SI. Welds and plates of a frame come to about a tenth of its tube (common practice, no source). Windage is
the area that each thing shows from the side and from ahead, each counted in full: what stands behind another shows
too, which is on the heavy side for a frame of two legs. Only area and centre are told here; no force, no heel.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_number, as_vector, require
from hullcalc.weights.parts.bracket import share_of
from hullcalc.weights.parts.materials import covering, tube_mass_per_length
from hullcalc.weights.parts.part import Fact, Line, Part, line
from hullcalc.weights.parts.paths import Path, tube_path

WELDS = 0.10  # of the tube: welds, plates, feet
STANDS = ("flat", "fore and aft", "across")


@dataclass(frozen=True)
class Windage:
    """What the wind sees: area [m²], its centre's height and place along or across the boat [m]; nan of no area."""

    area: float
    along: float  # x of the centre seen from the side, y seen from ahead
    height: float


@dataclass(frozen=True, eq=False)
class Shown:
    """The area of one thing seen from the side (xz) and from ahead (yz) [m²], and its centres (3,) m in both."""

    side: float
    ahead: float
    side_centre: np.ndarray
    ahead_centre: np.ndarray


@dataclass(frozen=True, eq=False, kw_only=True)
class Top(Part):
    """A frame with what is on it; the wind sees `from_the_side` and `from_ahead`."""

    from_the_side: Windage
    from_ahead: Windage


@dataclass(frozen=True, eq=False)
class Tube:
    """A run of tube: what it is, outer diameter and wall [m], density [kg/m³], its path; `paired` at +y and -y."""

    what: str
    diameter: float
    wall: float
    density: float
    path: Path
    paired: bool = False


@dataclass(frozen=True, eq=False)
class Panel:
    """A panel or cloth: length x width [m], mass per area [kg/m²] (low, likely, high), thickness [m], centre (3,) m.

    `stands` is "flat" (length along the boat, width across), "fore and aft" (length along, width upright) or "across"
    (length across, width upright).
    """

    what: str
    length: float
    width: float
    per_area: tuple[float, float, float]
    thickness: float
    centre: np.ndarray
    stands: str = "flat"
    source: str = ""


@dataclass(frozen=True, eq=False)
class Gear:
    """A thing on top, from a sheet or scale: a line of the sum and the areas it shows [m²] at its own centre."""

    line: Line
    side: float = 0.0
    ahead: float = 0.0


def tube(what: str, diameter: float, wall: float, density: float, points: ArrayLike, radius: float = 0.0,
         paired: bool = False) -> Tube:  # fmt: skip
    """A run of tube through points, its bends of one `radius`; see `paths.tube_path` for what it refuses."""
    try:
        path = tube_path(points, radius)
    except InputError as problem:
        raise InputError(f"{what}: {problem}") from None
    tube_mass_per_length(diameter, wall, density)
    if 0 < radius < diameter / 2:
        raise InputError(f"{what}: bend radius {radius:g} m is less than half the tube; give that of its middle line")
    if paired and np.any(path.pieces()[..., 1] < -1e-9):
        raise InputError(f"{what}: a pair is given by its port half, y to port; take the starboard points out")
    return Tube(what, diameter, wall, density, path, paired)


def panel(what: str, length: float, width: float, centre: ArrayLike, *, made_of: str = "",
          per_area: float | None = None, thickness: float = 0.0, stands: str = "flat") -> Panel:  # fmt: skip
    """A panel of a covering from the reference table, or of a mass per area [kg/m²] of one's own."""
    for name, value in (("length", length), ("width", width)):
        value = as_number(value, f"{name} of {what}", "m")
        require(0 < value <= 8, f"{name} of {what}", value, "m", "must lie between 0 and 8 m", "check its unit")
    require(
        0 <= thickness <= 0.3, f"thickness of {what}", thickness, "m", "must lie between 0 and 0.3 m", "of its edge"
    )
    if stands not in STANDS:
        raise InputError(f"{what}: stands {stands!r} is not known; write one of: {', '.join(STANDS)}")
    if (per_area is None) == (not made_of):
        raise InputError(f"{what}: give what it is made of, or a mass per area, one of them")
    if per_area is None:
        low, likely, high, _ = covering(made_of)
        at = as_vector(centre, what)
        return Panel(what, length, width, (low, likely, high), thickness, at, stands, made_of)
    require(0 < per_area <= 60, f"mass per area of {what}", per_area, "kg/m2", "must lie between 0 and 60", "its unit?")
    return Panel(what, length, width, (per_area,) * 3, thickness, as_vector(centre, what), stands)


def top(
    name: str,
    tubes: Sequence[Tube],
    panels: Sequence[Panel] = (),
    gear: Sequence[Gear] = (),
    welds: float = WELDS,
    says: Sequence[str] = (),
) -> Top:
    """A frame of tube, panels and gear; raises InputError where there is nothing of any of them."""
    if not tubes and not panels and not gear:
        raise InputError(f"{name}: there is nothing to weigh; give tubes, panels or gear")
    lines = [_tube_line(name, one) for one in tubes]
    if tubes and welds:
        lines.append(share_of(name, lines, welds, "welds, plates, feet"))
    lines += [_panel_line(name, one) for one in panels]
    lines += [one.line for one in gear]
    shown = [*map(_of_tube, tubes), *map(_of_panel, panels), *map(_of_gear, gear)]
    notes = list(says)
    if any(one.side == one.ahead == 0 for one in gear):
        notes.append("Gear without areas shows nothing to the wind here: give side_area and ahead_area")
    notes.append("Windage: each thing counted in full, those behind others too; area and centre only, no force")
    side, ahead = _windage(shown, "side"), _windage(shown, "ahead")
    length = sum((2 if one.paired else 1) * one.path.length for one in tubes)
    facts = [Fact("tube, all runs", length, "length")]
    for view, seen in (("from the side", side), ("from ahead", ahead)):
        if seen.area > 0:
            facts.append(Fact(f"windage {view}", seen.area, "area"))
            facts.append(Fact(f"centre of it above the keel line, {view}", seen.height, "length"))
    basis = "calculated" if tubes or panels else gear[0].line.item.basis
    return Top(name=name, lines=tuple(lines), basis=basis, says=tuple(notes), facts=tuple(facts), from_the_side=side,
               from_ahead=ahead)  # fmt: skip


def _tube_line(name: str, one: Tube) -> Line:
    per_length = tube_mass_per_length(one.diameter, one.wall, one.density)
    times = 2 if one.paired else 1
    centre = one.path.centre * ([1.0, 0.0, 1.0] if one.paired else [1.0, 1.0, 1.0])
    bent = f", {one.path.bent_length:.2f} m of it bent" if one.path.bends else ""
    how = f"{'2 x ' if one.paired else ''}{one.path.length:.2f} m{bent} x {per_length:.3f} kg/m"
    alike = f"{name}: tube"
    return line(name, one.what, how, times * one.path.length * per_length, centre, "calculated", shared=alike,
                placed_by=alike)  # fmt: skip


def _panel_line(name: str, one: Panel) -> Line:
    low, likely, high = one.per_area
    area = one.length * one.width
    how = f"{area:.2f} m² x {likely:g} kg/m²" + (f", {one.source}" if one.source else "")
    if low == high:
        return line(name, one.what, how, area * likely, one.centre, "calculated")
    return line(name, one.what, how, area * likely, one.centre, "calculated", low=area * low, high=area * high)


def _of_tube(one: Tube) -> Shown:
    pieces = one.path.pieces()
    if one.paired:
        pieces = np.concatenate([pieces, pieces * [1.0, -1.0, 1.0]])
    run, middle = pieces[:, 1] - pieces[:, 0], pieces.mean(axis=1)
    side, ahead = np.hypot(run[:, 0], run[:, 2]), np.hypot(run[:, 1], run[:, 2])
    return Shown(one.diameter * side.sum(), one.diameter * ahead.sum(), _mean(side, middle), _mean(ahead, middle))


def _of_panel(one: Panel) -> Shown:
    edge = one.thickness
    side, ahead = {
        "flat": (one.length * edge, one.width * edge),
        "fore and aft": (one.length * one.width, edge * one.width),
        "across": (edge * one.width, one.length * one.width),
    }[one.stands]
    return Shown(side, ahead, one.centre, one.centre)


def _of_gear(one: Gear) -> Shown:
    at = one.line.item.centre if float(one.line.item.mass) > 0 else np.zeros(3)
    return Shown(one.side, one.ahead, at, at)


def _mean(weights: np.ndarray, points: np.ndarray) -> np.ndarray:
    total = weights.sum()
    return points.mean(axis=0) if total == 0 else weights @ points / total


def _windage(shown: Sequence[Shown], view: str) -> Windage:
    areas = np.array([getattr(one, view) for one in shown])
    centres = np.array([getattr(one, f"{view}_centre") for one in shown])
    area = float(areas.sum())
    if area == 0:
        return Windage(0.0, float("nan"), float("nan"))
    x, y, z = areas @ centres / area
    return Windage(area, float(x if view == "side" else y), float(z))
