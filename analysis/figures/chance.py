"""How sure we are, as a picture: the curve of chances over the water, whose doubt it is, and what to measure next.

The curves are the draws, smoothed: a thin dashed one with her level, a full one with what leans her too. The part of
the full curve that lies under water is hatched, and its share is said. Bars of what leans her are hatched.
"""

from __future__ import annotations

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, MaxNLocator
from scipy.stats import gaussian_kde

from analysis.figures.bars import bar_names, ranked_bars, row_places
from analysis.figures.frame import Drawn, axis_height, axis_words, headline, headline_height, tick_label_width
from analysis.figures.ground import text_size
from analysis.figures.labels import Label, place_labels, wrapped
from analysis.figures.pages import BETWEEN, EDGE, Page
from analysis.figures.style import DEEPER, INK, MUTED, PAGE_PX, SMALL, WATER, WATER_EDGE, points
from analysis.studies.chances import say_chance
from analysis.studies.sure import LOWEST, Sure
from analysis.studies.sure_words import lowest_name, say_fine, sure_finding
from analysis.studies.words import caution, small_unit
from hullcalc.errors import InputError
from hullcalc.units import say_height

UNDER, ABOVE = "under water", "above"
TALL, NARROW_TALL = 230.0, 320.0  # px of the curves; on a phone their names need more lines
POINTS = 301
SPREAD = 4.0  # standard deviations shown at either side
HEADROOM, NARROW_HEADROOM, LIKELY = 1.7, 2.4, 1.12  # tops of the Axes and of the likely height's line, in curves
LABEL = 0.40  # of the Axes' width a line of a curve's name may take
PHONE = 560.0  # px: narrower pages are those of a phone
SHARES, MEASURES = 8, 6  # rows
NAMES, NARROW = 330.0, 0.42  # px a row's name may take, and as part of the page at most


def chance_curve(ax: Axes, sure: Sure, *, system: str = "metric") -> Drawn:
    """Draw the smoothed draws of the mark told of, with the water to the left of zero. The Axes must have its place.

    Raises InputError where she sinks in every draw.
    """
    unit, word = small_unit(system)
    draws = {level: sure.draws_of(sure.told, level) / unit for level in (True, False)}
    if not all(len(drawn) for drawn in draws.values()):
        raise InputError(f"{sure.plan}, {sure.condition}: she sinks in every draw, so there is no height to show")
    mean, sd = draws[False].mean(), draws[False].std()
    low, high = _limits(ax, mean - SPREAD * sd, mean + SPREAD * sd)
    x = np.linspace(low, high, POINTS)
    curves = {level: _density(drawn, x) for level, drawn in draws.items()}
    top = max(curve.max() for curve in curves.values())
    ax.set_xlim(low, high)
    ax.set_ylim(0, top * (HEADROOM if ax.bbox.width > PHONE else NARROW_HEADROOM))
    ax.yaxis.set_visible(False)
    ax.spines["left"].set_visible(False)
    artists: list[Artist] = [ax.axvspan(low, 0, facecolor=WATER, edgecolor="none", zorder=0)]
    artists.append(ax.axvline(0, color=WATER_EDGE, linewidth=1.6, zorder=1))
    under = x <= 0
    if np.any(under):
        at = np.append(x[under], 0.0)
        artists.append(
            ax.fill_between(at, np.interp(at, x, curves[False]), facecolor=DEEPER, hatch="////", edgecolor=INK,
                            linewidth=0.0, zorder=2)
        )  # fmt: skip
    artists += ax.plot(x, curves[False], color=INK, linewidth=2.2, zorder=3)
    artists += ax.plot(x, curves[True], color=WATER_EDGE, linewidth=1.5, dashes=(5, 3), zorder=3)
    likely = sure.row(sure.told)["height_mm"] / unit
    artists += ax.plot([likely, likely], [0, LIKELY * top], color=MUTED, linewidth=1.2, linestyle=":", zorder=4)
    for words, gap, align in ((UNDER, -6, "right"), (ABOVE, 6, "left")):
        artists.append(
            ax.annotate(words, (0, 1), points(gap, -4), xycoords=("data", "axes fraction"), textcoords="offset points",
                        ha=align, va="top", size=SMALL, style="italic", color=WATER_EDGE if gap < 0 else INK)
        )  # fmt: skip
    axis_words(ax, curve_axis(sure, word))
    ax.xaxis.set_major_locator(MaxNLocator(8, steps=[1, 2, 5, 10]))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda v, _: f"{v:g}".replace("-", "−")))
    # The labels' map of pixels knows lines and patches, not areas: the hatched one is under the curve anyway.
    placed, labels = place_labels(ax, _labels(ax, sure, x, curves, likely, system))
    return Drawn([*artists, *labels], placed)


def _limits(ax: Axes, low: float, high: float) -> tuple[float, float]:
    """Limits of x that hold what is drawn, the zero line, and the words at either side of it."""
    left, right = (text_size(ax.figure, words, SMALL)[0] + 14 for words in (UNDER, ABOVE))
    per_px = 0.0
    for _ in range(400):  # each time wider, by less and less
        ends = min(low, -left * per_px), max(high, right * per_px)
        wider = (ends[1] - ends[0]) / ax.bbox.width
        if wider <= per_px * (1 + 1e-6):
            break
        per_px = wider
    return ends if ends[1] > ends[0] else (-1.0, 1.0)


def _labels(
    ax: Axes, sure: Sure, x: np.ndarray, curves: dict[bool, np.ndarray], likely: float, system: str
) -> list[Label]:  # fmt: skip
    said = [
        (True, f"with her level: {say_chance(sure.chance(sure.told, True))} under water", WATER_EDGE),
        (False, f"with what leans her too: {say_chance(sure.chance(sure.told))} under water", INK),
    ]
    labels = []
    for level, words, colour in said:
        curve = curves[level]
        steep = [int(np.argmax(curve > share * curve.max())) for share in (0.85, 0.6, 0.4)]
        falls = [len(x) - 1 - int(np.argmax(curve[::-1] > share * curve.max())) for share in (0.85, 0.6, 0.4)]
        at = [(float(x[i]), float(curve[i])) for i in (*falls, *steep)]
        words = wrapped(ax.figure, words, LABEL * ax.bbox.width, SMALL)
        labels.append(Label(words, at, where=("right", "left", "anywhere"), colour=colour, clear=3.0))
    top = max(curve.max() for curve in curves.values())
    height = say_height(sure.row(sure.told)["height_mm"] / 1000, system)
    labels.append(
        Label(f"likely {height}", [(likely, LIKELY * top)], where=("above", "right", "left", "high"), clear=3.0)
    )
    return labels


def curve_axis(sure: Sure, word: str) -> str:
    """What the axis of the curves shows."""
    mark = f"{lowest_name(sure)} ({sure.of})" if sure.told == LOWEST else sure.watched
    return f"{mark}, {word} above the water (minus: under), openings shut; higher where more of {sure.n} draws lie"


def _density(drawn: np.ndarray, x: np.ndarray) -> np.ndarray:
    """The draws smoothed, at x; a spike where they do not scatter."""
    if len(drawn) < 2 or drawn.std() < 1e-9 * (x[-1] - x[0]):
        density = np.zeros_like(x)
        if len(drawn):
            density[np.argmin(abs(x - drawn[0]))] = 1.0 / (x[1] - x[0])
        return density
    smooth: np.ndarray = gaussian_kde(drawn)(x)
    return smooth


def chance_figure(sure: Sure, *, system: str = "metric", width_px: float = PAGE_PX) -> Figure:
    """Curve of chances, shares of doubt and what to measure next, one under the other."""
    page = Page(width_px, sure_finding(sure, system), caution([sure.case], system))
    wide = width_px - 2 * EDGE
    word = small_unit(system)[1]
    page.down(headline_height(page.figure, curve_head(sure), wide))
    tall = TALL if width_px > PHONE else NARROW_TALL
    page.panel(
        EDGE,
        wide,
        tall,
        lambda ax: _with_head(ax, curve_head(sure), 0.0, lambda: chance_curve(ax, sure, system=system)),
    )
    page.down(tall + axis_height(page.figure, curve_axis(sure, word), wide) + BETWEEN)
    shown = sure.shares.head(SHARES)
    leans = [bool(lean) for lean in shown["leans"]]
    words = [f"{100 * s:.0f} %{', leans her' if lean else ''}" for s, lean in zip(shown["share"], leans, strict=True)]
    _add_bars(page, shares_head(sure), list(shown["group"]), list(100 * shown["share"]), words,
              "per cent of the variance", leans)  # fmt: skip
    ranked = sure.next.ranked[sure.next.ranked["removed_mm"] > 0].head(MEASURES)
    if len(ranked):
        per_ten = list(ranked["per_ten_minutes_mm"] / small_unit(system)[0])
        minutes = [f"{say_fine(mm, system)}; takes {m:.0f} min" for mm, m in
                   zip(ranked["per_ten_minutes_mm"], ranked["minutes"], strict=True)]  # fmt: skip
        _add_bars(page, next_head(sure), list(ranked["measure"]), per_ten, minutes,
                  f"{word} of uncertainty taken off in ten minutes", [])  # fmt: skip
    return page.finish()


def curve_head(sure: Sure) -> str:
    """What the curves show."""
    return f"How high {'the lowest stands' if sure.told == LOWEST else f'{sure.watched} stands'}"


def shares_head(sure: Sure) -> str:
    """What the first bars show."""
    return f"Where the uncertainty at {sure.watched} comes from"


def next_head(sure: Sure) -> str:
    """What the second bars show."""
    return f"What to measure next, for {sure.watched}"


def _with_head(ax: Axes, words: str, left: float, draw) -> None:
    draw()
    headline(ax, words, left)


def _add_bars(
    page: Page, head: str, names: list[str], values: list[float], words: list[str], axis: str, hatched: list[bool]
) -> None:
    """Ranked bars with their headline across the page."""
    wide = page.width - 2 * EDGE
    lines = bar_names(page.figure, names, min(NAMES, NARROW * wide))
    left = tick_label_width(page.figure, lines)
    tall = row_places(lines)[-1][1]
    page.down(headline_height(page.figure, head, wide))
    page.panel(
        EDGE + left, wide - left, tall,
        lambda ax: _with_head(ax, head, -left, lambda: ranked_bars(ax, lines, values, words, axis, hatched)),
    )  # fmt: skip
    page.down(tall + axis_height(page.figure, axis, wide - left) + BETWEEN)
