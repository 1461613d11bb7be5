"""The lever: G, B and F on the boat from the side, and what a change puts on the beam that turns about F.

Above, the boat with her water line: weight acts down at G, buoyancy up at B, on one line square to the water; F is the
middle of the waterplane. Below, a beam on a knife-edge at F: each package hangs where its weight is, down where it is
added and up where it is taken off, as long as it is heavy. Forward is to the right.
"""

from __future__ import annotations

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from analysis.figures import shapes
from analysis.figures.frame import Drawn, Room, headline, headline_height, length_axis, to_scale
from analysis.figures.labels import Label, place_labels
from analysis.figures.pages import AXIS, EDGE, Page
from analysis.figures.style import DEEPER, HULL, INK, MUTED, PAGE_PX, PAPER, UP, WATER, WATER_EDGE
from analysis.studies.by_hand.change import Afloat, ChangeByHand
from analysis.studies.plans import short_package
from analysis.studies.words import capital, the_plan
from hullcalc.boats.limits import STANDING_CARE
from hullcalc.units import say_length_mm, say_mass, say_position

SIDE_PX, BEAM_PX = 215.0, 270.0
BEYOND = 0.35  # m of water at either end
ARROW = 0.42  # m: length of the arrows at G and B
HEAD = 9.0  # px
MOST_NAMED = 8  # loads, the heaviest; more names than these are not read
LEAST_KG = 1.0  # what weighs less is left out of the beam
BESIDE = 2.0  # m beyond the hull's ends: as far as the centre of a group's weight is drawn


def lever_finding(change: ChangeByHand, system: str = "metric") -> str:
    """Where the change acts and what it does to the trim, without a full stop."""
    turned = change.exact.trim - float(change.before.state.trim)
    way = "up" if turned >= 0 else "down"
    name = f"{capital(the_plan(change.after.plan))}, {change.after.condition}"
    if abs(change.mass) < LEAST_KG:
        return f"{name}: weights moved turn her bow {abs(turned):.1f}° {way}"
    x = float(change.moment[0] / change.mass)
    lcf = float(change.before.state.flotation[0])
    kg, place = say_mass(abs(change.mass), system), say_position(x, "x", system)
    done = f"{kg} {'off' if change.mass < 0 else 'on'} at {place}"
    side = "abaft" if x < lcf else "ahead of"
    return f"{name}: {done}, {side} LCF; her bow turns {abs(turned):.1f}° {way}"


def lever_figure(change: ChangeByHand, *, system: str = "metric", width_px: float = PAGE_PX) -> Figure:
    """The boat before the change and the beam under her."""
    said = [
        "The beam shows the change about the LCF before it, the heaviest loads named; the exact answer turns with a "
        "waterplane that changes.",
        *STANDING_CARE,
        *(["Invented boat."] if change.before.boat.invented else []),
    ]
    page = Page(width_px, lever_finding(change, system), " ".join(said))
    wide = width_px - 2 * EDGE
    before = f"{capital(the_plan(change.before.plan))}: B stands under G, square to the water"
    for head, tall, draw in (
        (before, SIDE_PX, lambda ax: centres_view(ax, change.before, system=system)),
        ("What the change puts on the lever", BEAM_PX, lambda ax: lever_beam(ax, change, system=system)),
    ):
        page.down(headline_height(page.figure, head, wide))

        def panel(ax: Axes, head: str = head, draw: object = draw) -> None:
            draw(ax)  # type: ignore[operator]
            headline(ax, head)

        page.panel(EDGE, wide, tall, panel)
        page.down(tall + AXIS)
    return page.finish()


def centres_view(ax: Axes, one: Afloat, *, system: str = "metric") -> Drawn:
    """The boat from the side with G, B and F on her water line."""
    state = one.state
    outline = shapes.profile(one.boat.hull)
    low, high = outline.min(axis=0) - np.array([BEYOND, 0.0]), outline.max(axis=0) + np.array([BEYOND, 0.0])
    to_scale(ax, low, high, Room(4, 4, 24, 44))
    reach = np.array([low[0], high[0]])
    length_axis(ax, reach, "forward of the transom's lower end", system)
    line = shapes.plane_in_view(state.plane, shapes.SIDE)(reach)
    bottom = ax.get_ylim()[0]
    artists: list[Artist] = list(
        ax.fill([*reach, *reach[::-1]], [*line, bottom, bottom], facecolor=WATER, edgecolor="none", zorder=1)
    )
    artists += ax.fill(*outline.T, facecolor=HULL, edgecolor=INK, linewidth=1.3, zorder=2)
    artists += ax.plot(reach, line, color=WATER_EDGE, linewidth=1.8, zorder=3)
    g, b, f = (shapes.to_view(np.asarray(p), shapes.SIDE) for p in (state.cg, state.buoyancy, state.flotation))
    up = np.array([state.normal[0], state.normal[2]]) / np.hypot(state.normal[0], state.normal[2])
    artists += ax.plot(
        *np.array([b - 0.1 * up, g + 0.1 * up]).T, color=MUTED, linewidth=1.0, linestyle=(0, (4, 3)), zorder=4
    )
    artists += arrow(ax, g + ARROW * up, g, DEEPER)
    artists += arrow(ax, b - ARROW * up, b, WATER_EDGE)
    for point, marker in ((g, "o"), (b, "s"), (f, "^")):
        artists += ax.plot(*point, marker, markersize=7, markerfacecolor=PAPER, markeredgecolor=INK, zorder=5)
    apart = say_length_mm(abs(float(state.cg[0] - state.buoyancy[0])), system)
    way = "forward of" if state.cg[0] >= state.buoyancy[0] else "abaft"
    labels = [
        Label(f"G, {apart} {way} B", [(float(g[0]), float(g[1]))], ("left", "anywhere")),
        Label("B", [(float(b[0]), float(b[1]))], ("left", "right", "anywhere")),
        Label("F, about which she trims", [(float(f[0]), float(f[1]))], ("above", "high", "right", "anywhere")),
    ]
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)


def lever_beam(ax: Axes, change: ChangeByHand, *, system: str = "metric") -> Drawn:
    """The beam on its knife-edge at F with an arrow for each package of the change."""
    loads = beam_loads(change)
    lcf = float(change.before.state.flotation[0])
    ends = np.array(
        [min([0.0, *(x for _, _, x in loads)]) - 0.5, float(change.before.boat.hull.solid.bounds[1, 0]) + 0.2]
    )
    ax.set_xlim(*ends)
    ax.set_ylim(-1.9, 1.9)
    length_axis(ax, ends, "forward of the transom's lower end, arrows as long as the weight", system)
    artists: list[Artist] = list(ax.plot(ends, [0, 0], color=INK, linewidth=3.0, zorder=3))
    width, height = np.diff(ax.get_xlim())[0] / ax.bbox.width, 3.8 / ax.bbox.height
    edge = np.array([(lcf, 0), (lcf - 11 * width, -20 * height), (lcf + 11 * width, -20 * height)])
    artists += ax.fill(*edge.T, facecolor=PAPER, edgecolor=INK, linewidth=1.3, zorder=3)
    greatest = max((abs(mass) for _, mass, _ in loads), default=1.0)
    labels = [Label("F", [(lcf, -20 * height)], ("below", "right", "left", "anywhere"), leader=False)]
    named = sorted((abs(mass) for _, mass, _ in loads), reverse=True)[:MOST_NAMED]
    for name, mass, x in loads:
        long = 0.25 + 1.1 * abs(mass) / greatest
        if mass >= 0:
            artists += arrow(ax, np.array([x, long]), np.array([x, 0.0]), DEEPER)
        else:
            artists += arrow(ax, np.array([x, 0.0]), np.array([x, long]), UP)
        words = f"{name}\n{say_mass(abs(mass), system)} {'on' if mass >= 0 else 'off'}"
        if abs(mass) >= named[-1]:
            labels.append(Label(words, [(x, long)], ("above", "high", "right", "left", "anywhere"), clear=5.0))
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)


def beam_loads(change: ChangeByHand) -> list[tuple[str, float, float]]:
    """Name, kg (off is negative) and x of each group of the change that has a weight; bodies' lift comes off.

    Where what goes off and what comes on nearly balance, their common centre lies far outside the boat: such a group is
    two loads.
    """
    hull = change.before.boat.hull.solid.bounds[:, 0]
    loads = []
    for name, (off, on) in _grouped(change).items():
        whole = off + on
        if abs(whole[0]) >= LEAST_KG and hull[0] - BESIDE <= whole[1] / whole[0] <= hull[1] + BESIDE:
            loads.append((name, whole))
        else:
            loads += [(name, load) for load in (off, on) if abs(load[0]) >= LEAST_KG]
    loads += [(f"{n} lifts", np.array([-q, -q * c[0]])) for n, (q, c) in change.lifts.items() if abs(q) >= LEAST_KG]
    return [(name, float(load[0]), float(load[1] / load[0])) for name, load in loads]


def _grouped(change: ChangeByHand) -> dict[str, tuple[np.ndarray, np.ndarray]]:
    """By group of the change: (kg, kg m along her) that goes off and that comes on."""
    sums: dict[str, tuple[np.ndarray, np.ndarray]] = {}
    for sign, one in ((1.0, change.after), (-1.0, change.before)):
        for item in one.items.items:
            off, on = sums.setdefault(short_package(item.group), (np.zeros(2), np.zeros(2)))
            entry = off if sign * item.mass < 0 else on
            entry += sign * np.array([item.mass, item.moment[0]])
    return sums


def arrow(ax: Axes, start: np.ndarray, end: np.ndarray, colour: str) -> list[Artist]:
    """An arrow from start to end (data) with a head of so many pixels."""
    pixels = ax.transData.transform([start, end])
    along = pixels[1] - pixels[0]
    along = along / np.hypot(*along)
    across = np.array([-along[1], along[0]])
    back = ax.transData.inverted().transform
    neck = pixels[1] - HEAD * along
    head = back([pixels[1], neck + 5 * across, neck - 5 * across])
    artists: list[Artist] = list(ax.plot(*back([pixels[0], neck]).T, color=colour, linewidth=2.4, zorder=4))
    artists += ax.fill(*head.T, facecolor=colour, edgecolor=INK, linewidth=0.6, zorder=4.2)
    return artists
