"""The boat from astern, looking forward: port on the left, both sides' marks and the water across them.

The boat is held still and the water lines tilt; heel is said in words on the side that lies lower. Water lines are those
at the marks' mean place along the boat, spaces shut, one scale for both directions.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes

from analysis.figures import shapes
from analysis.figures.frame import Drawn, Room, name_line_ends, name_width, to_scale
from analysis.figures.labels import Label, place_labels
from analysis.figures.side_view import mark_circles, mark_labels, pod_outlines, tanks, water, water_lines
from analysis.figures.style import ENGINE, HAIR, HULL, INK, MUTED, PAPER, SMALL, looks_for
from analysis.studies.floats import NOT_WATCHED, Case
from hullcalc.units import say_heel

BEYOND = 0.25  # m of water beyond the boat's side
ASTERN_OF = 0.6  # m: marks farther forward are not shown from astern
LEVEL = 0.05  # deg: less heel than the words would show


def stern_view(ax: Axes, cases: Sequence[Case], *, marks: Sequence[str] | None = None, system: str = "metric") -> Drawn:
    """Draw the first case's boat from astern with the water line of each case; arguments as in `side_view`."""
    case = cases[0]
    looks = looks_for([c.plan for c in cases])
    names = [c.plan for c in cases]
    shown = stern_marks(case) if marks is None else list(marks)
    x = float(np.mean([case.marks[name].point[0] for name in shown])) if shown else 0.0
    hull, pods = shapes.transom(case.boat.hull), pod_outlines(case, shapes.ASTERN)
    engines = [shapes.ENGINE_ASTERN + shapes.to_view(p, shapes.ASTERN) for p in shapes.engine_places(case)]
    body = shapes.widest(case.boat.hull)
    parts = (hull, body, *pods.values(), *engines)
    low, high = np.min([p.min(axis=0) for p in parts], axis=0), np.max([p.max(axis=0) for p in parts], axis=0)
    reach = np.array([low[0] - BEYOND, high[0] + BEYOND])
    to_scale(ax, (reach[0], low[1]), (reach[1], high[1]), Room(4, name_width(ax, names), 26, 40))
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
    artists += _heel(ax, case, hull)
    labels = mark_labels(case, shown, shapes.ASTERN, system)
    for word, edge in (("port", reach[0]), ("starboard", reach[1])):
        at = (0.9 * float(edge), low[1])
        labels.append(Label(word, [at], ("on", "low", "high"), MUTED, SMALL, style="italic", clear=0.0))
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)


def stern_marks(case: Case) -> list[str]:
    """Marks at the stern that should be above water, deck edges left out."""
    return [
        name
        for name in case.watched()
        if case.marks[name].point[0] <= ASTERN_OF and case.marks[name].kind not in (*NOT_WATCHED, "freeboard")
    ]


def _heel(ax: Axes, case: Case, hull: np.ndarray) -> list[Artist]:
    """An arrow down over the side that lies lower, with the heel in words; words alone where she is upright."""
    heel, top = float(case.shut.heel), float(hull[:, 1].max())
    if abs(heel) < LEVEL:
        text = ax.text(0.5, 1.0, say_heel(heel), transform=ax.transAxes, ha="center", va="top", size=SMALL, zorder=6)
        return [text]
    x = float(hull[:, 0].max() if heel > 0 else hull[:, 0].min()) * 0.97
    per_px = 1 / float(np.ptp(ax.transData.transform([(0, 0), (1, 1)])[:, 1]))
    tip, tail = top + 6 * per_px, top + 26 * per_px
    artists: list[Artist] = list(ax.plot([x, x], [tip + 6 * per_px, tail], color=INK, linewidth=1.6, zorder=5))
    head = np.array([(x, tip), (x - 4 * per_px, tip + 8 * per_px), (x + 4 * per_px, tip + 8 * per_px)])
    artists += ax.fill(*head.T, facecolor=INK, edgecolor="none", zorder=5)
    inward = -8 if heel > 0 else 8
    artists.append(
        ax.annotate(f"{case.plan}: {say_heel(heel)}", (x, tail), (inward, 0), textcoords="offset points", size=SMALL,
                    weight="bold", ha="right" if heel > 0 else "left", va="top", zorder=6)
    )  # fmt: skip
    return artists
