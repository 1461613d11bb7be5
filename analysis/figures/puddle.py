"""The sole from above: which way rain runs on it, the drains, the corners with their heights, and what stands.

Forward is to the right, port above, one scale both ways. The arrow points the way water runs; hatched is where it
stands below the lowest way out. Heights are above the sea, spaces shut.
"""

from __future__ import annotations

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from scipy.spatial import ConvexHull

from analysis.figures.deck_view import deck_outline
from analysis.figures.frame import Drawn, Room, length_axis, to_scale
from analysis.figures.labels import Label, place_labels
from analysis.figures.pages import EDGE, Page
from analysis.figures.style import HULL, INK, PAGE_PX, PAPER, SMALL, WATER, WATER_EDGE
from analysis.studies.drain import Drainage
from analysis.studies.drain_words import drain_caution, drain_finding
from hullcalc.units import say_height, say_length_mm

ROOM = 58.0  # px over and under the boat
AXIS = 40.0
HEAD = 0.14  # m, of the arrow
LONG = 0.9  # m of the arrow, less where the sole is short
DEEP = 0.5  # mm: shallower than this nothing stands


def puddle_view(ax: Axes, found: Drainage, *, system: str = "metric") -> Drawn:
    """Draw the sole of one case; the Axes must have its final place and size."""
    outline = deck_outline(found.case)
    corners = np.array([point[:2] for point in found.sole.corners.values()])
    drains = np.array([point[:2] for point in found.sole.drains.values()]).reshape(-1, 2)
    everything = np.vstack([outline, corners, drains])
    low, high = everything.min(axis=0), everything.max(axis=0)
    to_scale(ax, low, high, Room(10.0, 10.0, ROOM, ROOM))
    length_axis(ax, (low[0], high[0]), "forward of the transom's lower end, port above, one scale both ways", system)
    artists: list[Artist] = list(ax.fill(*outline.T, facecolor=HULL, edgecolor=INK, linewidth=1.4, zorder=1))
    ring = corners[ConvexHull(corners).vertices] if len(corners) > 2 else corners
    artists += ax.fill(*ring.T, facecolor=PAPER, edgecolor=INK, linewidth=1.0, zorder=2)
    standing = _standing(found, ring)
    if len(standing) > 2:
        artists += ax.fill(*standing.T, facecolor=WATER, edgecolor=WATER_EDGE, hatch="////", linewidth=0.8, zorder=2.2)
    artists += _arrow(ax, found, ring)
    labels = []
    for _, row in found.table.iterrows():
        at = (float(row["x_m"]), float(row["y_m"]))
        artists += ax.plot(*at, "o", markersize=5, color=INK, zorder=4)
        text = f"{row['corner']}\n{say_height(row['height_mm'] / 1000, system)}"
        if row["depth_mm"] >= DEEP:
            text += f", {say_length_mm(row['depth_mm'] / 1000, system)} of water"
        labels.append(Label(text, [at], ("high", "low") if at[1] >= 0 else ("low", "high"), size=SMALL, clear=6.0))
    for name, point in found.sole.drains.items():
        at = (float(point[0]), float(point[1]))
        under = name in found.case.under
        artists += ax.plot(*at, "s", markersize=7, markeredgecolor=WATER_EDGE, zorder=4,
                           markerfacecolor=WATER_EDGE if under else PAPER)  # fmt: skip
        text = f"{name}\n{say_height(float(found.case.heights_shut[name]), system)}"
        labels.append(
            Label(text, [at], ("high", "low") if at[1] >= 0 else ("low", "high"), WATER_EDGE, SMALL, clear=8.0)
        )
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)


def puddle_figure(found: Drainage, *, system: str = "metric", width_px: float = PAGE_PX) -> Figure:
    """The sole from above with the finding over it and the caution under it."""
    page = Page(width_px, drain_finding(found, system), drain_caution(found))
    outline = deck_outline(found.case)
    size = np.ptp(outline, axis=0)
    wide = width_px - 2 * EDGE
    tall = (wide - 20) * size[1] / size[0] + 2 * ROOM
    page.panel(EDGE, wide, tall, lambda ax: puddle_view(ax, found, system=system))
    page.down(tall + AXIS)
    return page.finish()


def _standing(found: Drainage, ring: np.ndarray) -> np.ndarray:
    """The part of the sole that lies below the lowest way out, (k, 2); empty where none does."""
    if found.level is None or found.table["depth_mm"].max() < DEEP:
        return np.empty((0, 2))
    normal, offset = found.case.shut.plane
    sole = found.sole
    z = sole.through[2] - ((ring - sole.through[:2]) @ sole.normal[:2]) / sole.normal[2]
    over = np.column_stack([ring, z]) @ normal - offset - found.level
    kept = []
    for k in range(len(ring)):
        a, b = over[k], over[(k + 1) % len(ring)]
        if a <= 0:
            kept.append(ring[k])
        if a * b < 0:
            kept.append(ring[k] + (ring[(k + 1) % len(ring)] - ring[k]) * a / (a - b))
    return np.array(kept).reshape(-1, 2)


def _arrow(ax: Axes, found: Drainage, ring: np.ndarray) -> list[Artist]:
    """The way water runs, from the middle of the sole; none where it is level."""
    if found.steepest == 0:
        return []
    way = -np.array([found.rise_forward, found.rise_port]) / found.steepest
    across = np.array([-way[1], way[0]])
    middle = ring.mean(axis=0)
    half = min(LONG, 0.35 * float(np.min(np.ptp(ring, axis=0)))) / 2 if len(ring) > 2 else LONG / 2
    tip, tail = middle + half * way, middle - half * way
    artists: list[Artist] = list(
        ax.plot(*np.array([tail, tip - 0.8 * HEAD * way]).T, color=WATER_EDGE, linewidth=2.4, zorder=3)
    )
    head = np.array([tip, tip - HEAD * way + 0.4 * HEAD * across, tip - HEAD * way - 0.4 * HEAD * across])
    artists += ax.fill(*head.T, facecolor=WATER_EDGE, edgecolor="none", zorder=3)
    return artists
