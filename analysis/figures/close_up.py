"""The marks nearest to the water from the side, enlarged: where the water line of each plan runs past them.

Drawn at the side of the boat that lies lower there: the water lines are those at the least mark's distance from the
centreline, so that heel is in them. Boat held still, spaces shut, one scale for both directions.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.axes import Axes

from analysis.figures import shapes
from analysis.figures.frame import Drawn, Room, headline, scale_bar, to_scale
from analysis.figures.labels import Label, place_labels
from analysis.figures.side_view import mark_circles, mark_labels, pod_outlines, side_marks, water, water_lines
from analysis.figures.style import HULL, INK, MUTED, POD, SMALL, looks_of
from analysis.studies.floats import Case
from analysis.studies.words import no_marks, side

NEAR = (0.35, 0.30)  # m along and up: marks this near to the least one are shown with it
AROUND = 0.10  # m shown around them


def close_up(ax: Axes, cases: Sequence[Case], *, marks: Sequence[str] | None = None, system: str = "metric") -> Drawn:
    """Draw the marks about the first case's least mark, enlarged, with the water line of each case.

    `marks` names those shown, of one side; None: the least mark and its neighbours. The Axes must have its final place.
    """
    case = cases[0]
    shown = near_marks(case) if marks is None else list(marks)
    looks = looks_of(cases)
    least = min(shown, key=lambda name: case.heights_shut[name])
    y = float(case.marks[least].point[1])
    points = np.array([shapes.to_view(case.marks[name].point, shapes.SIDE) for name in shown])
    lines = [shapes.plane_in_view(c.shut.plane, shapes.SIDE, y) for c in cases]
    levels = np.array([[line(x) for x in points[:, 0]] for line in lines])
    low = np.array([points[:, 0].min(), min(points[:, 1].min(), levels.min())]) - AROUND
    high = np.array([points[:, 0].max(), max(points[:, 1].max(), levels.max())]) + AROUND
    to_scale(ax, low, high, Room(60, 60, 36, 36))
    ax.set_axis_off()
    reach = np.array(ax.get_xlim())

    artists = water(ax, case, shapes.SIDE, reach, y)
    artists += ax.fill(*shapes.profile(case.boat.hull).T, facecolor=HULL, edgecolor=INK, linewidth=1.6, zorder=2)
    for pod in pod_outlines(case).values():
        artists += ax.fill(*pod.T, facecolor=POD, edgecolor=INK, linewidth=1.0, zorder=2.1)
    artists += water_lines(ax, cases, shapes.SIDE, reach, y)
    for (x, z), level in zip(points, levels[0], strict=True):
        artists += ax.plot([x, x], [z, level], color=MUTED, linewidth=1.0, zorder=4.4)
    artists += mark_circles(ax, case, shown, shapes.SIDE)
    artists += scale_bar(ax, system)
    labels = mark_labels(case, shown, shapes.SIDE, system, where=("right", "left", "high", "low"))
    along = np.linspace(reach[0], reach[1], 13)[1:-1]
    for c, line in zip(cases, lines, strict=True):
        anchors = [(float(x), float(line(x))) for x in along]
        labels.append(Label(c.plan, anchors, ("above", "below", "high", "low"), looks[c.plan].colour, SMALL, clear=2.0))
    artists.append(headline(ax, close_up_words(shown)))
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)


def close_up_words(shown: Sequence[str]) -> str:
    """What is enlarged, and the side it lies on."""
    sides = dict.fromkeys(side(name) for name in shown if side(name))
    return "Close-up of the marks nearest to the water" + "".join(f", {name} side" for name in sides)


def near_marks(case: Case) -> list[str]:
    """The least mark of those shown from the side, and the marks near it on the same side or the centreline."""
    candidates = side_marks(case)
    if not candidates:
        raise no_marks(case)
    least = min(candidates, key=lambda name: case.heights_shut[name])
    at = case.marks[least].point
    return [
        name
        for name in candidates
        if abs(case.marks[name].point[0] - at[0]) <= NEAR[0]
        and abs(case.marks[name].point[2] - at[2]) <= NEAR[1]
        and side(name) in (side(least), "")
    ]
