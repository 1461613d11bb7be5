"""A tilted liquid: the tank from astern with its surface upright and heeled, and the moment it heels her with.

The tank is held still and the surface tilts, level with the sea. Beside it, the moment of the liquid that runs to the
low side over heel: i ρ sin(heel) by hand, and exactly.
"""

from __future__ import annotations

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, MaxNLocator

from analysis.figures import shapes
from analysis.figures.frame import (
    Drawn,
    Room,
    axis_words,
    headline,
    headline_height,
    name_line_ends,
    name_width,
    to_scale,
)
from analysis.figures.labels import Label, place_labels
from analysis.figures.pages import EDGE, Page
from analysis.figures.side_view import GASOLINE_LIKE
from analysis.figures.style import AS_FOUND_LOOK, FUEL, INK, LIVEWELL, LOOKS, MUTED, PAGE_PX, PAPER, SMALL
from analysis.studies.by_hand.saying import say_figure
from analysis.studies.by_hand.sums import Figure as Shown
from analysis.studies.by_hand.surface import HEELS, FreeSurface, FreeSurfaces
from analysis.studies.words import capital
from hullcalc.boats.limits import STANDING_CARE
from hullcalc.units import factor

TALL, AXIS, TICKS = 230.0, 46.0, 52.0  # px
AT = 10.0  # deg of heel drawn


def liquid_finding(one: FreeSurface, system: str = "metric") -> str:
    """What the surface takes off GM by hand and exactly, without a full stop."""
    hand, exact = (say_figure(Shown(v, "small"), system) for v in (one.by_hand, one.exact))
    name = f"{capital(one.tank.name)}, {100 * one.fill:.0f} % full"
    return f"{name}: its free surface takes {hand} off GM by hand, {exact} exactly"


def liquid_figure(
    surfaces: FreeSurfaces, index: int, invented: bool, *, system: str = "metric", width_px: float = PAGE_PX
) -> Figure:
    """The tank and its curve."""
    one = surfaces.tanks[index]
    foot = ["The hand's figure holds until the liquid touches the top or bares the bottom.", *STANDING_CARE]
    page = Page(width_px, liquid_finding(one, system), " ".join([*foot, *(["Invented boat."] if invented else [])]))
    wide = width_px - 2 * EDGE
    left = 0.38 * wide
    right = name_width(page.figure, ["by hand", "exactly"])
    heads = (f"From astern, heeled {AT:.0f}° to starboard", "Moment that heels her further, " + _unit(system)[1])
    page.down(max(headline_height(page.figure, head, left) for head in heads))

    def tank(ax: Axes) -> None:
        tilted_liquid(ax, surfaces, index)
        headline(ax, heads[0])

    def curve(ax: Axes) -> None:
        shift_curve(ax, one, system=system)
        headline(ax, heads[1], -TICKS + 6)

    page.panel(EDGE, left, TALL, tank)
    page.panel(EDGE + left + TICKS + 12, wide - left - TICKS - 12 - right, TALL, curve)
    page.down(TALL + AXIS)
    return page.finish()


def _unit(system: str) -> tuple[float, str]:
    return (1.0, "kg m") if system == "metric" else (factor("lb", "mass") * factor("ft", "length"), "lb ft")


def tilted_liquid(ax: Axes, surfaces: FreeSurfaces, index: int) -> Drawn:
    """The tank's outline from astern, the liquid under the tilted surface, the upright surface dashed."""
    one = surfaces.tanks[index]
    outline = shapes.silhouette(one.tank.solid, shapes.ASTERN)
    low, high = outline.min(axis=0), outline.max(axis=0)
    to_scale(ax, low, high, Room(14, 14, 46, 34))
    ax.set_axis_off()
    held = surfaces.held
    names = [q.name for q in held.liquids]
    offsets = np.asarray(held.liquids[names.index(one.tank.name)].surface_offset)
    x = float(one.tank.solid.centroid[0])
    artists: list[Artist] = []
    colour = FUEL if one.tank.density < GASOLINE_LIKE else LIVEWELL
    at = int(np.argmin(abs(HEELS - AT)))
    surface = {k: shapes.plane_in_view((held.normal[k], float(offsets[k])), shapes.ASTERN, x) for k in (0, at)}
    wet = shapes.below(outline, surface[at])
    if len(wet):
        artists += ax.fill(*wet.T, facecolor=colour, edgecolor="none", zorder=2)
    artists += ax.fill(*outline.T, facecolor="none", edgecolor=INK, linewidth=1.4, zorder=3)
    across = np.array([low[0], high[0]])
    for k, dashes in ((0, (0, (4, 3))), (at, "-")):
        line = surface[k](across)
        inside = shapes.below(outline, surface[k])
        if len(inside):
            xs = inside[np.isclose(inside[:, 1], surface[k](inside[:, 0]), atol=1e-9), 0]
            if len(xs) > 1:
                across = np.array([xs.min(), xs.max()])
                line = surface[k](across)
                artists += ax.plot(across, line, color=INK if k else MUTED, linewidth=1.4, linestyle=dashes, zorder=4)
    labels = [
        Label("port", [(float(low[0]), float(high[1]))], ("above",), leader=False, colour=MUTED),
        Label("starboard", [(float(high[0]), float(high[1]))], ("above", "high"), leader=False, colour=MUTED),
    ]
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)


def shift_curve(ax: Axes, one: FreeSurface, *, system: str = "metric") -> Drawn:
    """By hand dashed, exactly solid; where the liquid touches the top or bares the bottom."""
    unit, _ = _unit(system)
    table = one.curve
    heels = table["heel_deg"].to_numpy()
    look = LOOKS[0]
    hand = type(look)(look.colour, AS_FOUND_LOOK.dashes, look.marker, False, 1.5)
    artists: list[Artist] = []
    ends, looks = [], []
    for key, drawn in (("by_hand_kgm", hand), ("exact_kgm", look)):
        values = table[key].to_numpy() / unit
        artists += ax.plot(heels, values, color=drawn.colour, linestyle=drawn.dashes, linewidth=drawn.width, zorder=3)
        ends.append((float(heels[-1]), float(values[-1])))
        looks.append(drawn)
    ax.set_xlim(0, heels[-1])
    low, high = ax.get_ylim()
    ax.set_ylim(min(low, 0.0), high)
    ax.xaxis.set_major_locator(MaxNLocator(5, steps=[1, 2, 5, 10]))
    ax.yaxis.set_major_locator(MaxNLocator(5, steps=[1, 2, 2.5, 5, 10]))
    for axis in (ax.xaxis, ax.yaxis):
        axis.set_major_formatter(FuncFormatter(lambda v, _: f"{v:g}".replace("-", "−")))
    ax.tick_params(labelsize=SMALL)
    axis_words(ax, "heel (degrees)")
    artists += name_line_ends(ax, ends, ["by hand", "exactly"], looks)
    labels = []
    for heel, words in ((one.touches_top, "touches the top"), (one.bares_bottom, "bares the bottom")):
        if heel is not None:
            y = float(np.interp(heel, heels, table["exact_kgm"])) / unit
            artists += ax.plot(heel, y, "o", markersize=6, markerfacecolor=PAPER, markeredgecolor=INK, zorder=4)
            labels.append(Label(words, [(float(heel), y)], ("right", "below", "low", "anywhere"), reach=260.0))
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)
