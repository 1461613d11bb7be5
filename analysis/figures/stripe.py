"""The boot stripe: her profile with the band that the water covers from light to full, and that band enlarged.

Forward to the right. The profile has one scale both ways; below it the heights are drawn larger than the lengths, as
the axis says. Water lines are those with the heel taken out, along the hull's side; spaces shut.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, MaxNLocator

from analysis.figures import shapes
from analysis.figures.frame import (
    Drawn,
    Room,
    headline,
    headline_height,
    length_axis,
    name_line_ends,
    name_width,
    to_scale,
)
from analysis.figures.labels import Label, place_labels
from analysis.figures.pages import EDGE, Page
from analysis.figures.style import HAIR, HULL, INK, MOVED, MUTED, PAGE_PX, SMALL, WATER, WATER_EDGE, Look
from analysis.studies.stripe import Stripe
from analysis.studies.stripe_words import stripe_caution, stripe_finding
from analysis.studies.words import small_unit
from hullcalc.boats.skin import Plane, height_at, level_across, waterline
from hullcalc.units import say_length_mm

LEFT = 0.5  # m kept free for words aft of the transom
TALL = 230.0  # px of the enlarged band
TICKS, AXIS = 54.0, 52.0
AROUND = np.array([0.25, 0.05])  # m beyond the ends, and over and under her
NEW, OLD = "new lower edge", "old lower edge"
NEW_LOOK, OLD_LOOK = Look(MOVED, "-", "s", width=2.4), Look(INK, (0, (5, 3)), "o", width=1.5)
WATER_LOOK, DEPARTS_LOOK = Look(MUTED, (0, (1, 2)), "o", width=1.2), Look(WATER_EDGE, "-", "o", width=1.8)


def profile_band(ax: Axes, found: Stripe, *, system: str = "metric") -> Drawn:
    """Her profile to scale with the band between the lowest and the highest water line and the new lower edge."""
    hull = found.boat.hull
    outline = shapes.profile(hull)
    low, high = outline.min(axis=0), outline.max(axis=0)
    to_scale(ax, low - AROUND, high + AROUND, Room(4, 4, 26, 22))
    length_axis(ax, (low[0], high[0]), "forward of the transom's lower end, heights to the same scale", system)
    (shell,) = ax.fill(*outline.T, facecolor=HULL, edgecolor=INK, linewidth=1.4, zorder=2)
    artists: list[Artist] = [shell]
    artists += ax.plot(*shapes.chine(hull).T, color=HAIR, linewidth=0.8, zorder=2.2)
    x = np.linspace(low[0], high[0], 60)
    lower, upper = _band(found, x)
    (band,) = ax.fill(np.append(x, x[::-1]), np.append(lower, upper[::-1]), facecolor=WATER, edgecolor=WATER_EDGE,
                      linewidth=0.8, zorder=2.4)  # fmt: skip
    band.set_clip_path(shell)
    artists.append(band)
    edge = _on_side(found, found.lower_edge)
    artists += ax.plot(*edge.T, color=NEW_LOOK.colour, linewidth=NEW_LOOK.width, zorder=3)
    spots = [(float(x), float(z)) for x, z in edge[len(edge) // 5 : -len(edge) // 5]]
    wet = [(float(a), float(b)) for a, b in zip(x[6:-20:3], lower[6:-20:3], strict=True)]
    labels = [
        Label(NEW, spots, ("high",), NEW_LOOK.colour, SMALL, "bold", clear=2.0),
        Label("water, light to full", wet, ("low",), WATER_EDGE, SMALL, clear=0.0),
    ]
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)


def enlarged_band(ax: Axes, found: Stripe, *, system: str = "metric") -> Drawn:
    """Heights above the keel line of the water lines, the old stripe and the new lower edge, along the boat."""
    unit, _ = small_unit(system)
    lines, looks = _lines(found)
    curves = {name: _straight(found, plane) * [1.0, 1000 / unit] for name, plane in lines.items()}
    old = _old(found, unit)
    if old is not None:
        curves[OLD], looks[OLD] = old, OLD_LOOK
    x_low, x_high = _reach(found)
    low = min(float(curve[:, 1].min()) for curve in curves.values())
    high = max(float(curve[:, 1].max()) for curve in curves.values())
    air = 0.16 * (high - low) + 5 / unit
    ax.set_xlim(x_low - LEFT, x_high)
    ax.set_ylim(low - air, high + air)
    x = np.linspace(x_low, x_high, 60)
    lower, upper = (1000 / unit * z for z in _band(found, x))
    around = (np.append(x, x[::-1]), np.append(lower, upper[::-1]))
    artists: list[Artist] = list(ax.fill(*around, facecolor=WATER, edgecolor="none", zorder=1))
    artists.append(ax.axvline(x_low - LEFT, color=MUTED, linewidth=0.8))  # on the axis: words keep off what is drawn
    for name, curve in curves.items():
        look = looks[name]
        artists += ax.plot(*curve.T, color=look.colour, linestyle=look.dashes, linewidth=look.width, zorder=3)
    beside = [name for name in curves if looks[name] != WATER_LOOK]
    ends = [(x_high, float(curves[name][-1, 1])) for name in beside]
    artists += name_line_ends(ax, ends, beside, [looks[name] for name in beside])
    labels = [_on_its_line(name, curves) for name in curves if name not in beside]
    for _, row in found.table.iterrows():
        at = (float(row["x_m"]), float(row["paint_mm"]) / unit)
        artists += ax.plot(*at, "s", markersize=6, color=NEW_LOOK.colour, zorder=5, clip_on=False)
        said = say_length_mm(row["paint_mm"] / 1000, system)
        labels.append(
            Label(said, [at], ("above", "below", "right", "anywhere"), NEW_LOOK.colour, SMALL, "bold", clear=7.0)
        )
        if not np.isnan(row["old_mm"]):
            at = (float(row["x_m"]), float(row["old_mm"]) / unit)
            artists += ax.plot(
                *at, "o", markersize=5, markerfacecolor="white", markeredgecolor=INK, zorder=5, clip_on=False
            )
            said = say_length_mm(row["old_mm"] / 1000, system)
            labels.append(Label(said, [at], ("below", "above", "right", "anywhere"), INK, SMALL, clear=7.0))
    length_axis(ax, (x_low, x_high), "forward of the transom's lower end, heights drawn larger", system)
    ax.yaxis.set_visible(True)
    ax.spines["left"].set_visible(True)
    ax.yaxis.set_major_locator(MaxNLocator(7, steps=[1, 2, 5, 10]))
    ax.yaxis.set_major_formatter(FuncFormatter(lambda z, _: f"{z:g}".replace("-", "−")))
    ax.tick_params(axis="y", labelsize=SMALL)
    artists.append(headline(ax, band_words(system), left=-TICKS))
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)


def _on_its_line(name: str, curves: dict[str, np.ndarray]) -> Label:
    """The name of a water line near where it is farthest from the other lines."""
    (start, end), others = curves[name], [curve for other, curve in curves.items() if other != name]
    along = np.linspace(0.05, 0.95, 37)
    free = np.min([abs((1 - along) * (c[0, 1] - start[1]) + along * (c[1, 1] - end[1])) for c in others], axis=0)
    spots = [tuple(start + t * (end - start)) for t in along[np.argsort(-free, kind="stable")[:12]]]
    return Label(name, spots, ("below", "above", "anywhere"), MUTED, SMALL, clear=4.0)


def band_words(system: str) -> str:
    """What the enlarged band shows."""
    return f"The same enlarged: {small_unit(system)[1]} above the keel line"


def stripe_figure(found: Stripe, *, system: str = "metric", width_px: float = PAGE_PX) -> Figure:
    """Profile and enlarged band, the finding over them and the caution under."""
    page = Page(width_px, stripe_finding(found, system), stripe_caution(found))
    outline = shapes.profile(found.boat.hull)
    size = np.ptp(outline, axis=0) + 2 * AROUND
    wide = width_px - 2 * EDGE
    tall = (wide - 8) * size[1] / size[0] + 48
    page.panel(EDGE, wide, tall, lambda ax: profile_band(ax, found, system=system))
    page.down(tall + AXIS)
    looks = _lines(found)[1]
    names = name_width(page.figure, [OLD, *(name for name, look in looks.items() if look != WATER_LOOK)])
    page.down(headline_height(page.figure, band_words(system), wide))
    page.panel(EDGE + TICKS, wide - TICKS - names, TALL, lambda ax: enlarged_band(ax, found, system=system))
    page.down(TALL + AXIS)
    return page.finish()


def _band(found: Stripe, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The lowest and the highest water of any case along the boat [m]."""
    planes = [level_across(case.shut.plane) for case in found.cases.values()]
    heights = np.array([[height_at(plane, float(v)) for v in x] for plane in planes])
    return heights.min(axis=0), heights.max(axis=0)


def _lines(found: Stripe) -> tuple[dict[str, Plane], dict[str, Look]]:
    """Planes to draw by name: the lowest and the highest water aft, the one she departs in, the new lower edge."""
    aft = sorted(found.cases, key=lambda name: height_at(level_across(found.cases[name].shut.plane), 0.0))
    names = dict.fromkeys([aft[0], found.departure, aft[-1]])
    lines = {name: level_across(found.cases[name].shut.plane) for name in names}
    looks = {name: DEPARTS_LOOK if name == found.departure else WATER_LOOK for name in names}
    return lines | {NEW: found.lower_edge}, looks | {NEW: NEW_LOOK}


def _reach(found: Stripe) -> tuple[float, float]:
    """From the transom to where the new lower edge leaves the hull forward [m]."""
    x = _on_side(found, found.lower_edge)[:, 0]
    return float(x.min()), float(x.max())


def _on_side(found: Stripe, plane: Plane) -> np.ndarray:
    """The line of a plane along the hull's side, from the side: (k, 2) x and z."""
    return waterline(found.boat.hull, plane)[:, [0, 2]]


def _straight(found: Stripe, plane: Plane) -> np.ndarray:
    reach = np.array(_reach(found))
    return np.column_stack([reach, [height_at(plane, float(x)) for x in reach]])


def _old(found: Stripe, unit: float) -> np.ndarray | None:
    """The old lower edge from mark to mark and on to the ends, (2, 2); None where fewer than two marks are known."""
    known: Sequence[tuple[float, float]] = [(p.x, 1000 * p.old / unit) for p in found.places if p.old is not None]
    if len(known) < 2:
        return None
    (x0, z0), (x1, z1) = known[0], known[-1]
    reach = np.array(_reach(found))
    return np.column_stack([reach, z0 + (reach - x0) * (z1 - z0) / (x1 - x0)])
