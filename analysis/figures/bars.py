"""Ranked bars: one row a thing, the most on top, its figure beside the bar; hatched bars differ from plain ones."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.ticker import FuncFormatter, MaxNLocator

from analysis.figures.frame import Drawn, axis_words
from analysis.figures.ground import AnyFigure, text_size
from analysis.figures.labels import wrapped
from analysis.figures.style import DEEPER, FONT, INK, SMALL, UP, points

THICK = 0.62  # of a row
GAP, EDGE = 6.0, 6.0  # px between a bar and its figure, and beyond it
LINE, ROOM = 16.0, 10.0  # px a line of a name takes, and between rows


def ranked_bars(
    ax: Axes, names: Sequence[str], values: Sequence[float], words: Sequence[str], axis: str,
    hatched: Sequence[bool] = (),
) -> Drawn:  # fmt: skip
    """Draw bars of `values` (zero or more), `words` beside each; names come broken into lines (`bar_names`)."""
    sizes, rows = np.asarray(values, dtype=float), len(names)
    lined = hatched or [False] * rows
    places = row_places(names)
    ax.set_ylim(places[-1][1] if rows else 1.0, 0.0)
    middles = [(top + bottom) / 2 for top, bottom in places]
    ax.set_yticks(middles, names)
    ax.tick_params(axis="y", length=0)
    widths = np.array([text_size(ax.figure, word, SMALL)[0] + GAP + EDGE for word in words])
    right = max(float(np.max(sizes / (1 - widths / ax.bbox.width))), 1e-9)  # so that each figure fits beside its bar
    ax.set_xlim(0, right)
    artists: list[Artist] = []
    for y, size, word, lines in zip(middles, sizes, words, lined, strict=True):
        artists += ax.barh(
            y, size, THICK * (LINE + ROOM), facecolor=DEEPER if lines else UP, hatch="////" if lines else None,
            edgecolor=INK, linewidth=0.8, zorder=3,
        )  # fmt: skip
        artists.append(
            ax.annotate(word, (size, y), points(GAP, 0), textcoords="offset points", ha="left", va="center", size=SMALL,
                        zorder=6)
        )  # fmt: skip
    axis_words(ax, axis)
    ax.xaxis.set_major_locator(MaxNLocator(5, steps=[1, 2, 5, 10]))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda x, _: f"{x:g}"))
    ax.spines["left"].set_visible(False)
    return Drawn(artists, [])


def row_places(names: Sequence[str]) -> list[tuple[float, float]]:
    """Top and bottom of each row [px from the top], as high as its name has lines."""
    heights = [LINE * (name.count("\n") + 1) + ROOM for name in names]
    ends = np.cumsum([0.0, *heights])
    return [(float(a), float(b)) for a, b in pairwise(ends)]


def bar_names(figure: AnyFigure, names: Sequence[str], width: float) -> list[str]:
    """Names broken into lines no wider than so many pixels."""
    return [wrapped(figure, name, width, FONT) for name in names]
