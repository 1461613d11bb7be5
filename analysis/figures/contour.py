"""The least mark over two knobs: lines of equal height in words, the water's own line thick, what lies under hatched.

Where a tank does not fit the hull no figure is drawn. A second plan gives the line on which both are equal, named on
either side after the plan that keeps the mark higher there.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, MaxNLocator
from scipy.interpolate import RegularGridInterpolator

from analysis.figures.frame import Drawn
from analysis.figures.labels import Label, Placed, place_labels, wrapped
from analysis.figures.pages import EDGE, Page
from analysis.figures.style import HAIR, INK, MOVED, MUTED, PAGE_PX, PAPER, SMALL, WATER_EDGE
from analysis.studies.isolines import lines_at
from analysis.studies.sweep_words import FITS, fitting, knob_name, shown_unit, sweep_caution, sweep_finding
from analysis.studies.sweeps import Sweep, where_equal
from hullcalc.errors import InputError
from hullcalc.units import say_height

LINES = 7  # about as many are drawn
STEPS_MM = (1, 2, 5, 10, 20, 25, 50, 100, 200, 500)
EIGHTH = 1000 * 0.0254 / 8  # mm
TALL = 460.0  # px
LEFT, UNDER = 62.0, 52.0  # px for the axes' figures and names
HATCH = 11.0  # px between the strokes
NARROW = 170.0  # px: names of regions are broken into lines of this width
MOST_SPOTS = 80  # places tried for each
KEEP_OFF = 6.0  # px between a stroke and a text
AT_THE_WATER = "at the water"


def contour(ax: Axes, swept: Sweep, other: Sweep | None = None, *, system: str = "metric") -> Drawn:
    """Draw the least mark of a grid of two knobs on an Axes that has its final place and size.

    Raises InputError where the states are no grid of two knobs with at least two values each.
    """
    check_two(swept)
    units = [shown_unit(knob, system)[0] for knob in swept.knobs]
    x, y = (axis / unit for axis, unit in zip(swept.axes, units, strict=True))
    fits = swept.on_grid(fitting(swept))
    field = np.where(fits, swept.on_grid(swept.least_mm), np.nan)  # an axis a knob
    _axes(ax, swept, x, y, system)
    artists: list[Artist] = []
    labels: list[Label] = []
    for level in _levels(field, system):
        artists += _line(ax, lines_at(x, y, field.T, level), level, labels, system)
    if other is not None:
        artists += _crossing(ax, swept, other, units, labels)
    artists += _present(ax, swept, units, labels)
    outside = swept.on_grid(swept.swept.outside) > FITS
    labels += _region_words(ax, x, y, field < 0, "under water", WATER_EDGE)
    labels += _region_words(ax, x, y, outside, "tank outside the hull", MUTED)
    places, texts = place_labels(ax, labels)
    sample = RegularGridInterpolator((x, y), field, bounds_error=False)
    artists += _hatch(ax, lambda points: sample(points) < 0, places, 1, WATER_EDGE)
    if outside.any():
        out = RegularGridInterpolator((x, y), outside.astype(float), "nearest", bounds_error=False, fill_value=0.0)
        artists += _hatch(ax, lambda points: out(points) > 0.5, places, -1, HAIR)
    return Drawn([*artists, *texts], places)


def contour_figure(
    swept: Sweep, now_mm: float, other: Sweep | None = None, *, system: str = "metric", width_px: float = PAGE_PX
) -> Figure:
    """The contour with its finding over it and the caution in the foot; `now_mm` is the least mark as she is."""
    finding = sweep_finding(swept, now_mm, system)
    page = Page(width_px, finding[:1].upper() + finding[1:], f"{_reading(swept, other)} {sweep_caution(swept)}")
    wide = width_px - 2 * EDGE - LEFT
    page.panel(EDGE + LEFT, wide, TALL, lambda ax: contour(ax, swept, other, system=system))
    page.down(TALL + UNDER)
    return page.finish()


def check_two(swept: Sweep) -> None:
    """Raise an InputError unless the sweep is a grid of two knobs with two values each or more."""
    if len(swept.axes) != 2 or min(map(len, swept.axes)) < 2:
        raise InputError("a contour takes two knobs with at least two values each; sweep two, or write a .csv")


def _reading(swept: Sweep, other: Sweep | None) -> str:
    said = "A diamond: as she is planned."
    if np.nanmin(swept.least_mm, initial=0.0) < 0:
        said = f"Hatched: under water. {said}"
    if (swept.swept.outside > FITS).any():
        said += " Hatched the other way: a tank stands outside the hull, and no line is drawn."
    if other is not None:
        said += f" Dash-dotted: {swept.plan} and {other.plan} keep the mark equally high."
    return said


def _axes(ax: Axes, swept: Sweep, x: np.ndarray, y: np.ndarray, system: str) -> None:
    ax.set_xlim(x.min(), x.max())
    ax.set_ylim(y.min(), y.max())
    for axis, knob, write in ((ax.xaxis, swept.knobs[0], ax.set_xlabel), (ax.yaxis, swept.knobs[1], ax.set_ylabel)):
        _, unit = shown_unit(knob, system)
        along = ", forward of the transom" if knob.label.startswith("place of") else ""
        write(f"{knob_name(knob)}{along} ({unit})", fontsize=SMALL)
        axis.set_major_locator(MaxNLocator(7, steps=[1, 2, 2.5, 5, 10]))
        axis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:g}".replace("-", "−")))
    ax.tick_params(axis="y", labelsize=SMALL)
    for name, line in (("left", ([0, 0], [0, 1])), ("bottom", ([0, 1], [0, 0]))):
        ax.spines[name].set_visible(False)  # drawn as a line, so that labels keep off it
        ax.plot(*line, color=MUTED, linewidth=0.8, transform=ax.transAxes, zorder=4, clip_on=False)


def _levels(field: np.ndarray, system: str) -> list[float]:
    """Round heights [mm] within the field, the water's among them."""
    known = field[np.isfinite(field)]
    if not len(known):
        return []
    low, high = float(known.min()), float(known.max())
    steps = STEPS_MM if system == "metric" else [EIGHTH * k for k in (1, 2, 4, 8, 16, 32, 64)]
    step = next((s for s in steps if (high - low) / s <= LINES), steps[-1])
    return [step * k for k in range(int(np.ceil(low / step)), int(np.floor(high / step)) + 1)]


def _line(ax: Axes, pieces: list[np.ndarray], level: float, labels: list[Label], system: str) -> list[Artist]:
    """One line of equal height, named once; the water's is thick."""
    artists: list[Artist] = []
    water = level == 0
    for piece in pieces:
        artists += ax.plot(*piece.T, color=WATER_EDGE, linewidth=2.8 if water else 1.0, zorder=3)
    if pieces:
        text = AT_THE_WATER if water else say_height(level / 1000, system)
        labels.append(_on_line(ax, max(pieces, key=len), text, WATER_EDGE, "bold" if water else "normal"))
    return artists


def _on_line(ax: Axes, piece: np.ndarray, text: str, colour: str, weight: str = "normal") -> Label:
    """A label beside a line, at one of several points of it."""
    inner = piece[len(piece) // 10 : len(piece) - len(piece) // 10] if len(piece) > 9 else piece
    at = [(float(a), float(b)) for a, b in inner[:: max(1, len(inner) // 9)]]
    return Label(text, at, ("right", "left", "above", "below", "anywhere"), colour, weight=weight, clear=2.0)


def _crossing(ax: Axes, swept: Sweep, other: Sweep, units: Sequence[float], labels: list[Label]) -> list[Artist]:
    """Where both plans keep the mark equally high, named after the better plan on each side."""
    artists: list[Artist] = []
    lines = [line / np.array(units) for line in where_equal(swept, other)]
    for line in lines:
        artists += ax.plot(*line.T, color=MOVED, linewidth=1.8, linestyle=(0, (6, 2, 1.5, 2)), zorder=3.5)
    if lines:
        labels.append(_on_line(ax, max(lines, key=len), "both equal", MOVED))
    x, y = (axis / unit for axis, unit in zip(swept.axes, units, strict=True))
    better = swept.on_grid(swept.least_mm - other.least_mm)
    for chosen, plan in ((better > 0, swept.plan), (better < 0, other.plan)):
        labels += _region_words(ax, x, y, chosen, f"{plan} higher", MOVED)
    return artists


def _present(ax: Axes, swept: Sweep, units: Sequence[float], labels: list[Label]) -> list[Artist]:
    """The knobs as they are now, where that is within the picture."""
    at = (swept.knobs[0].now / units[0], swept.knobs[1].now / units[1])
    if any(not low <= a <= high for a, (low, high) in zip(at, (ax.get_xlim(), ax.get_ylim()), strict=True)):
        return []
    where = ("right", "left", "above", "below", "anywhere")
    labels.append(Label("as planned", [at], where, INK, weight="bold", clear=9.0))
    return list(
        ax.plot(*at, "D", markersize=9, markerfacecolor=PAPER, markeredgecolor=INK, markeredgewidth=1.8, zorder=5,
                clip_on=False)
    )  # fmt: skip


def _region_words(ax: Axes, x: np.ndarray, y: np.ndarray, where: np.ndarray, words: str, colour: str) -> list[Label]:
    """The name of a region, at places of the grid all over it, the middle first; none where it is empty."""
    i, j = np.nonzero(where)
    if not len(i):
        return []
    spots = np.column_stack([x[i], y[j]])
    reach = np.array([np.ptp(x), np.ptp(y)])
    order = np.argsort(np.hypot(*((spots - spots.mean(axis=0)) / reach).T))
    order = order[:: max(1, len(order) // MOST_SPOTS)]
    at = [(float(a), float(b)) for a, b in spots[order]]
    text = wrapped(ax.figure, words, NARROW, SMALL)
    return [Label(text, at, ("on", "anywhere"), colour, style="italic", clear=0.0)]


def _hatch(
    ax: Axes, inside: Callable[[np.ndarray], np.ndarray], places: Sequence[Placed], way: int, colour: str
) -> list[Artist]:
    """Slanting strokes over a region, off the texts placed before: `inside` tells of points (k, 2) in data."""
    left, bottom, right, top = ax.bbox.extents
    back = ax.transData.inverted().transform
    boxes = [place.box + np.array([-KEEP_OFF, -KEEP_OFF, KEEP_OFF, KEEP_OFF]) for place in places]
    tall = top - bottom
    along = np.arange(0.0, tall + 1.0)
    strokes: list[np.ndarray] = []
    for start in np.arange(left - tall, right + tall, HATCH):
        px = np.column_stack([start + way * along, bottom + along])
        px = px[(px[:, 0] >= left) & (px[:, 0] <= right)]
        if len(px) < 2:
            continue
        on = np.asarray(inside(back(px)), dtype=bool)
        for a, b, c, d in boxes:
            on &= ~((px[:, 0] >= a) & (px[:, 0] <= c) & (px[:, 1] >= b) & (px[:, 1] <= d))
        points = back(px)
        points[~on] = np.nan
        strokes += [points, np.full((1, 2), np.nan)]
    if not strokes:
        return []
    return list(ax.plot(*np.vstack(strokes).T, color=colour, linewidth=0.6, alpha=0.8, zorder=1.5))
