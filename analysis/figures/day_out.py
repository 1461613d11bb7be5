"""The day out: the lowest mark along the day as a band, the worst moment named, the steps below on the same axis.

Across is the time since the start, or the miles where nobody said how long a leg takes. The line is the lowest mark of
each plan, the band its 95 % interval; the region under water is tinted and named. Spaces shut.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, MaxNLocator

from analysis.figures.frame import Drawn, axis_height, axis_words, headline, headline_height, name_line_ends, name_width
from analysis.figures.ground import text_size
from analysis.figures.labels import Label, place_labels
from analysis.figures.pages import EDGE, Page
from analysis.figures.style import (
    HAIR,
    INK,
    MUTED,
    PAGE_PX,
    SMALL,
    WATER,
    WATER_EDGE,
    Look,
    looks_of_plans,
)
from analysis.studies.trip import DayOut
from analysis.studies.trip_words import COVER, day_caution, days_finding, say_moment, say_when
from analysis.studies.words import capital, small_unit
from hullcalc.errors import InputError
from hullcalc.units import say_height

TALL = 290.0  # px of the chart
ROW = 17.0  # px of a step
TICKS = 54.0  # px for the figures along the heights
SOLE = "lowest of the sole"
SOLE_LOOK = Look(MUTED, (0, (1, 2)), "o", width=1.4)
AIR = 0.12  # of the height kept free under the lines
LANE = 48.0


def day_chart(ax: Axes, days: Sequence[DayOut], *, system: str = "metric") -> Drawn:
    """Draw the lowest mark of each plan along one trip; the Axes must have its final place and size."""
    unit, _ = small_unit(system)
    looks = looks_of_plans(days[0].boat, [day.plan for day in days])
    x = [across(day)[0] for day in days]
    lines = [day.table["least_mm"].to_numpy() / unit for day in days]
    # bands of several plans would hide each other: then only the last has one
    halves = [1000 * COVER * day.u_least / unit * (day is days[-1]) for day in days]
    soles = _soles(days, unit)
    reach = [*(line - half for line, half in zip(lines, halves, strict=True)),
             *(line + half for line, half in zip(lines, halves, strict=True)), *soles, [0.0]]  # fmt: skip
    low, high = min(map(np.min, reach)), max(map(np.max, reach))
    air = AIR * (high - low)
    ax.set_xlim(0, max(float(v[-1]) for v in x) or 1.0)
    lane = LANE if len(days) == 1 else LANE / 2  # px over all lines: there is always a place for the words
    ax.set_ylim(low - air, high + (high - low + air) * lane / (ax.bbox.height - lane))
    artists: list[Artist] = [ax.axhspan(low - air, 0, facecolor=WATER, edgecolor="none", zorder=0)]
    artists.append(ax.axhline(0, color=WATER_EDGE, linewidth=1.6, zorder=1))
    artists.append(ax.axvline(0, color=MUTED, linewidth=0.8))  # on the axis: words keep off what is drawn
    for day, at, line, half in zip(days, x, lines, halves, strict=True):
        look = looks[day.plan]
        around = np.concatenate([line + half, (line - half)[::-1]])
        if half.any():
            artists += ax.fill(np.concatenate([at, at[::-1]]), around, facecolor=look.colour, alpha=0.18, zorder=1.5,
                           edgecolor=look.colour, linewidth=0.6)  # fmt: skip
        artists += ax.plot(at, line, color=look.colour, linestyle=look.dashes, linewidth=look.width, zorder=3)
    for at, sole in zip(x, soles, strict=False):
        artists += ax.plot(
            at, sole, color=SOLE_LOOK.colour, linestyle=SOLE_LOOK.dashes, linewidth=SOLE_LOOK.width, zorder=2
        )
    ends = [(float(at[-1]), float(line[-1])) for at, line in zip([*x, *x], [*lines, *soles], strict=False)]
    names = [*(day.plan for day in days), *(SOLE for _ in soles)]
    artists += name_line_ends(ax, ends, names, [*(looks[day.plan] for day in days), *(SOLE_LOOK for _ in soles)])
    labels = []
    for day, at in zip(days, x, strict=True):
        worst = day.worst
        spot = (float(at[worst.k]), 1000 * worst.height / unit)
        artists += ax.plot(*spot, looks[day.plan].marker, markersize=8, markerfacecolor="white", zorder=5,
                           markeredgecolor=looks[day.plan].colour, markeredgewidth=1.6, clip_on=False)  # fmt: skip
        text = capital(f"{say_when(day, worst.k)}\n{say_moment(worst, system)}".removeprefix("the "))
        text = text if len(days) == 1 else say_height(worst.height, system)
        labels.append(Label(text, [spot], ("above", "below", "anywhere"), looks[day.plan].colour, SMALL, "bold",
                            clear=9.0))  # fmt: skip
    labels += _water_words(ax)
    ax.yaxis.set_major_locator(MaxNLocator(7, steps=[1, 2, 5, 10]))
    ax.yaxis.set_major_formatter(FuncFormatter(lambda y, _: f"{y:g}".replace("-", "−")))
    ax.tick_params(axis="y", labelsize=SMALL)
    ax.tick_params(axis="x", labelbottom=False, length=0)
    ax.spines["bottom"].set_visible(False)
    artists.append(headline(ax, chart_words(system), left=-TICKS))
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)


def _water_words(ax: Axes) -> list[Label]:
    """Names of the regions over and under the water, each on its side and near it."""
    right, (low, high) = ax.get_xlim()[1], ax.get_ylim()
    px = (high - low) / ax.bbox.height
    spots = [(float(x), away * px) for away in (12.0, 24.0, 40.0, 60.0) for x in np.linspace(0.08, 0.92, 43) * right]
    below = [(x, -y) for x, y in spots if -y > low + 10 * px]
    words = [("above water", [s for s in spots if s[1] < high - 10 * px], INK), ("under water", below, WATER_EDGE)]
    return [
        Label(text, at, ("on",), colour, SMALL, style="italic", clear=0.0, leader=False)
        for text, at, colour in words
        if at
    ]


def steps_strip(ax: Axes, day: DayOut, beyond: float = 0.0) -> Drawn:
    """The steps of a day, a row each: a bar for a leg, a tick for an event, its words beside it.

    `beyond` [px] is how far words may reach to the right of the Axes.
    """
    at, words = across(day)
    rows = day.step_ends()
    wide = ax.bbox.width
    ax.set_xlim(0, float(at[-1]) or 1.0)
    ax.set_ylim(len(rows) - 0.5, -0.5)
    per_px = ax.get_xlim()[1] / wide
    artists: list[Artist] = []
    for row, (first, last) in enumerate(rows):
        start, end = float(at[first]), float(at[last])
        if end - start > 3 * per_px:
            artists += list(ax.barh(row, end - start, left=start, height=0.5, facecolor=HAIR, edgecolor="none"))
        else:
            artists += ax.plot([start, start], [row - 0.35, row + 0.35], color=INK, linewidth=2.2, clip_on=False)
            end = start
        name = day.trip.steps[int(day.table["step"].iloc[first])].name
        room = text_size(ax.figure, name, SMALL)[0] + 8
        right, left = wide + beyond - end / per_px, start / per_px
        if room > max(left, right):
            name = _fitting(ax, name, max(left, right) - 10)
        if room <= right or right >= left:
            artists.append(ax.text(end + 6 * per_px, row, name, size=SMALL, ha="left", va="center"))
        else:
            artists.append(ax.text(start - 6 * per_px, row, name, size=SMALL, ha="right", va="center"))
    ax.yaxis.set_visible(False)
    ax.spines["left"].set_visible(False)
    ax.xaxis.set_major_locator(MaxNLocator(10, integer=True, steps=[1, 2, 5, 10]))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda v, _: f"{v:g}"))
    axis_words(ax, words)
    return Drawn(artists, [])


def _fitting(ax: Axes, name: str, room: float) -> str:
    """The name cut short to the room there is [px]."""
    while len(name) > 1 and text_size(ax.figure, f"{name}…", SMALL)[0] > room:
        name = name[:-1].rstrip()
    return f"{name}…"


def across(day: DayOut) -> tuple[np.ndarray, str]:
    """Where the points of a day stand across, and what the axis says."""
    hours, nm = day.table["hours"].to_numpy(), day.table["nm"].to_numpy()
    if day.along.timed and hours[-1] > 0:
        return hours, "hours since the start"
    if nm[-1] > 0:
        return nm, "nautical miles run"
    return day.table["step"].to_numpy(dtype=float), "steps"


def chart_words(system: str) -> str:
    """What the chart shows."""
    return f"Lowest mark, {small_unit(system)[1]} above the water, spaces shut; band: 95 % interval"


def day_figure(days: Sequence[DayOut], *, system: str = "metric", width_px: float = PAGE_PX) -> Figure:
    """One trip in one plan or several: chart, steps, the finding over it and the caution under it."""
    if not days:
        raise InputError("no day to draw: name a plan")
    if len({day.trip.name for day in days}) > 1:
        raise InputError("a picture shows one trip; draw each of them by itself")
    wettest = min(days, key=lambda day: day.worst.height)
    page = Page(width_px, days_finding(days, system), day_caution(wettest))
    names = name_width(page.figure, [*(day.plan for day in days), *([SOLE] if len(_soles(days, 1.0)) else [])])
    wide = width_px - 2 * EDGE - TICKS - names
    page.down(headline_height(page.figure, chart_words(system), wide + TICKS))
    page.panel(EDGE + TICKS, wide, TALL, lambda ax: day_chart(ax, days, system=system))
    page.down(TALL + 8)
    tall = ROW * len(days[0].step_ends())
    page.panel(EDGE + TICKS, wide, tall, lambda ax: steps_strip(ax, days[0], names))
    page.down(tall + axis_height(page.figure, across(days[0])[1], wide))
    return page.finish()


def _soles(days: Sequence[DayOut], unit: float) -> list[np.ndarray]:
    """The lowest of the sole, where one plan is drawn and it is not the lowest mark all day."""
    if len(days) != 1:
        return []
    low, _ = days[0].lowest(["sole"])
    return [1000 * low / unit] if len(low) and np.any(1000 * low > days[0].table["least_mm"] + 0.5) else []
