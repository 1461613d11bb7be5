"""The boat from above: kilograms that may still be added at each place until the first mark is wet.

Forward is to the right, port above, one scale both ways. Lines join places of equal weight; beyond the last of them no
limit was found. Kilograms go over all bounds near where weight does no harm, so the lines are drawn through their
reciprocals, which run nearly straight.
"""

from __future__ import annotations

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from analysis.figures import shapes
from analysis.figures.frame import Drawn, Room, length_axis, to_scale
from analysis.figures.ground import AnyFigure
from analysis.figures.labels import Label, place_labels
from analysis.figures.pages import EDGE, Page
from analysis.figures.side_view import inner_points
from analysis.figures.style import HAIR, HULL, INK, MOVED, MUTED, PAGE_PX, PAPER, WATER_EDGE
from analysis.studies.floats import Case
from analysis.studies.isolines import lines_at, regions_between
from analysis.studies.watching import say_watched
from analysis.studies.where import ACROSS, Where, half_breadth
from analysis.studies.where_words import room_finding
from analysis.studies.words import caution
from hullcalc.units import factor, say_mass

LEVELS = {"metric": (25.0, 50.0, 100.0, 200.0), "us": (50.0, 100.0, 200.0, 400.0)}  # kg, lb
APART = 1.3  # a level nearer than this to the weight asked about, as a ratio, gives way to it
LEAST = 0.01  # kg: nearer to nothing the lines are not drawn
FREE = "#e4efe0"  # where no limit was found
ROOM_ABOVE, ROOM_BELOW = 60.0, 52.0  # px for labels over and under the boat
AXIS = 40.0
MOST_PLACES = 5  # named with their kilograms; more are not read
NEUTRALS = 2  # lines of no harm shown


def deck_view(ax: Axes, found: Where, *, system: str = "metric") -> Drawn:
    """Draw the deck map on an Axes that has its final place and size; `found.deck` must not be empty."""
    case, outline = found.case, deck_outline(found.case)
    pods = {
        n: plan_silhouette(s) for n, s in case.boat.solids_in(case.packages).items() if s is not case.boat.hull.solid
    }
    low, high = _extent(case)
    to_scale(ax, low, high, Room(4.0, 4.0, ROOM_ABOVE, ROOM_BELOW))
    length_axis(ax, (low[0], high[0]), "forward of the transom's lower end, port above, one scale both ways", system)
    artists: list[Artist] = list(ax.fill(*outline.T, facecolor=HULL, edgecolor="none", zorder=1))
    labels: list[Label] = []
    if not found.short:
        artists += _free(ax, found, labels, system)
    artists += ax.plot(*outline.T, color=INK, linewidth=1.4, zorder=3)
    for name, pod in pods.items():
        artists += ax.fill(*pod.T, facecolor=PAPER, edgecolor=INK, linewidth=1.0, hatch="....", zorder=2)
        labels.append(Label(name, inner_points(pod), ("low", "high"), colour=MUTED, clear=0.0))
    for tank in case.state.loading.tanks:
        shape = plan_silhouette(tank.solid)
        artists += ax.plot(*shape.T, color=HAIR, linewidth=0.9, linestyle=(0, (4, 2)), zorder=2.2)
        labels.append(Label(tank.name, inner_points(shape), ("on", "low", "high"), colour=MUTED, clear=0.0))
    artists += _people(ax, case, labels)
    if not found.short:
        artists += _lines(ax, found, labels, system)
    artists += _neutral(ax, found, labels)
    artists += _places(ax, found, labels, system)
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)


def deck_figure(found: Where, *, system: str = "metric", width_px: float = PAGE_PX) -> Figure:
    """The deck map with its finding over it and the caution in the foot."""
    watched = say_watched(found.marks, found.case.marks)
    title = f"{found.case.plan}, {found.case.condition} ({watched}): {room_finding(found, system)}"
    page = Page(width_px, title[:1].upper() + title[1:], f"{_reading(found)} {caution([found.case], system)}")
    tall = deck_view_height(page.figure, found.case, width_px - 2 * EDGE)
    page.panel(EDGE, width_px - 2 * EDGE, tall, lambda ax: deck_view(ax, found, system=system))
    page.down(tall + AXIS)
    return page.finish()


def deck_view_height(figure: AnyFigure, case: Case, width: float) -> float:
    """Pixels an Axes of so many pixels' width should be high, so that the boat fills it."""
    low, high = _extent(case)
    return (width - 8.0) * (high[1] - low[1]) / (high[0] - low[0]) + ROOM_ABOVE + ROOM_BELOW


def deck_outline(case: Case) -> np.ndarray:
    """The sheer from above, both sides, closed: (k, 2) x and y."""
    sheer = list(case.boat.hull.lines.values())[-1][:, :2]
    port = sheer[np.argsort(sheer[:, 0])]
    return np.vstack([port, port[::-1] * np.array([1.0, -1.0]), port[:1]])


def plan_silhouette(solid: object) -> np.ndarray:
    """The outline of a convex body from above, closed: (k, 2) x and y."""
    return shapes.silhouette(solid, shapes.ABOVE)


def _reading(found: Where) -> str:
    watched = say_watched(found.marks, found.case.marks)
    margin = "down to its margin" if any(mm > 0 for mm in found.margin_mm.values()) else "wet"
    return (
        f"Lines: what may be added there until the first mark watched ({watched}) is {margin}, floated again at each "
        "place. Dash-dotted: where added weight leaves a mark as it is; forward of it weight lifts the mark."
    )


def _extent(case: Case) -> tuple[np.ndarray, np.ndarray]:
    parts = [deck_outline(case)]
    parts += [plan_silhouette(s) for s in case.boat.solids_in(case.packages).values() if s is not case.boat.hull.solid]
    return np.min([p.min(axis=0) for p in parts], axis=0), np.max([p.max(axis=0) for p in parts], axis=0)


def _field(found: Where) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Places over the deck and the reciprocal of their kilograms; where no limit was found the straight line's."""
    deck = found.deck
    x, y, kg, linear = (
        deck[column].to_numpy(dtype=float).reshape(-1, ACROSS) for column in ("x_m", "y_m", "may_add_kg", "linear_kg")
    )
    beyond = np.minimum(1.0 / np.maximum(linear, LEAST), 0.98 / found.most_kg)
    return x, y, np.where(np.isinf(kg), beyond, 1.0 / np.maximum(kg, LEAST))


def _free(ax: Axes, found: Where, labels: list[Label], system: str) -> list[Artist]:
    """The tint where no limit was found, and its words."""
    artists: list[Artist] = []
    for outline in regions_between(*_field(found), -1.0, 1.0 / found.most_kg):
        artists += ax.fill(*outline.T, facecolor=FREE, edgecolor="none", zorder=1.2)
    free = found.deck[np.isinf(found.deck["may_add_kg"])]
    inside = [(float(x), float(y)) for x, y in zip(free["x_m"], free["y_m"], strict=True)]
    if inside:
        words = f"no limit up to\n{say_mass(found.most_kg, system)}"
        middle = np.argsort(np.hypot(*(np.array(inside) - np.median(inside, axis=0)).T))
        labels.append(Label(words, [inside[i] for i in middle[:40]], ("on", "high", "low"), clear=0.0, style="italic"))
    return artists


def _lines(ax: Axes, found: Where, labels: list[Label], system: str) -> list[Artist]:
    """Lines of equal kilograms, each named once; that of the weight asked about is the thick one."""
    artists: list[Artist] = []
    unit = 1.0 if system == "metric" else factor("lb", "mass")
    levels = [unit * level for level in LEVELS[system]]
    levels = [kg for kg in levels if kg < found.most_kg and not 1 / APART < kg / found.kg < APART]
    for level in (*levels, *((found.kg,) if found.kg < found.most_kg else ()), found.most_kg):
        pieces = lines_at(*_field(found), 1.0 / level)
        asked = level == found.kg
        for piece in pieces:
            artists += ax.plot(*piece.T, color=WATER_EDGE, linewidth=2.4 if asked else 1.1, zorder=2.6)
        if pieces:
            piece = max(pieces, key=len)
            at = [(float(x), float(y)) for x, y in piece[:: max(1, len(piece) // 12)]]
            where = ("right", "left", "above", "below", "anywhere")
            weight = "bold" if asked else "normal"
            labels.append(Label(say_mass(level, system), at, where, WATER_EDGE, weight=weight, clear=1.0))
    return artists


def _neutral(ax: Axes, found: Where, labels: list[Label]) -> list[Artist]:
    """Where added weight leaves the lowest marks watched: a + b x + c y + d z = 0 of the response, over the deck."""
    case = found.case
    artists: list[Artist] = []
    lowest = sorted(found.marks, key=lambda name: case.heights_shut[name])[:NEUTRALS]
    z = float(found.deck["z_m"].iloc[0])
    reach = float(np.abs(deck_outline(case)[:, 1]).max())
    for name in lowest:
        a, b, c, d = case.shut.response(case.marks[name].point)
        y = np.linspace(-reach, reach, 101)
        x = -(a + c * y + d * z) / b
        on = np.abs(y) <= np.nan_to_num(half_breadth(case, x), nan=-1.0)
        if on.sum() > 1:
            artists += ax.plot(x[on], y[on], color=MOVED, linewidth=1.3, linestyle=(0, (6, 2, 1.5, 2)), zorder=2.7)
            ends = [(float(x[on][i]), float(y[on][i])) for i in (0, -1)]
            labels.append(Label(f"no harm to {name}", ends, ("high", "low"), colour=MOVED, clear=2.0))
    return artists


def _people(ax: Axes, case: Case, labels: list[Label]) -> list[Artist]:
    """Who and what is aboard in the condition, as small squares with one name for all."""
    aboard = case.boat.conditions[case.condition].aboard if case.condition in case.boat.conditions else ()
    centres = [case.boat.people[name].centre for name in aboard]
    at = [(float(centre[0]), float(centre[1])) for centre in centres]
    if not at:
        return []
    labels.append(Label("aboard", at, ("right", "left", "above", "below", "high", "low"), MUTED, clear=5.0))
    return list(ax.plot(*np.array(at).T, "s", markersize=5, markerfacecolor=HAIR, markeredgecolor=MUTED, zorder=4))


def _places(ax: Axes, found: Where, labels: list[Label], system: str) -> list[Artist]:
    """The places asked about with their kilograms; the tightest where there are many."""
    artists: list[Artist] = []
    places = found.places.sort_values("may_add_kg", kind="stable").head(MOST_PLACES)
    for _, row in places.iterrows():
        at = (float(row["x_m"]), float(row["y_m"]))
        artists += ax.plot(*at, "o", markersize=6, markerfacecolor=PAPER, markeredgecolor=INK, zorder=5)
        kg = "no limit" if np.isinf(row["may_add_kg"]) else say_mass(row["may_add_kg"], system)
        kg = "nothing" if row["may_add_kg"] < 0.5 else kg
        labels.append(Label(kg, [at], ("right", "above", "below", "left", "high", "low"), weight="bold", clear=6.0))
    return artists
