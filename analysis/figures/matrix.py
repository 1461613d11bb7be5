"""Plans beside each other in every load: how far the lowest mark stands above the water, or under it.

A row a load condition, a column a plan. Under water a cell is tinted, its edge hatched and its figure bold, with the
word beside it: hatch and word tell it in grey print. Spaces are shut.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from analysis.figures.frame import Drawn
from analysis.figures.ground import text_size
from analysis.figures.labels import in_lines
from analysis.figures.pages import EDGE, Page
from analysis.figures.style import DEEPER, FONT, HAIR, INK, PAGE_PX, SMALL, WATER
from analysis.studies.loads import Loads, matrix_finding
from analysis.studies.words import capital
from hullcalc.boats.limits import STANDING_CARE
from hullcalc.units import say_height

ROW, HEAD, BAR, ROOM = 25.0, 24.0, 11.0, 10.0  # px: a line of a row, the plans' names, the hatched edge, beside texts
NARROWEST = 140.0  # px of a plan's column
SHORT, MOST_NAME = 22, 0.42  # letters of a condition in a line; share of the width that its names may take


def matrix(ax: Axes, loads: Loads, *, plans: Sequence[str] | None = None, system: str = "metric") -> Drawn:
    """Draw the cells of all plans, or of those named, on an Axes of its final size; `matrix_height` high."""
    plans = list(loads.plans) if plans is None else list(plans)
    width, height = ax.bbox.size
    ax.set_axis_off()
    ax.set_xlim(0, width)
    ax.set_ylim(height, 0)
    names = _names(loads.conditions)
    left = min(max(text_size(ax.figure, name, SMALL)[0] for name in names) + ROOM, MOST_NAME * width)
    wide = (width - left) / len(plans)
    artists: list[Artist] = []
    for i, plan in enumerate(plans):
        artists.append(
            ax.text(left + i * wide + BAR + ROOM, HEAD / 2, plan, size=FONT, weight="bold", ha="left", va="center")
        )
    y = HEAD
    table = loads.table.set_index(["plan", "condition"])
    for condition, name in zip(loads.conditions, names, strict=True):
        tall = ROW + 14.0 * name.count("\n")
        artists += ax.plot([0, width], [y, y], color=HAIR, linewidth=0.5, zorder=1)
        artists.append(ax.text(0, y + tall / 2, name, size=SMALL, ha="left", va="center", linespacing=1.15))
        for i, plan in enumerate(plans):
            row = table.loc[(plan, condition)]
            artists += _cell(ax, left + i * wide, y, wide, tall, *_words(row, system))
        y += tall
    artists += ax.plot([0, width], [y, y], color=HAIR, linewidth=0.5, zorder=1)
    return Drawn(artists, [])


def matrix_height(conditions: Sequence[str]) -> float:
    """Pixels that the cells of these conditions take with their head."""
    return HEAD + sum(ROW + 14.0 * name.count("\n") for name in _names(conditions)) + 2


def matrix_figure(loads: Loads, *, system: str = "metric", width_px: float = PAGE_PX) -> Figure:
    """The matrix on a page with its finding and caution; plans that do not fit beside each other are stacked."""
    page = Page(width_px, matrix_finding(loads), matrix_caution(loads, system))
    tall, wide = matrix_height(loads.conditions), width_px - 2 * EDGE
    beside = max(1, int(wide * (1 - MOST_NAME) / NARROWEST))
    plans = list(loads.plans)
    for first in range(0, len(plans), beside):
        shown = plans[first : first + beside]
        page.panel(EDGE, wide, tall, partial(matrix, loads=loads, plans=shown, system=system))
        page.down(tall + EDGE)
    return page.finish()


def matrix_caution(loads: Loads, system: str) -> str:
    """What the cells show, that openings were shut, and the standing care."""
    unit = "Inches" if system == "us" else "Millimetres"
    said = [f"{unit} of the lowest mark above or under water, openings shut: an opening under water lets the sea in"]
    said[0] += ", and the figure holds only while it is plugged."
    if any(loads.table["under"].fillna("") != ""):
        said.append("Water at an opening at rest: stop and ask a naval architect.")
    said += STANDING_CARE
    return " ".join([*said, "Invented boat."] if loads.boat.invented else said)


def _names(conditions: Sequence[str]) -> list[str]:
    return [in_lines(capital(name), SHORT) for name in conditions]


def _words(row, system: str) -> tuple[str, bool]:  # type: ignore[no-untyped-def]
    """What a cell says, and whether it is wet."""
    if row["status"] != "floats":
        return str(row["status"]), True
    if not row["least_mark"]:
        return "no mark", False
    said = say_height(row["least_mm"] / 1000, system).replace(" mm ", " ").replace(" in ", " ")
    return said.replace("at the water", "at water"), bool(row["least_mm"] < 0)


def _cell(ax: Axes, x: float, y: float, wide: float, tall: float, words: str, wet: bool) -> list[Artist]:
    artists: list[Artist] = []
    if wet:
        box = Rectangle((x, y + 1), wide - 4, tall - 2, facecolor=WATER, edgecolor="none", zorder=0)
        edge = Rectangle(
            (x, y + 1), BAR, tall - 2, facecolor=DEEPER, edgecolor=INK, hatch="////", linewidth=0, zorder=1
        )
        artists += [ax.add_patch(box), ax.add_patch(edge)]
    weight = "bold" if wet else "normal"
    artists.append(ax.text(x + BAR + ROOM, y + tall / 2, words, size=SMALL, weight=weight, ha="left", va="center"))
    return artists
