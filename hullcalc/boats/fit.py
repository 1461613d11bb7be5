"""Do bodies and marks fit the hull: tanks and spaces inside it, pods outside it, marks on or near the boat.

The hull is asked through its own lines: at any x a section of straight pieces from keel to sheer. Above the sheer a
tank may stand clear of the hull. Figures in messages are whole millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from hullcalc.boats.marks import Mark
from hullcalc.boats.presence import can_meet
from hullcalc.boats.read_parts import Parts
from hullcalc.boats.settings import Settings
from hullcalc.boats.spaces import BoatTank, Pod, Space, common_part
from hullcalc.errors import LOOK, Problems
from hullcalc.geometry.solid import Solid
from hullcalc.measuring.stations import Hull
from hullcalc.units import say_position, say_volume

SLACK = 0.002  # m: measured by tape, two faces that touch may cross by this
CLEAR = 0.015  # m between a tank and the bottom, to lay bedding and let water run; common practice, no source
POD_OVERLAP = 0.001  # m³ counted twice that is worth a look
GRID = 41  # points a side to sample an overlap with the hull
CAPACITY_SLIP = 0.02
FAR = 3.0  # m outside the hull: nothing of a boat stands there


@dataclass(frozen=True)
class Outside:
    """Where a point lies outside the hull: distance to the surface, height to raise it [m], and which face."""

    distance: float
    raise_by: float
    face: str  # "bottom", "side", "transom" or "stem"


def section(hull: Hull, x: float) -> np.ndarray:
    """Half section (lines, 2) of half-breadth and height [m] from keel to sheer; aft of x = 0 that of the transom."""
    at = max(x, 0.0)
    return np.array([[np.interp(at, line[:, 0], line[:, k]) for k in (1, 2)] for line in hull.lines.values()])


def outside(hull: Hull, point: np.ndarray) -> Outside | None:
    """How a point lies outside the hull; None where it is inside, on the skin, or above the sheer."""
    x, y, z = (float(v) for v in point)
    y = abs(y)
    half = section(hull, x)
    if z > half[-1, 1]:
        return None
    aft, ahead = -z * np.tan(hull.transom_rake) - x, x - max(line[-1, 0] for line in hull.lines.values())
    if aft > SLACK:
        return Outside(float(aft * np.cos(hull.transom_rake)), 0.0, "transom")
    if ahead > SLACK:
        return Outside(float(ahead), 0.0, "stem")
    distance = _distance(half, np.array([y, z]))
    if distance <= SLACK or _in_section(half, np.array([y]), np.array([z]))[0]:
        return None
    bottom = half[:-1] if len(half) > 2 else half  # from keel to the chine
    below = float(np.interp(y, np.maximum.accumulate(bottom[:, 0]), bottom[:, 1]))
    under = y <= bottom[:, 0].max() and z < below
    return Outside(distance, below - z if under else 0.0, "bottom" if under else "side")


def check_tanks(hull: Hull, tanks: Parts, problems: Problems) -> None:
    """Tanks lie inside the hull, and hold what was typed as their capacity."""
    for row, tank in tanks.made:
        if not isinstance(tank, BoatTank) or tanks.table is None:
            continue
        low, high = tank.solid.vertices.min(axis=0), tank.solid.vertices.max(axis=0)
        gross = tank.solid.volume
        typed, gross_said = row.read["capacity"], say_volume(gross)
        slip = tank.capacity is not None and abs(tank.capacity / gross - 1) > CAPACITY_SLIP
        other = typed not in ("", gross_said, gross_said.split()[0])
        capacity = f'Capacity {gross_said} is from the box, not from your "{typed}"' if other else ""
        found = [(v, out) for v in tank.solid.vertices if (out := outside(hull, v)) is not None]
        if found:
            corner, worst = max(found, key=lambda pair: pair[1].distance)
            size = " x ".join(_metres(v) for v in high - low)
            lower = "lower corners" if worst.face == "bottom" else "corners"
            problems.append(
                tanks.table.problem(
                    row, "tank",
                    f"{tank.name}, {size} m at x {(low + high)[0] / 2:.2f}: {lower} {_mm(worst.distance)} mm outside "
                    f"the {worst.face} at x {corner[0]:.2f}",
                    ". ".join(filter(None, (_mend_tank(worst), capacity))), weight=20.0,
                )
            )  # fmt: skip
        elif slip:
            problems.append(
                tanks.table.problem(
                    row,
                    "capacity",
                    f"the box holds {gross_said}",
                    f"{capacity}. Mend the one that is wrong",
                    LOOK,
                    4.0,
                )
            )


def _mend_tank(worst: Outside) -> str:
    if worst.face == "bottom":
        up = int(np.ceil(round((worst.raise_by + CLEAR) * 100, 6)) * 10)
        return f"Raise it {up} mm, make it narrower and longer, or give it a V floor"
    return f"Move it {_mm(worst.distance) + 10} mm away from the {worst.face}, or make it smaller"


def check_spaces(hull: Hull, spaces: Parts, settings: Settings, problems: Problems) -> None:
    """Spaces lie inside the hull, for a part outside it would take off buoyancy that was never there."""
    made = [(row, part) for row, part in spaces.made if isinstance(part, Space)]
    for k, (row, space) in enumerate(made):
        if spaces.table is None:
            return
        found = [(v, out) for v in space.solid.vertices if (out := outside(hull, v)) is not None]
        if found:
            corner, worst = max(found, key=lambda pair: pair[1].distance)
            problems.append(
                spaces.table.problem(
                    row, "space",
                    f"{space.name}: a corner at x {corner[0]:.2f} lies {_mm(worst.distance)} mm outside "
                    f"the {worst.face}",
                    "Keep its corners inside the hull; what lies outside was never buoyancy", weight=10.0,
                )
            )  # fmt: skip
        proud = [v for v in space.solid.vertices if v[2] > section(hull, v[0])[-1, 1] + SLACK]
        if proud and not found:
            highest = max(proud, key=lambda v: v[2])
            problems.append(
                spaces.table.problem(
                    row, "space",
                    f"{space.name}: a corner at x {highest[0]:.2f} stands {highest[2]:.2f} m up, above the sheer "
                    f"({section(hull, highest[0])[-1, 1]:.2f} m), where the hull ends",
                    "Bring it down to the sheer", weight=10.0,
                )
            )  # fmt: skip
        for first, other in made[:k]:
            if can_meet(space.presence, other.presence, settings.exclusive) is None or space.name == other.name:
                continue
            shared = common_part(space.solid, other.solid)
            if shared is not None and shared.volume > POD_OVERLAP:
                problems.append(
                    spaces.table.problem(
                        row, "space", f"{space.name} and {other.name} (row {first.number}) share "
                        f"{say_volume(shared.volume)}", "Open spaces may not overlap: move a corner of one of them",
                    )
                )  # fmt: skip


def check_overlaps(tanks: Parts, solids: Parts, spaces: Parts, settings: Settings, problems: Problems) -> None:
    """Two tanks, or two pods, do not share a place; what stands tight in a space stands wholly in it."""
    for parts in (tanks, solids):
        made = [(row, part) for row, part in parts.made if isinstance(part, BoatTank | Pod)]
        for (first, one), (row, other) in combinations(made, 2):
            beside = not any(isinstance(part, Pod) and part.inside for part in (one, other))
            if parts.table is None or one.name == other.name or not beside:
                continue
            if can_meet(one.presence, other.presence, settings.exclusive) is None:
                continue
            shared = common_part(one.solid, other.solid)
            if shared is not None and shared.volume > POD_OVERLAP:
                problems.append(
                    parts.table.problem(
                        row, "tank" if parts is tanks else "solid",
                        f"{other.name} and {one.name} (row {first.number}) share {say_volume(shared.volume)}",
                        "Two bodies cannot stand in one place: check their ends and corners", weight=10.0,
                    )
                )  # fmt: skip
    rooms = [part for _, part in spaces.made if isinstance(part, Space)]
    for row, pod in solids.made:
        if not isinstance(pod, Pod) or not pod.inside or solids.table is None:
            continue
        for space in rooms:
            if space.name != pod.inside or can_meet(space.presence, pod.presence, settings.exclusive) is None:
                continue
            shared = common_part(space.solid, pod.solid)
            out = pod.solid.volume - (0.0 if shared is None else shared.volume)
            if out > POD_OVERLAP:
                problems.append(
                    solids.table.problem(
                        row, "inside", f"{say_volume(out)} of {pod.name} stand outside {space.name}",
                        "Keep its corners in the space, or take it out of this column", weight=10.0,
                    )
                )  # fmt: skip


def check_pods(hull: Hull, solids: Parts, problems: Problems) -> None:
    """Pods beside the hull do not overlap it, for the common part would float her twice."""
    for row, pod in solids.made:
        if not isinstance(pod, Pod) or pod.inside or solids.table is None:
            continue
        shared = overlap(hull, pod.solid)
        if shared > POD_OVERLAP:
            problems.append(
                solids.table.problem(
                    row, "solid",
                    f"{pod.name} and the hull share about {say_volume(shared)}: that part would float her twice",
                    "Set its front face on the transom; or if it stands tight in a space, name that in a column "
                    '"inside"',
                    LOOK, 8.0,
                )
            )  # fmt: skip


def skin_distance(hull: Hull, point: np.ndarray) -> float:
    """Distance [m] of a point from the hull's skin: its section at that x, and the transom's plane."""
    x, y, z = (float(v) for v in point)
    from_transom = abs(x + z * np.tan(hull.transom_rake)) * np.cos(hull.transom_rake)
    return min(_distance(section(hull, x), np.array([abs(y), z])), float(from_transom))


def overlap(hull: Hull, body: Solid) -> float:
    """Volume [m³] that a convex body shares with the hull, by sampling the middle of small cells of its box."""
    low, high = body.vertices.min(axis=0), body.vertices.max(axis=0)
    x_end = max(line[-1, 0] for line in hull.lines.values())
    if low[0] > x_end or high[0] < hull.solid.vertices[:, 0].min():
        return 0.0
    from scipy.spatial import ConvexHull  # here, as importing it takes a while

    cells = [low[k] + (np.arange(GRID) + 0.5) / GRID * (high[k] - low[k]) for k in range(3)]
    planes = ConvexHull(body.vertices).equations
    count = 0
    for x in cells[0]:
        y, z = (a.ravel() for a in np.meshgrid(cells[1], cells[2]))
        points = np.column_stack([np.full(y.size, x), y, z])
        in_pod = np.all(points @ planes[:, :3].T + planes[:, 3] <= 0, axis=1)
        ahead_of_transom = x >= -z * np.tan(hull.transom_rake)
        count += int(np.sum(in_pod & ahead_of_transom & _in_section(section(hull, x), abs(y), z)))
    return float(count / GRID**3 * np.prod(high - low))


def _in_section(half: np.ndarray, y: np.ndarray, z: np.ndarray) -> np.ndarray:
    """Which points (y to port, z) lie in a half section closed at the sheer."""
    inner = np.zeros(len(y), dtype=bool)
    outline = np.concatenate([half, [[0.0, half[-1, 1]]]])
    for (ya, za), (yb, zb) in zip(outline, np.roll(outline, -1, axis=0), strict=True):  # crossings of a ray to port
        crosses = (za > z) != (zb > z)
        if za != zb:
            inner ^= crosses & (y < ya + (z - za) / (zb - za) * (yb - ya))
    return inner


def check_marks(hull: Hull, marks: Parts, problems: Problems) -> None:
    """Marks lie on or near the boat."""
    low, high = hull.solid.vertices.min(axis=0) - FAR, hull.solid.vertices.max(axis=0) + FAR
    low[1], high[1] = low[1] + FAR - 0.2, high[1] - FAR + 0.2  # nothing is marked beside the boat
    for row, mark in marks.made:
        if isinstance(mark, Mark) and marks.table is not None:
            for k, axis in enumerate("xyz"):
                if not low[k] <= mark.point[k] <= high[k]:
                    problems.append(
                        marks.table.problem(
                            row,
                            axis,
                            f"{mark.name} would be {say_position(mark.point[k], axis)}, off the boat",
                            "Check the figure, its unit and the datum line of this file",
                        )
                    )


def _distance(half: np.ndarray, point: np.ndarray) -> float:
    """Distance of a point (y, z) from the pieces of a half section."""
    a, b = half[:-1], half[1:]
    along = b - a
    length = np.maximum(np.sum(along**2, axis=1), 1e-30)
    t = np.clip(np.sum((point - a) * along, axis=1) / length, 0, 1)
    return float(np.min(np.linalg.norm(point - a - t[:, None] * along, axis=1)))


def _mm(length: float) -> int:
    return round(length * 1000)


def _metres(length: float) -> str:
    """Two decimals, or three where the third is not 0."""
    text = f"{length:.3f}"
    return text[:-1] if text.endswith("0") else text
