"""The ladder of marks: one row a mark, the least first, and how far each plan keeps it above the water.

The region under water is tinted and named; each plan has its own symbol shape, the number stands beside it, and a bar
shows the 95 % interval where one is known. Heights are with spaces shut.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.ticker import FuncFormatter, MaxNLocator

from analysis.figures.frame import Drawn, axis_words
from analysis.figures.ground import text_size
from analysis.figures.labels import in_lines
from analysis.figures.style import HAIR, INK, PAPER, SMALL, WATER, WATER_EDGE, Look, looks_of, points
from analysis.studies.floats import NOT_WATCHED, Case
from analysis.studies.words import bare, no_marks, small_unit
from hullcalc.units import say_height

MOST_ROWS = 8
LONG_NAME, NAME_LINE = 18, 15.0  # letters; px a line of a name takes
GAP, EDGE = 12.0, 14.0  # px between a symbol or bar and its number, and beyond the number
LINE = 17.0  # px a plan takes in a row
UNDER, ABOVE = "under water", "above"
SYMBOL = 7.0  # points


def ladder(
    ax: Axes,
    cases: Sequence[Case],
    *,
    marks: Sequence[str] | None = None,
    interval_mm: Mapping[tuple[str, str], float] | None = None,
    system: str = "metric",
) -> Drawn:
    """Draw one row a mark with a symbol for each case.

    Parameters
    ----------
    cases
        Plans of one boat in one condition, each with its own symbol; drawn in this order from the top of each row.
    marks
        Names of the marks; None: those of `ladder_marks`.
    interval_mm
        Half of the 95 % interval [mm] by (plan, mark), where it is known.
    """
    names = ladder_marks(cases) if marks is None else list(marks)
    interval_mm = interval_mm or {}
    looks = looks_of(cases)
    unit, _ = small_unit(system)
    step = 1.0 / (len(cases) + 0.5)
    entries = [
        (row + step * (i + 0.75) - 0.5, case.plan, name, 1000 * case.heights_shut[name] / unit)
        for row, name in enumerate(names)
        for i, case in enumerate(cases)
        if name in case.marks
    ]
    halves = [interval_mm.get((plan, name), 0.0) / unit for _, plan, name, _ in entries]
    rungs = [(y, looks[plan], height) for y, plan, _, height in entries]
    artists = draw_rungs(ax, ladder_names(names), rungs, halves, system)
    axis_words(ax, ladder_axis(bool(interval_mm), system))
    return Drawn(artists, [])


def draw_rungs(
    ax: Axes,
    names: Sequence[str],
    rungs: Sequence[tuple[float, Look, float]],
    halves: Sequence[float],
    system: str = "metric",
) -> list[Artist]:
    """Rows with these names, and in them symbols at (row, look, height in mm or inches) with bars of half a length."""
    unit, _ = small_unit(system)
    words = [bare(say_height(height * unit / 1000, system)) for *_, height in rungs]
    _limits(ax, [h for *_, h in rungs], halves, words)
    ax.set_ylim(len(names) - 0.5, -0.5)
    ax.set_yticks(range(len(names)), names)
    ax.tick_params(axis="y", length=0)

    artists: list[Artist] = [ax.axvspan(ax.get_xlim()[0], 0, facecolor=WATER, edgecolor="none", zorder=0)]
    artists.append(ax.axvline(0, color=WATER_EDGE, linewidth=1.6, zorder=1))
    for row in range(1, len(names)):
        artists.append(ax.axhline(row - 0.5, color=HAIR, linewidth=0.5, zorder=0.5))
    for (y, look, height), half, text in zip(rungs, halves, words, strict=True):
        artists += _entry(ax, y, height, half, text, look)
    artists.append(
        ax.annotate(UNDER, (0, 1), points(-6, 4), xycoords=("data", "axes fraction"), textcoords="offset points",
                    ha="right", va="bottom", size=SMALL, style="italic", color=WATER_EDGE)
    )  # fmt: skip
    artists.append(
        ax.annotate(ABOVE, (0, 1), points(6, 4), xycoords=("data", "axes fraction"), textcoords="offset points",
                    ha="left", va="bottom", size=SMALL, style="italic", color=INK)
    )  # fmt: skip
    ax.xaxis.set_major_locator(MaxNLocator(6, steps=[1, 2, 5, 10]))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda x, _: f"{x:g}".replace("-", "−")))
    ax.spines["left"].set_visible(False)
    return artists


def ladder_marks(cases: Sequence[Case]) -> list[str]:
    """Marks that should be above water, deck edges left out, the least of any case first; at most eight."""
    least: dict[str, float] = {}
    for case in cases:
        for name in case.watched():
            if case.marks[name].kind not in (*NOT_WATCHED, "freeboard"):
                least[name] = min(least.get(name, np.inf), case.heights_shut[name])
    if not least:
        raise no_marks(cases[0])
    return sorted(least, key=lambda name: least[name])[:MOST_ROWS]


def ladder_names(marks: Sequence[str]) -> list[str]:
    """The names of the rows; a long one takes several lines."""
    return [in_lines(name, LONG_NAME) for name in marks]


def plan_key(ax: Axes, cases: Sequence[Case]) -> list[Artist]:
    """The symbols of the plans with their names, in one line on an Axes of its own."""
    looks = looks_of(cases)
    ax.set_axis_off()
    ax.set_xlim(0, ax.bbox.width)
    ax.set_ylim(-1, 1)
    artists: list[Artist] = []
    x = 10.0
    for plan in dict.fromkeys(case.plan for case in cases):
        artists += draw_symbol(ax, x, 0.0, looks[plan])
        artists.append(ax.text(x + 12, 0, plan, color=looks[plan].colour, size=SMALL, va="center", ha="left"))
        x += 12 + text_size(ax.figure, plan, SMALL)[0] + 26
    return artists


def _entry(ax: Axes, y: float, height: float, half: float, text: str, look: Look) -> list[Artist]:
    """A symbol, its interval and its number: to the left of it under water, to the right above."""
    artists: list[Artist] = []
    if half > 0:
        ends = [height - half, height + half]
        artists += ax.plot(ends, [y, y], color=look.colour, linewidth=1.3, zorder=3, marker="|", markersize=7)
    artists += draw_symbol(ax, height, y, look)
    beyond, gap, align = (height - half, -GAP, "right") if height < 0 else (height + half, GAP, "left")
    artists.append(
        ax.annotate(text, (beyond, y), points(gap, 0), textcoords="offset points", ha=align, va="center", size=SMALL,
                    color=look.colour, zorder=6)
    )  # fmt: skip
    return artists


def draw_symbol(ax: Axes, x: float, y: float, look: Look) -> list[Artist]:
    """The symbol of a plan at a point of the data."""
    fill = look.colour if look.filled else PAPER
    return list(
        ax.plot(x, y, look.marker, markersize=SYMBOL, markerfacecolor=fill, markeredgecolor=look.colour,
                markeredgewidth=1.4, zorder=4)
    )  # fmt: skip


def _limits(ax: Axes, heights: Sequence[float], halves: Sequence[float], words: Sequence[str]) -> None:
    """Limits of x wide enough for every number beside its symbol, and for the words on both sides of the water.

    Widths are in pixels, so the limits that hold them are found by repetition: each time wider, by less and less.
    """
    middle, half = np.asarray(heights), np.asarray(halves)
    widths = np.array([text_size(ax.figure, word, SMALL)[0] + GAP + EDGE for word in words])
    head = text_size(ax.figure, UNDER, SMALL)[0] + 14
    per_px = 0.0
    for _ in range(400):
        left = min(-head * per_px, np.min(middle - half - np.where(middle < 0, widths, EDGE) * per_px))
        right = max(head * per_px, np.max(middle + half + np.where(middle < 0, EDGE, widths) * per_px))
        wider = (right - left) / ax.bbox.width
        if wider <= per_px * (1 + 1e-6):
            break
        per_px = wider
    ax.set_xlim((left, right) if right > left else (-1, 1))


def ladder_axis(bars: bool, system: str) -> str:
    """What the axis shows."""
    return f"{small_unit(system)[1]} above the water, spaces shut{'; bars: 95 % interval' if bars else ''}"


def ladder_height(cases: Sequence[Case], marks: Sequence[str]) -> float:
    """Pixels an Axes needs so that each plan, and each line of a long name, has a line of its own in each row."""
    lines = max(name.count("\n") + 1 for name in ladder_names(marks))
    return len(marks) * max(LINE * len(cases) + 9.0, NAME_LINE * lines + 6.0)
