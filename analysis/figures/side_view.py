"""The boat from the side, held still while the water lines move: one for each plan; the marks with their millimetres.

Forward is to the right and one scale serves both directions. The first case is the boat drawn (her pod, tanks, liquids
and engine); the others give their water lines. All is shown with spaces shut. Water lines are those on the centreline.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes

from analysis.figures import shapes
from analysis.figures.frame import Drawn, Room, headline, length_axis, name_line_ends, name_width, to_scale
from analysis.figures.ground import AnyFigure
from analysis.figures.labels import Label, in_lines, place_labels
from analysis.figures.style import (
    ENGINE,
    FUEL,
    HAIR,
    HULL,
    INK,
    LIVEWELL,
    MOVED,
    MUTED,
    PAPER,
    SMALL,
    WATER,
    WATER_EDGE,
    looks_of,
)
from analysis.studies.floats import NOT_WATCHED, Case
from analysis.studies.mends import Moved
from analysis.studies.words import say_change, stem
from hullcalc.units import say_height, say_mass, say_trim, say_volume

BEYOND = 0.35  # m of water drawn beyond boat and engine at each end
ROOM_ABOVE, ROOM_BELOW = 76.0, 48.0  # px for labels over and under the boat
EDGE = 4.0  # px at the left
HEAD = 10.0  # px of an arrow's head
MOST_MARKS = 4  # besides the foremost; more than these are not read
CIRCLE = 6.0  # points across
GASOLINE_LIKE = 900.0  # kg/m3: a liquid lighter than this is drawn as fuel, a heavier one as water


def side_view(
    ax: Axes,
    cases: Sequence[Case],
    *,
    marks: Sequence[str] | None = None,
    moved: Sequence[Moved] = (),
    system: str = "metric",
    hurry: bool = False,
) -> Drawn:
    """Draw the first case's boat with the water line of each case.

    Parameters
    ----------
    cases
        The plan shown, then those to compare it with; all of one boat. The Axes must have its final place and size.
    marks
        Names of the marks shown; None: those of `side_marks`.
    moved
        Weights that a mend would move, drawn as arrows with what they buy.
    system
        "metric" or "us".
    hurry
        For a picture that follows a slider: see `place_labels`.
    """
    case = cases[0]
    looks = looks_of(cases)
    outline, pods, engines = shapes.profile(case.boat.hull), pod_outlines(case), _engines(case)
    low, high = _extent(case)
    reach = np.array([low[0], high[0]])
    names = [c.plan for c in cases]
    to_scale(ax, low, high, Room(EDGE, name_width(ax.figure, names), ROOM_ABOVE, ROOM_BELOW))
    length_axis(ax, reach, "forward of the transom's lower end, heights to the same scale", system)

    artists = water(ax, case, shapes.SIDE, reach)
    artists += ax.fill(*outline.T, facecolor=HULL, edgecolor=INK, linewidth=1.4, zorder=2)
    artists += ax.plot(*shapes.chine(case.boat.hull).T, color=HAIR, linewidth=0.8, zorder=2.2)
    artists += _sole(ax, case)
    for engine in engines:
        artists += ax.fill(*engine.T, facecolor=ENGINE, edgecolor=MUTED, linewidth=1.0, zorder=1.8)
    labels = []
    sheer = float(outline[-2, 1])  # at the transom
    for name, pod in pods.items():
        artists += ax.fill(*pod.T, facecolor=PAPER, edgecolor=INK, linewidth=1.0, hatch="....", zorder=2.1)
        text = f"{name}, open to the sea" if name in case.held_open else name
        labels.append(Label(text, inner_points(pod), ("low", "high"), colour=MUTED, clear=0.0))
    for name, tank, liquid, colour, litres in tanks(case):
        artists += ax.fill(*liquid.T, facecolor=colour, edgecolor="none", zorder=2.3) if len(liquid) else []
        artists += ax.fill(*tank.T, facecolor="none", edgecolor=MUTED, linewidth=0.9, zorder=2.4)
        text = f"{name}: {say_volume(litres / 1000, system)}" if litres > 0 else f"{name}: empty"
        away = ("high", "low") if tank[:, 1].max() > sheer else ("low", "high")
        labels.append(Label(text, inner_points(tank), ("on", *away), clear=0.0))
    artists += water_lines(ax, cases, shapes.SIDE, reach)
    for weight in moved:
        artists += _arrow(ax, weight)
        text = f"{weight.name}\n{say_mass(weight.mass, system)}: {say_change(-weight.mm, system)}"
        labels.append(Label(text, [_top_of_arc(weight)], ("high",), colour=MOVED, clear=2.0))
    shown = side_marks(case) if marks is None else list(marks)
    artists += mark_circles(ax, case, shown, shapes.SIDE)
    labels += mark_labels(case, shown, shapes.SIDE, system)
    ends = [(reach[1], float(shapes.plane_in_view(c.shut.plane, shapes.SIDE)(reach[1]))) for c in cases]
    artists += name_line_ends(ax, ends, names, [looks[name] for name in names])
    artists.append(headline(ax, side_words(cases)))
    places, texts = place_labels(ax, labels, hurry)
    return Drawn([*artists, *texts], places)


def side_words(cases: Sequence[Case]) -> str:
    """The trim of each plan in words."""
    return "From the side: " + "; ".join(f"{c.plan} {say_trim(float(c.shut.trim))}" for c in cases)


def side_view_height(figure: AnyFigure, cases: Sequence[Case], width: float) -> float:
    """Pixels an Axes of so many pixels' width should be high, so that the boat fills it."""
    low, high = _extent(cases[0])
    across = width - EDGE - name_width(figure, [c.plan for c in cases])
    return across * (high[1] - low[1]) / (high[0] - low[0]) + ROOM_ABOVE + ROOM_BELOW


def _extent(case: Case) -> tuple[np.ndarray, np.ndarray]:
    """Lower left and upper right corner of boat, pods and engines from the side, with water beyond both ends [m]."""
    parts = [shapes.profile(case.boat.hull), *pod_outlines(case).values(), *_engines(case)]
    beyond = np.array([BEYOND, 0.0])
    low, high = np.min([p.min(axis=0) for p in parts], axis=0), np.max([p.max(axis=0) for p in parts], axis=0)
    return low - beyond, high + beyond


def _engines(case: Case) -> list[np.ndarray]:
    return [shapes.ENGINE_SIDE + shapes.to_view(place, shapes.SIDE) for place in shapes.engine_places(case)]


def side_marks(case: Case) -> list[str]:
    """Marks worth showing from the side, by x: the least ones and the foremost.

    Of a pair port and starboard the lower one; no stripes, draughts or deck edges.
    """
    lowest: dict[tuple, str] = {}
    for name in case.watched():
        mark = case.marks[name]
        if mark.kind not in (*NOT_WATCHED, "freeboard"):
            lowest.setdefault((stem(name), mark.kind, *np.round(mark.point[[0, 2]], 6)), name)
    least_first = list(lowest.values())
    foremost = max(least_first, key=lambda name: case.marks[name].point[0], default=None)
    shown = [name for i, name in enumerate(least_first) if i < MOST_MARKS or name == foremost]
    return sorted(shown, key=lambda name: case.marks[name].point[0])


def inner_points(outline: np.ndarray) -> list[tuple[float, float]]:
    """Points inside a convex outline that a leader may end at, the middle first."""
    middle = outline[:-1].mean(axis=0)
    points = [middle, *(middle + 0.6 * (edge - middle) for edge in (outline[:-1] + outline[1:]) / 2)]
    return [(float(x), float(z)) for x, z in points]


def pod_outlines(case: Case, view: str = shapes.SIDE) -> dict[str, np.ndarray]:
    """Outlines of the bodies that float her beside the hull, by name."""
    solids = case.boat.solids_in(case.packages)
    return {n: shapes.silhouette(s, view) for n, s in solids.items() if s is not case.boat.hull.solid}


def tanks(case: Case, view: str = shapes.SIDE) -> list[tuple[str, np.ndarray, np.ndarray, str, float]]:
    """Of each tank: name, outline, outline of its liquid (level with the water), colour and litres of liquid."""
    drawn = []
    for tank, liquid in zip(case.state.loading.tanks, case.shut.liquids, strict=True):
        outline = shapes.silhouette(tank.solid, view)
        through = float(tank.solid.centroid[1 if view == shapes.SIDE else 0])
        wet = np.empty((0, 2))
        if liquid.mass > 0:
            surface = shapes.plane_in_view((case.shut.plane[0], float(liquid.surface_offset)), view, through)
            wet = shapes.below(outline, surface)
        colour = FUEL if tank.density < GASOLINE_LIKE else LIVEWELL
        drawn.append((tank.name, outline, wet, colour, 1000 * float(liquid.mass) / tank.density))
    return drawn


def water(ax: Axes, case: Case, view: str, reach: np.ndarray, at: float = 0.0) -> list[Artist]:
    """The tint under the case's water line, from one end of `reach` to the other and down to the axis."""
    bottom = ax.get_ylim()[0]
    line = shapes.plane_in_view(case.shut.plane, view, at)(reach)
    return list(ax.fill([*reach, *reach[::-1]], [*line, bottom, bottom], facecolor=WATER, edgecolor="none", zorder=1))


def water_lines(ax: Axes, cases: Sequence[Case], view: str, reach: np.ndarray, at: float = 0.0) -> list[Artist]:
    """The water line of each case, the first on top."""
    looks = looks_of(cases)
    artists: list[Artist] = []
    for order, case in enumerate(cases):
        look = looks[case.plan]
        line = shapes.plane_in_view(case.shut.plane, view, at)(reach)
        artists += ax.plot(
            reach, line, color=look.colour, linestyle=look.dashes, linewidth=look.width, zorder=4 - order / 10
        )
    return artists


def mark_circles(ax: Axes, case: Case, names: Sequence[str], view: str) -> list[Artist]:
    """A small circle at each mark: white above water, filled under it."""
    artists: list[Artist] = []
    for name in names:
        x, z = shapes.to_view(case.marks[name].point, view)
        fill = WATER_EDGE if case.heights_shut[name] < 0 else PAPER
        artists += ax.plot(
            x, z, "o", markersize=CIRCLE, markerfacecolor=fill, markeredgecolor=INK, markeredgewidth=1.2, zorder=5
        )
    return artists


def mark_labels(
    case: Case, names: Sequence[str], view: str, system: str, where: Sequence[str] = ("high", "low")
) -> list[Label]:
    """Each mark's name and its height in words."""
    labels = []
    for name in names:
        x, z = shapes.to_view(case.marks[name].point, view)
        height = case.heights_shut[name]
        weight = "bold" if height < 0 else "normal"
        text = f"{in_lines(name)}\n{say_height(height, system)}"
        labels.append(Label(text, [(float(x), float(z))], tuple(where), size=SMALL, weight=weight, clear=8.0))
    return labels


def _sole(ax: Axes, case: Case) -> list[Artist]:
    """The sole as a dotted line through its marks, where it has marks at two places along the boat."""
    points = sorted({(float(m.point[0]), float(m.point[2])) for m in case.marks.values() if m.kind == "sole"})
    if len(points) < 2:
        return []
    return list(ax.plot(*np.array(points).T, color=MUTED, linewidth=1.0, linestyle=(0, (1, 2)), zorder=2.5))


def _arc(weight: Moved) -> np.ndarray:
    """A bow from where a weight is to where it goes, (k, 2) in x and z: raised so that it stands clear of the lines."""
    start, end = shapes.to_view(weight.start, shapes.SIDE), shapes.to_view(weight.end, shapes.SIDE)
    t = np.linspace(0, 1, 40)[:, None]
    top = (start + end) / 2 + np.array([0.0, 0.25 + 0.22 * abs(end[0] - start[0])])
    return (1 - t) ** 2 * start + 2 * t * (1 - t) * top + t**2 * end


def _top_of_arc(weight: Moved) -> tuple[float, float]:
    arc = _arc(weight)
    x, z = arc[np.argmax(arc[:, 1])]
    return float(x), float(z)


def _arrow(ax: Axes, weight: Moved) -> list[Artist]:
    arc = _arc(weight)
    pixels = ax.transData.transform(arc)
    tip = pixels[-1]
    to_tip = np.hypot(*(tip - pixels).T)
    shaft = arc[to_tip >= HEAD - 2]
    away = tip - pixels[np.flatnonzero(to_tip >= HEAD)[-1]]
    away = away / np.hypot(*away)
    across = np.array([-away[1], away[0]])
    head = ax.transData.inverted().transform([tip, tip - HEAD * away + 4.5 * across, tip - HEAD * away - 4.5 * across])
    artists: list[Artist] = list(ax.plot(*shaft.T, color=MOVED, linewidth=1.6, zorder=4.6))
    artists += ax.plot(*arc[0], "o", markersize=4, color=MOVED, zorder=4.6)
    artists += ax.fill(*head.T, facecolor=MOVED, edgecolor="none", zorder=4.7)
    return artists
