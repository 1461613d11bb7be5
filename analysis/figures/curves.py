"""Hydrostatics over draught, and righting arms as far as the first opening under water.

Three small panels share the draught at the mark; a dot is the boat as she floats. Beyond the first opening under water
to a side there is no righting arm: the region is tinted and says which opening it is.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, MaxNLocator

from analysis.figures.frame import Drawn, axis_words, headline, headline_height, name_line_ends, name_width
from analysis.figures.labels import Label, place_labels
from analysis.figures.pages import EDGE, Page
from analysis.figures.style import INK, LOOKS, PAGE_PX, PAPER, SMALL, WATER, WATER_EDGE
from analysis.studies.curves import Curves, curves_finding
from hullcalc.boats.limits import STANDING_CARE
from hullcalc.floating.righting import Side
from hullcalc.units import factor, say_heel

TICKS = 58.0  # px to the left of an axes for its numbers
PANEL, ARMS = 190.0, 250.0  # px high
AXIS = 46.0  # px under an axes
BETWEEN = 14.0
LEAST_HEEL, MOST_HEEL = 12.0, 60.0  # deg shown to either side


def curves_figure(curves: Curves, *, system: str = "metric", width_px: float = PAGE_PX) -> Figure:
    """Both parts on one page, with the finding over them and the caution under them."""
    foot = " ".join([*curves.righting.limits, *STANDING_CARE, *(["Invented boat."] if curves.boat.invented else [])])
    page = Page(width_px, curves_finding(curves), foot)
    rows = curves.hydrostatics
    mass, length, small = (_unit(kind, system) for kind in ("mass", "length", "small"))
    panels = (
        (f"Displacement, {mass[1]}", {"": rows.displacement / mass[0]}, float(curves.state.mass) / mass[0]),
        (
            f"LCB and LCF, {length[1]} forward",
            {"LCB": rows.lcb / length[0], "LCF": rows.lcf / length[0]},
            None,
        ),
        (
            f"KB and KM, {length[1]} over the keel",
            {"KB": rows.kb / length[0], "KM": rows.km_transverse / length[0]},
            None,
        ),
    )
    wide = (width_px - 2 * EDGE - 2 * BETWEEN) / 3
    rights = [name_width(page.figure, list(lines)) if any(lines) else 12.0 for _, lines, _ in panels]
    inner = [wide - TICKS - right for right in rights]
    page.down(max(headline_height(page.figure, p[0], room + TICKS - 10) for p, room in zip(panels, inner, strict=True)))
    words = f"draught at {curves.mark} ({small[1]})"
    for k, (head, lines, dot) in enumerate(panels):
        page.panel(
            EDGE + k * (wide + BETWEEN) + TICKS, inner[k], PANEL,
            lambda ax, head=head, lines=lines, dot=dot: _against_draught(  # type: ignore[misc]
                ax, head, words, rows.draught / small[0], lines, (curves.draught / small[0], dot)
            ),
        )  # fmt: skip
    page.down(PANEL + AXIS + 18)
    head = f"Righting arms ({length[1]}), liquids moving, trim free"
    page.down(headline_height(page.figure, head, width_px - 2 * EDGE))

    def arms(ax: Axes) -> None:
        righting_arms(ax, curves, system=system)
        headline(ax, head, -TICKS + 10)

    page.panel(EDGE + TICKS, width_px - 2 * EDGE - TICKS, ARMS, arms)
    page.down(ARMS + AXIS)
    return page.finish()


def _unit(kind: str, system: str) -> tuple[float, str]:
    """Size in SI and word of the unit on an axis."""
    if system == "metric":
        return {"mass": (1.0, "kg"), "length": (1.0, "m"), "small": (0.001, "mm")}[kind]
    word = {"mass": "lb", "length": "ft", "small": "in"}[kind]
    return factor(word, "mass" if kind == "mass" else "length"), word


def _against_draught(
    ax: Axes, head: str, words: str, draughts: np.ndarray, lines: dict[str, np.ndarray],
    floats: tuple[float, float | None],
) -> None:  # fmt: skip
    """One or two quantities over draught, each named at its end; a line where she floats."""
    ax.axvline(floats[0], color=WATER_EDGE, linewidth=1.0, linestyle=(0, (4, 3)), zorder=1)
    ends, names, looks = [], [], []
    for look, (name, values) in zip(LOOKS, lines.items(), strict=False):
        ax.plot(draughts, values, color=look.colour, linestyle=look.dashes, linewidth=look.width, zorder=3)
        ends.append((float(draughts[-1]), float(values[-1])))
        names.append(name)
        looks.append(look)
    if floats[1] is not None:
        ax.plot(floats[0], floats[1], "o", markersize=7, markerfacecolor=PAPER, markeredgecolor=INK, zorder=4)
    ax.set_xlim(draughts[0], draughts[-1])
    _ticks(ax)
    axis_words(ax, words)
    headline(ax, head, -TICKS + 10)
    if any(names):
        name_line_ends(ax, ends, names, looks)


def _ticks(ax: Axes) -> None:
    minus = FuncFormatter(lambda x, _: f"{x:g}".replace("-", "−"))
    for axis, most in ((ax.xaxis, 5), (ax.yaxis, 5)):
        axis.set_major_locator(MaxNLocator(most, steps=[1, 2, 2.5, 5, 10]))
        axis.set_major_formatter(minus)
    ax.tick_params(labelsize=SMALL)


def righting_arms(ax: Axes, curves: Curves, *, system: str = "metric") -> Drawn:
    """The arm over heel, port to the left; where an opening is under there is a tinted region and no line."""
    righting = curves.righting
    unit, _ = _unit("length", system)
    sides = {1.0: righting.starboard, -1.0: righting.port}
    reach = max((_shown(side) for side in sides.values() if side is not None), default=MOST_HEEL)
    valid = curves.valid
    heels, arms = righting.heels[valid], righting.gz[valid]
    ends = [s.valid_to for s in sides.values() if s is not None and s.downflooding not in (None, s.rest)]
    heels, arms = _with(heels, arms, ends, righting.heels, righting.gz)
    keep = abs(heels) <= reach
    look = LOOKS[0]
    artists: list[Artist] = [ax.axhline(0, color=INK, linewidth=0.8, zorder=1)]
    artists += ax.plot(heels[keep], arms[keep] / unit, color=look.colour, linewidth=look.width, zorder=3)
    ax.set_xlim(-reach, reach)
    low, high = (min(0.0, *(arms[keep] / unit)), max(0.0, *(arms[keep] / unit))) if keep.any() else (0.0, 0.0)
    room = max(high - low, 0.02 / unit) * 0.12
    ax.set_ylim(low - room, high + room)
    labels = []
    for sign, side in sides.items():
        if side is not None and side.downflooding is not None and abs(side.downflooding) < reach:
            start, end = sorted((side.downflooding, sign * reach))
            artists.append(ax.axvspan(start, end, facecolor=WATER, edgecolor="none", zorder=0))
            artists.append(ax.axvline(side.downflooding, color=WATER_EDGE, linewidth=1.4, zorder=2))
            words = f"{side.first_under}\nunder water:\nno arm to tell"
            labels.append(Label(words, [((start + end) / 2, (low + high) / 2)], ("on", "anywhere"), leader=False))
    rest = float(righting.state.heel)
    artists += ax.plot(rest, 0.0, "o", markersize=7, markerfacecolor=PAPER, markeredgecolor=INK, zorder=4)
    labels.append(Label(f"rests {say_heel(rest)}", [(rest, 0.0)]))
    ax.xaxis.set_major_locator(MaxNLocator(9, steps=[1, 2, 5, 10]))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda x, _: f"{abs(x):g}"))
    if len(heels[keep]) > 1:
        ax.yaxis.set_major_locator(MaxNLocator(6, steps=[1, 2, 2.5, 5, 10]))
    else:  # nothing to measure
        ax.set_yticks([0.0])
    ax.yaxis.set_major_formatter(FuncFormatter(lambda x, _: f"{x:g}".replace("-", "−")))
    ax.tick_params(labelsize=SMALL)
    axis_words(ax, "heel (degrees), port left and starboard right; an arm above the line turns her to port")
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)


def _shown(side: Side) -> float:
    """How far to show a side: twice as far as its arm is valid, within limits."""
    return float(np.clip(2.0 * abs(side.valid_to), LEAST_HEEL, MOST_HEEL))


def _with(
    heels: np.ndarray, arms: np.ndarray, ends: Sequence[float], all_heels: np.ndarray, all_arms: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """The points of a line with its ends put in, on the chords between the heels looked at."""
    heels = np.concatenate([heels, ends])
    arms = np.concatenate([arms, np.interp(ends, all_heels, all_arms)])
    order = np.argsort(heels, kind="stable")
    return heels[order], arms[order]
