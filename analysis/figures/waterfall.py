"""Which change did it: millimetres of each package one after the other, and the whole, at the stern or at a mark.

Up and deeper differ by hatch and word as well as by colour. The rule by which packages that work on each other share
stands on the axis.
"""

from __future__ import annotations

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.ticker import FuncFormatter, MaxNLocator

from analysis.figures.frame import Drawn, axis_words
from analysis.figures.ground import AnyFigure, text_size
from analysis.figures.labels import wrapped
from analysis.figures.style import DEEPER, FONT, HAIR, INK, MUTED, SMALL, UP, points
from analysis.studies.attribution import RULE, STERN, Attribution
from analysis.studies.words import bare, say_change, small_unit

THICK = 0.62  # of a row
FAR = 36.0  # px from a bar to the zero line, beyond which its figure does not stand on the other side of it
LONG = 150.0  # px a package's name may take on one line
GAP, EDGE = 6.0, 6.0  # px between a bar and its figure, and beyond it


def waterfall(ax: Axes, attribution: Attribution, *, system: str = "metric") -> Drawn:
    """Draw the attribution as bars, the first package on top, the whole at the bottom. The Axes must have its place."""
    table = attribution.table
    unit, _ = small_unit(system)
    change = table["mean_mm"].to_numpy() / unit
    end = np.cumsum(change)
    start = end - change
    total = attribution.total_mm / unit
    rows = len(table)
    ax.set_ylim(rows + 0.7, -0.7)
    ax.set_yticks(range(rows + 1), waterfall_names(ax.figure, attribution))
    ax.tick_params(axis="y", length=0)
    ax.get_yticklabels()[-1].set_fontweight("bold")

    words = [bare(say_change(mm, system)) for mm in (*table["mean_mm"], attribution.total_mm)]
    low, high = np.minimum(start, end), np.maximum(start, end)
    low, high = np.append(low, min(total, 0.0)), np.append(high, max(total, 0.0))
    places, sides = _limits(ax, low, high, words)
    artists: list[Artist] = [ax.axvline(0, color=MUTED, linewidth=0.9, zorder=1)]
    for row, (a, b, mm) in enumerate(zip(low, high, (*table["mean_mm"], attribution.total_mm), strict=True)):
        artists += ax.barh(
            row, b - a, THICK, a, facecolor=UP if mm <= 0 else DEEPER, hatch=None if mm <= 0 else "////",
            edgecolor=INK, linewidth=1.6 if row == rows else 0.8, zorder=3,
        )  # fmt: skip
        if row < rows:
            x = end[row]
            artists += ax.plot([x, x], [row + THICK / 2, row + 1 - THICK / 2], color=MUTED, linewidth=0.8, zorder=2)
    artists += ax.plot(
        [0, 1], [rows - 0.5] * 2, color=HAIR, linewidth=0.8, transform=ax.get_yaxis_transform(), zorder=1
    )
    for row, (x, right, text) in enumerate(zip(places, sides, words, strict=True)):
        gap, align = (GAP, "left") if right else (-GAP, "right")
        artists.append(
            ax.annotate(text, (x, row), points(gap, 0), textcoords="offset points", ha=align, va="center", size=SMALL,
                        weight="bold" if row == rows else "normal", zorder=6)
        )  # fmt: skip
    axis_words(ax, waterfall_axis(attribution, system))
    ax.xaxis.set_major_locator(MaxNLocator(6, steps=[1, 2, 5, 10]))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda x, _: f"{x:g}".replace("-", "−")))
    ax.spines["left"].set_visible(False)
    return Drawn(artists, [])


def waterfall_names(figure: AnyFigure, attribution: Attribution) -> list[str]:
    """Names along the rows: packages, long ones on two lines, and the whole."""
    return [*(wrapped(figure, name, LONG, FONT) for name in attribution.table["name"]), "in all"]


def waterfall_axis(attribution: Attribution, system: str) -> str:
    """What the axis shows: place, unit, direction, condition and the rule of sharing."""
    place = "stern" if attribution.at == STERN else attribution.at
    return f"{place}, {small_unit(system)[1]} deeper ({attribution.condition}; {RULE}), openings shut"


def _limits(ax: Axes, low: np.ndarray, high: np.ndarray, words: list[str]) -> tuple[np.ndarray, np.ndarray]:
    """Set the limits of x so that each figure fits beside its bar; returns where it stands and whether to the right.

    A figure stands right of its bar, beyond the zero line if it would lie across it there; where the zero line is far,
    left of the bar. Widths are in pixels, so the limits that hold them are found by repetition: wider each time, by
    less and less.
    """
    widths = np.array([text_size(ax.figure, word, SMALL, "bold")[0] + GAP + EDGE for word in words])
    per_px, at, right = 0.0, high, np.ones(len(words), dtype=bool)
    for _ in range(400):
        across = (high < 0) & (high + widths * per_px >= 0)
        right = ~(across & (-high > FAR * per_px))
        at = np.where(across & right, 0.0, np.where(right, high, low))
        ends = at + np.where(right, widths, -widths) * per_px
        left_end = min(0.0, ends.min(), low.min() - EDGE * per_px)
        right_end = max(0.0, ends.max(), high.max() + EDGE * per_px)
        wider = (right_end - left_end) / ax.bbox.width
        if wider <= per_px * (1 + 1e-6):
            break
        per_px = wider
    ax.set_xlim((left_end, right_end) if right_end > left_end else (-1, 1))
    return at, right
