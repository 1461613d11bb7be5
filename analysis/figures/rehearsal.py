"""The dock rehearsal from above: the uncut boat, a square a place with its cans, and what to read at the marks.

Forward is to the right, port above, one scale both ways. A cross shows where all of the load would stand if it stood in
one place.
"""

from __future__ import annotations

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from analysis.figures.deck_view import deck_outline
from analysis.figures.frame import Drawn, Room, length_axis, to_scale
from analysis.figures.labels import Label, place_labels
from analysis.figures.pages import EDGE, Page
from analysis.figures.style import HULL, INK, MOVED, PAGE_PX, PAPER, WATER_EDGE
from analysis.studies.floats import NOT_WATCHED
from analysis.studies.mend_words import rehearsal_finding
from analysis.studies.rehearsal import Rehearsal
from analysis.studies.words import caution
from hullcalc.units import say_height, say_mass

ROOM_ABOVE, ROOM_BELOW, AXIS = 72.0, 72.0, 40.0  # px
SYMBOL = 15.0  # points


def rehearsal_deck(ax: Axes, found: Rehearsal, *, system: str = "metric") -> Drawn:
    """Draw the deck with its cans on an Axes that has its final place and size."""
    outline = deck_outline(found.uncut)
    low, high = outline.min(axis=0), outline.max(axis=0)
    to_scale(ax, low, high, Room(60.0, 60.0, ROOM_ABOVE, ROOM_BELOW))
    length_axis(ax, (low[0], high[0]), "forward of the transom's lower end, port above, one scale both ways", system)
    artists: list[Artist] = [*ax.fill(*outline.T, facecolor=HULL, edgecolor="none", zorder=1)]
    artists += ax.plot(*outline.T, color=INK, linewidth=1.4, zorder=3)
    labels: list[Label] = []
    for _, row in found.cans.iterrows():
        at = (float(row["x_m"]), float(row["y_m"]))
        artists += ax.plot(*at, "s", markersize=SYMBOL, markerfacecolor=PAPER, markeredgecolor=INK, zorder=4)
        many = "can" if row["cans"] == 1 else "cans"
        labels.append(
            Label(
                f"{row['cans']} {many}",
                [at],
                ("right", "left", "above", "below", "high", "low"),
                weight="bold",
                clear=13.0,
            )
        )
    middle = (float(found.load_place[0]), float(found.load_place[1]))
    artists += ax.plot(*middle, "x", markersize=9, color=MOVED, markeredgewidth=2.0, zorder=5)
    words = f"all {say_mass(found.load_kg, system)}\nin one place"
    labels.append(Label(words, [middle], ("above", "below", "right", "left", "high", "low"), MOVED, clear=9.0))
    for _, row in found.marks.iterrows():
        mark = found.target.marks[row["mark"]]
        if mark.kind in NOT_WATCHED:
            continue
        at = (float(mark.point[0]), float(mark.point[1]))
        artists += ax.plot(*at, "o", markersize=5, markerfacecolor=WATER_EDGE, markeredgecolor=PAPER, zorder=5)
        where = ("high", "above", "low") if mark.point[1] >= 0 else ("low", "below", "high")
        kind = "" if mark.kind == "freeboard" else f"{mark.kind} "
        labels.append(Label(f"{kind}{say_height(row['plan_mm'] / 1000, system)}", [at], where, WATER_EDGE, clear=5.0))
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)


def rehearsal_figure(found: Rehearsal, *, system: str = "metric", width_px: float = PAGE_PX) -> Figure:
    """The deck with its finding over it, and in the foot how to read it and the caution."""
    page = Page(width_px, rehearsal_finding(found, system), f"{_reading(found)} {caution([found.loaded], system)}")
    outline = deck_outline(found.uncut)
    size = np.ptp(outline, axis=0)
    wide = width_px - 2 * EDGE
    tall = (wide - 120.0) * float(size[1] / size[0]) + ROOM_ABOVE + ROOM_BELOW
    page.panel(EDGE, wide, tall, lambda ax: rehearsal_deck(ax, found, system=system))
    page.down(tall + AXIS)
    return page.finish()


def _reading(found: Rehearsal) -> str:
    return (
        f"Squares: cans on the sole of the uncut boat, {found.uncut.condition}. Dots: marks that both have, with the "
        "height above water that the plan has there: read them, and compare."
    )
