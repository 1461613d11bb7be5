"""The boat from astern, looking forward: port on the left, both sides' marks and the water across them.

The boat is held still and the water lines tilt; an arrow stands over the side that lies lower, the heel is said in
words. Water lines are those at the marks' mean place along the boat, spaces shut, one scale for both directions.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes

from analysis.figures import shapes
from analysis.figures.frame import Drawn, Room, headline, name_line_ends, name_width, to_scale
from analysis.figures.labels import Label, place_labels
from analysis.figures.side_view import mark_circles, mark_labels, pod_outlines, tanks, water, water_lines
from analysis.figures.style import ENGINE, HAIR, HULL, INK, MUTED, PAPER, SMALL, looks_of
from analysis.studies.floats import NOT_WATCHED, Case
from analysis.studies.words import side
from hullcalc.units import say_heel

BEYOND = 0.25  # m of water beyond the boat's side
ASTERN_OF = 0.6  # m: marks farther forward are not shown from astern
LEVEL = 0.05  # deg: less heel than the words would show
ROOM_ABOVE, ROOM_BELOW = 64.0, 64.0  # px for labels over and under the boat


def stern_view(ax: Axes, cases: Sequence[Case], *, marks: Sequence[str] | None = None, system: str = "metric") -> Drawn:
    """Draw the first case's boat from astern with the water line of each case; arguments as in `side_view`."""
    case = cases[0]
    looks = looks_of(cases)
    names = [c.plan for c in cases]
    shown = stern_marks(case) if marks is None else list(marks)
    x = float(np.mean([case.marks[name].point[0] for name in shown])) if shown else 0.0
    hull, pods = shapes.transom(case.boat.hull), pod_outlines(case, shapes.ASTERN)
    engines = [shapes.ENGINE_ASTERN + shapes.to_view(p, shapes.ASTERN) for p in shapes.engine_places(case)]
    body = shapes.widest(case.boat.hull)
    parts = (hull, body, *pods.values(), *engines)
    low, high = np.min([p.min(axis=0) for p in parts], axis=0), np.max([p.max(axis=0) for p in parts], axis=0)
    reach = np.array([low[0] - BEYOND, high[0] + BEYOND])
    to_scale(ax, (reach[0], low[1]), (reach[1], high[1]), Room(4, name_width(ax.figure, names), ROOM_ABOVE, ROOM_BELOW))
    ax.set_axis_off()

    artists = water(ax, case, shapes.ASTERN, reach, x)
    artists += ax.fill(*body.T, facecolor=HULL, edgecolor=HAIR, linewidth=0.8, zorder=1.9)
    artists += ax.fill(*hull.T, facecolor=HULL, edgecolor=INK, linewidth=1.4, zorder=2)
    for _, tank, liquid, colour, litres in tanks(case, shapes.ASTERN):
        if litres > 0:
            artists += ax.fill(*liquid.T, facecolor=colour, edgecolor="none", alpha=0.55, zorder=2.1)
        artists += ax.fill(*tank.T, facecolor="none", edgecolor=HAIR, linewidth=0.8, zorder=2.2)
    for pod in pods.values():
        artists += ax.fill(*pod.T, facecolor=PAPER, edgecolor=INK, linewidth=1.0, hatch="....", zorder=2.4)
    for engine in engines:
        artists += ax.fill(*engine.T, facecolor=ENGINE, edgecolor=MUTED, linewidth=1.0, zorder=2.6)
    artists += water_lines(ax, cases, shapes.ASTERN, reach, x)
    artists += mark_circles(ax, case, shown, shapes.ASTERN)
    ends = [(reach[1], float(shapes.plane_in_view(c.shut.plane, shapes.ASTERN, x)(reach[1]))) for c in cases]
    artists += name_line_ends(ax, ends, names, [looks[name] for name in names])
    labels = mark_labels(case, shown, shapes.ASTERN, system)
    artists += _heel_arrow(ax, case, hull)
    artists.append(headline(ax, stern_words(cases)))
    for word, edge in (("port", reach[0]), ("starboard", reach[1])):
        at = (0.9 * float(edge), low[1])
        labels.append(Label(word, [at], ("on", "low", "high"), MUTED, SMALL, style="italic", clear=0.0, leader=False))
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)


def stern_words(cases: Sequence[Case]) -> str:
    """The heel of each plan in words."""
    return "From astern: " + "; ".join(f"{c.plan} {say_heel(float(c.shut.heel))}" for c in cases)


def stern_marks(case: Case) -> list[str]:
    """Marks at the stern on both sides that should be above water, deck edges left out; openings amidships if under."""
    return [
        name
        for name in case.watched()
        if case.marks[name].point[0] <= ASTERN_OF
        and case.marks[name].kind not in (*NOT_WATCHED, "freeboard")
        and (side(name) or case.heights_shut[name] < 0)
    ]


def _low_side(case: Case, hull: np.ndarray) -> tuple[float, float]:
    """A point over the sheer of the side that lies lower; over the middle where she is upright."""
    heel, top = float(case.shut.heel), float(hull[:, 1].max())
    if abs(heel) < LEVEL:
        return 0.0, top
    return 0.97 * float(hull[:, 0].max() if heel > 0 else hull[:, 0].min()), top


def _heel_arrow(ax: Axes, case: Case, hull: np.ndarray) -> list[Artist]:
    """An arrow down over the side that lies lower; none where she is upright."""
    if abs(float(case.shut.heel)) < LEVEL:
        return []
    x, top = ax.transData.transform(_low_side(case, hull))
    back = ax.transData.inverted().transform
    artists: list[Artist] = list(ax.plot(*back([(x, top + 12), (x, top + 28)]).T, color=INK, linewidth=1.8, zorder=5))
    head = back([(x, top + 5), (x - 4.5, top + 14), (x + 4.5, top + 14)])
    artists += ax.fill(*head.T, facecolor=INK, edgecolor="none", zorder=5)
    return artists
