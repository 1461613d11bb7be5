"""How the pictures look: one style context, a figure of a page's width, a look for each plan.

Nothing is set by importing; `with style():` around building *and* saving a figure sets fonts and lines for that figure
only. Colours are chosen to stay apart for colour-blind readers and in grey; shape and dash say the same as colour.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

import matplotlib as mpl
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from analysis.studies.floats import Case
from analysis.studies.plans import AS_FOUND
from hullcalc.boats.boat import Boat

DPI = 100
PAGE_PX = 811  # the width of a notebook cell's output, shown at its own size
FONT, SMALL, TITLE = 11.0, 9.5, 13.0

INK, MUTED, HAIR = "#1a1a1a", "#555555", "#9a9a9a"
PAPER, HULL = "#ffffff", "#f4f1ea"
WATER, WATER_EDGE = "#dbeaf5", "#0072b2"
FUEL, LIVEWELL, ENGINE, POD = "#e9c46a", "#8ecae6", "#dedede", "#e6e6e6"
UP, DEEPER = "#7fbfe3", "#d98200"  # light and dark: they differ in grey too; hatch and word say it again
MOVED = "#a63c06"


@dataclass(frozen=True)
class Look:
    """How one plan is drawn everywhere: colour, line, symbol; a filled symbol unless it is as found."""

    colour: str
    dashes: str | tuple
    marker: str
    filled: bool = True
    width: float = 1.8


AS_FOUND_LOOK = Look(INK, (0, (5, 3)), "o", filled=False, width=1.5)
LOOKS = (
    Look("#0072b2", "-", "s", width=2.4),
    Look("#00795a", (0, (8, 2, 1.5, 2)), "D", width=2.0),
    Look("#a63c06", (0, (3, 1.5)), "^", width=1.8),
    Look("#7b3294", (0, (1.5, 1.5)), "v", width=1.8),
    Look("#6b6b00", (0, (9, 3)), "P", width=1.8),
)


def looks_of(cases: Sequence[Case]) -> dict[str, Look]:
    """The look of each plan, the same in every picture of a boat: by the order of her plans; "as found" has its own."""
    return looks_of_plans(cases[0].boat, [case.plan for case in cases])


def looks_of_plans(boat: Boat, shown: Sequence[str]) -> dict[str, Look]:
    """As `looks_of`, for plans of a boat by name."""
    plans = dict.fromkeys([*boat.plans, *shown])
    others = [plan for plan in plans if plan != AS_FOUND]
    return {AS_FOUND: AS_FOUND_LOOK} | {plan: LOOKS[i % len(LOOKS)] for i, plan in enumerate(others)}


@contextmanager
def style() -> Iterator[None]:
    """The look of all pictures, for the time of one `with` block."""
    with mpl.rc_context(
        {
            "font.family": "DejaVu Sans",
            "font.size": FONT,
            "axes.titlesize": TITLE,
            "axes.labelsize": FONT,
            "xtick.labelsize": SMALL,
            "ytick.labelsize": FONT,
            "axes.edgecolor": MUTED,
            "axes.labelcolor": INK,
            "xtick.color": MUTED,
            "ytick.color": MUTED,
            "xtick.labelcolor": INK,
            "ytick.labelcolor": INK,
            "text.color": INK,
            "axes.spines.top": False,
            "axes.spines.right": False,
            "axes.linewidth": 0.8,
            "hatch.linewidth": 0.8,
            "lines.solid_capstyle": "butt",
            "figure.facecolor": PAPER,
            "axes.facecolor": "none",
            "savefig.dpi": DPI,
            "figure.dpi": DPI,
            "svg.fonttype": "path",
            "svg.hashsalt": "hullcalc",
        }
    ):
        yield


def points(right: float, up: float) -> tuple[float, float]:
    """An offset in pixels of the screen as points, which keep their size in every file a figure is saved to."""
    return right * 72 / DPI, up * 72 / DPI


def new_figure(width_px: float = PAGE_PX, height_px: float = 500) -> Figure:
    """A Figure of so many pixels at 100 dpi, with a canvas that can measure text; pyplot never hears of it."""
    figure = Figure(figsize=(width_px / DPI, height_px / DPI), dpi=DPI)
    FigureCanvasAgg(figure)
    return figure
