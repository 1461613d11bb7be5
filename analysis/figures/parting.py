"""Two lines parting: how much deeper each end comes to lie as a change grows, by hand and exactly.

Above, the lines at both ends; below, by how much the hand is off, with the shares of the change at which that passes a
few millimetres.
"""

from __future__ import annotations

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, MaxNLocator

from analysis.figures.frame import Drawn, axis_words, headline, headline_height, name_line_ends, name_width
from analysis.figures.labels import Label, place_labels
from analysis.figures.pages import EDGE, Page
from analysis.figures.style import AS_FOUND_LOOK, INK, LOOKS, MUTED, PAGE_PX, SMALL, Look
from analysis.studies.by_hand.parting import Parting, tolerances_told
from analysis.studies.words import capital, small_unit, the_plan
from hullcalc.boats.limits import STANDING_CARE, say_list
from hullcalc.units import say_length_mm, say_mass

TICKS = 62.0  # px to the left for numbers
LINES, OFF, AXIS, NARROW_AXIS = 250.0, 150.0, 46.0, 24.0  # px
BY_HAND, EXACTLY = "by hand", "exactly"


def parting_finding(one: Parting, system: str = "metric") -> str:
    """How far off the hand is at the whole change, without a full stop."""
    change = one.change
    at = int(np.argmin(abs(one.shares - 1.0)))
    off = say_length_mm(float(one.error[at]), system)
    kg = say_mass(abs(change.mass), system)
    way = "taken off" if change.mass < 0 else "added"
    ends = f"{capital(the_plan(change.after.plan))}, {change.after.condition}: {kg} {way}"
    new = sorted(set(change.after.loading.solids) - set(change.before.loading.solids))
    bodies = f", {say_list(new)} left out" if new else ""
    return f"{ends}{bodies}; by hand the worse end is {off} off"


def parting_figure(
    one: Parting, *, at: float | None = None, system: str = "metric", width_px: float = PAGE_PX
) -> Figure:
    """Both panels, the finding over them, what is left out under them; a line at the share `at`, if any."""
    said = [
        "By hand: TPC, MCT and LCF of the boat before. Weights of the change in equal shares; bodies that come with it "
        "are left out. Spaces kept shut.",
        *STANDING_CARE,
        *(["Invented boat."] if one.change.before.boat.invented else []),
    ]
    page = Page(width_px, parting_finding(one, system), " ".join(said))
    right = name_width(page.figure, [f"{name}, {way}" for name in one.exact for way in (BY_HAND, EXACTLY)])
    wide = width_px - 2 * EDGE - TICKS - right
    unit = small_unit(system)[1]
    heads = (
        f"How much deeper each end lies, {unit} (minus: higher)",
        f"How far too deep by hand, {unit} (minus: too high)",
    )
    for head, tall, draw, under in (
        (heads[0], LINES, parting_lines, NARROW_AXIS),
        (heads[1], OFF, parting_errors, AXIS),
    ):
        page.down(headline_height(page.figure, head, wide))

        def panel(ax: Axes, head: str = head, draw: object = draw) -> None:
            if at is not None:
                ax.axvline(100 * at, color=INK, linewidth=1.6, zorder=2.5)
            draw(ax, one, system=system)  # type: ignore[operator]
            headline(ax, head, -TICKS + 8)

        page.panel(EDGE + TICKS, wide, tall, panel)
        page.down(tall + under)
    return page.finish()


def parting_lines(ax: Axes, one: Parting, *, system: str = "metric") -> Drawn:
    """Two lines an end, dashed by hand and solid exactly, each named at its right end."""
    unit = small_unit(system)[0] / 1000
    artists: list[Artist] = [ax.axhline(0, color=INK, linewidth=0.8, zorder=1)]
    ends, names, looks = [], [], []
    for name, look in zip(one.exact, LOOKS, strict=False):
        for way, values, drawn in ((EXACTLY, one.exact[name], look), (BY_HAND, one.by_hand[name], _dashed(look))):
            artists += ax.plot(
                100 * one.shares,
                values / unit,
                color=drawn.colour,
                linestyle=drawn.dashes,
                linewidth=drawn.width,
                zorder=3,
            )
            ends.append((100 * float(one.shares[-1]), float(values[-1] / unit)))
            names.append(f"{name}, {way}")
            looks.append(drawn)
    _frame(ax, one)
    artists += name_line_ends(ax, ends, names, looks)
    return Drawn(artists, [])


def _dashed(look: Look) -> Look:
    return Look(look.colour, AS_FOUND_LOOK.dashes, look.marker, False, 1.5)


def parting_errors(ax: Axes, one: Parting, *, system: str = "metric") -> Drawn:
    """The hand's figure less the exact one at each end; where the greater passes a tolerance."""
    unit = small_unit(system)[0] / 1000
    artists: list[Artist] = [ax.axhline(0, color=INK, linewidth=0.8, zorder=1)]
    ends, names, looks = [], [], []
    for name, look in zip(one.exact, LOOKS, strict=False):
        off = (one.by_hand[name] - one.exact[name]) / unit
        artists += ax.plot(
            100 * one.shares, off, color=look.colour, linestyle=look.dashes, linewidth=look.width, zorder=3
        )
        ends.append((100 * float(one.shares[-1]), float(off[-1])))
        names.append(name)
        looks.append(look)
    _frame(ax, one)
    artists += name_line_ends(ax, ends, names, looks)
    axis_words(ax, "share of the change (%)")
    labels = []
    top = ax.get_ylim()[1]
    for tolerance, within in tolerances_told(system):
        share = one.share_within(tolerance)
        if share is not None:
            artists.append(ax.axvline(100 * share, color=MUTED, linewidth=0.9, linestyle=(0, (2, 2)), zorder=2))
            words = f"{within} off"
            labels.append(Label(words, [(100 * share, top)], ("right", "left", "anywhere"), colour=MUTED, leader=False))
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)


def _frame(ax: Axes, one: Parting) -> None:
    ax.set_xlim(0, 100 * float(one.shares[-1]))
    low, high = ax.get_ylim()
    ax.set_ylim(low - 0.04 * (high - low), high + 0.04 * (high - low))
    ax.xaxis.set_major_locator(MaxNLocator(6, steps=[1, 2, 5, 10]))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda x, _: f"{x:g}"))
    ax.yaxis.set_major_locator(MaxNLocator(5, steps=[1, 2, 5, 10]))
    ax.yaxis.set_major_formatter(FuncFormatter(lambda x, _: f"{x:g}".replace("-", "−")))
    ax.tick_params(labelsize=SMALL)
