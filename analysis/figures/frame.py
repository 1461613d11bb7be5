"""Views to scale, with room for labels; ticks in metres or feet, lines named at their ends, headlines, a scale bar."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.text import Text
from matplotlib.ticker import FixedLocator, FuncFormatter

from analysis.figures.ground import AnyFigure, Ground, text_size
from analysis.figures.labels import Placed, wrapped
from analysis.figures.style import FONT, MUTED, SMALL, Look, points
from hullcalc.units import factor

NAME_GAP = 22.0  # px between the end of a line and its name
LEAST_STEP = 15.0  # px between names of lines that end close together


@dataclass(frozen=True, eq=False)
class Drawn:
    """What a picture put on its Axes; `places` tells where its labels went."""

    artists: list[Artist]
    places: list[Placed]


@dataclass(frozen=True)
class Room:
    """Pixels kept free around what is drawn."""

    left: float = 8.0
    right: float = 8.0
    top: float = 8.0
    bottom: float = 8.0


def to_scale(ax: Axes, low: Sequence[float] | np.ndarray, high: Sequence[float] | np.ndarray, room: Room) -> None:
    """Set the limits so that the box low..high (data) fits inside the room, one scale both ways, in the middle."""
    width, height = ax.bbox.size
    inner = np.array([width - room.left - room.right, height - room.top - room.bottom])
    size = np.asarray(high, dtype=float) - np.asarray(low, dtype=float)
    scale = float(np.min(inner / size))
    spare = (inner - scale * size) / 2
    left = low[0] - (room.left + spare[0]) / scale
    bottom = low[1] - (room.bottom + spare[1]) / scale
    ax.set_xlim(left, left + width / scale)
    ax.set_ylim(bottom, bottom + height / scale)


def length_axis(ax: Axes, reach: Sequence[float] | np.ndarray, words: str, system: str) -> None:
    """Ticks along x over `reach` in whole metres or every other foot; none for heights, which have the same scale."""
    unit = 1.0 if system == "metric" else 2 * factor("ft", "length")
    per = 1.0 if system == "metric" else factor("ft", "length")
    ax.xaxis.set_major_locator(
        FixedLocator([unit * k for k in range(int(np.ceil(reach[0] / unit)), int(np.floor(reach[1] / unit)) + 1)])
    )
    ax.xaxis.set_major_formatter(FuncFormatter(lambda x, _: f"{round(x / per):d}".replace("-", "−")))
    ax.yaxis.set_visible(False)
    ax.spines["left"].set_visible(False)
    ax.spines["bottom"].set_bounds(*reach)
    ax.set_xlabel(f"{words} ({'m' if system == 'metric' else 'ft'})", fontsize=SMALL)


def headline(ax: Axes, words: str, left: float = 0.0, up: float = 6.0) -> Text:
    """A line or two over the Axes that say what it shows, from `left` px beside its left edge to its right edge."""
    lines = wrapped(ax.figure, words, ax.bbox.width - left, FONT, "bold")
    return ax.annotate(
        lines, (0, 1), points(left, up), xycoords="axes fraction", textcoords="offset points", size=FONT, weight="bold",
        ha="left", va="bottom", linespacing=1.15, zorder=6,
    )  # fmt: skip


def headline_height(figure: AnyFigure, words: str, width: float, up: float = 6.0) -> float:
    """Pixels a headline takes over an Axes when its lines may be so wide."""
    return text_size(figure, wrapped(figure, words, width, FONT, "bold"), FONT, "bold")[1] + up


def axis_words(ax: Axes, words: str) -> None:
    """Name the x axis, broken into lines no wider than the Axes."""
    ax.set_xlabel(wrapped(ax.figure, words, ax.bbox.width, SMALL), fontsize=SMALL)


def axis_height(figure: AnyFigure, words: str, width: float) -> float:
    """Pixels that ticks and the name of an x axis take under an Axes of this width."""
    return 30 + text_size(figure, wrapped(figure, words, width, SMALL), SMALL)[1]


def tick_label_width(figure: AnyFigure, names: Sequence[str]) -> float:
    """Pixels that names along y take to the left of an Axes."""
    return max(text_size(figure, name, FONT)[0] for name in names) + 8


def name_line_ends(
    ax: Axes, ends: Sequence[tuple[float, float]], names: Sequence[str], looks: Sequence[Look]
) -> list[Artist]:
    """Name lines to the right of their ends (data), kept apart where they end close together."""
    points = ax.transData.transform(np.array(ends))
    heights = spread([float(y) for y in points[:, 1]], LEAST_STEP)
    back = ax.transData.inverted()
    artists: list[Artist] = []
    for (x, y), height, name, look in zip(points, heights, names, looks, strict=True):
        start, end, text = back.transform([(x + 2, y), (x + NAME_GAP - 3, height), (x + NAME_GAP, height)])
        artists += ax.plot(*np.array([start, end]).T, color=look.colour, linewidth=0.8, zorder=3)
        artists.append(ax.text(text[0], text[1], name, color=look.colour, size=SMALL, ha="left", va="center", zorder=6))
    return artists


def name_width(figure: AnyFigure, names: Sequence[str]) -> float:
    """Pixels that `name_line_ends` needs to the right of the lines."""
    return NAME_GAP + max(text_size(figure, name, SMALL)[0] for name in names) + 4


def spread(heights: Sequence[float], step: float) -> list[float]:
    """Heights moved apart to at least `step`, order kept and moved as little as may be (isotonic means)."""
    order = np.argsort(heights, kind="stable")
    wanted = np.asarray(heights, dtype=float)[order] - step * np.arange(len(heights))
    blocks: list[list[float]] = []  # mean and count of runs that must move together
    for value in wanted:
        blocks.append([float(value), 1.0])
        while len(blocks) > 1 and blocks[-2][0] > blocks[-1][0]:
            mean, count = blocks.pop()
            before = blocks[-1]
            before[0] = (before[0] * before[1] + mean * count) / (before[1] + count)
            before[1] += count
    level = np.concatenate([np.full(int(count), mean) for mean, count in blocks]) + step * np.arange(len(heights))
    answer = np.empty(len(heights))
    answer[order] = level
    return [float(y) for y in answer]


def scale_bar(ax: Axes, system: str) -> list[Artist]:
    """A bar of 100 mm or 4 in with its length over it, near a corner where nothing else is drawn."""
    length, words = (0.1, "100 mm") if system == "metric" else (4 * factor("in", "length"), "4 in")
    px = length * ax.bbox.width / float(np.ptp(ax.get_xlim()))
    wide, high = text_size(ax.figure, words, SMALL)
    size = np.array([max(px, wide), high + 10.0])
    ground = Ground.of(ax)
    left, bottom, right, top = ground.bounds
    xs, ys = np.arange(left + 8, right - size[0] - 8, 8.0), np.arange(bottom + 8, top - size[1] - 8, 8.0)
    corners = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    edge = np.minimum(corners[:, 0] - left, right - size[0] - corners[:, 0])
    edge += np.minimum(corners[:, 1] - bottom, top - size[1] - corners[:, 1])
    taken = ground.covered(np.hstack([corners - 5, corners + size + 5]))
    corner = corners[np.argmin(edge + 1e5 * taken)]
    middle = corner[0] + size[0] / 2
    back = ax.transData.inverted().transform
    bar = back([(middle - px / 2, corner[1] + 2), (middle + px / 2, corner[1] + 2)])
    artists: list[Artist] = list(ax.plot(*bar.T, color=MUTED, linewidth=2.5, zorder=5))
    x, y = back((middle, corner[1] + 7))
    artists.append(ax.text(x, y, words, size=SMALL, color=MUTED, ha="center", va="bottom", zorder=6))
    return artists
