"""Figures put together from the panels: a title with the finding, panels, the caution fitted to the case in the foot.

Every function returns a matplotlib Figure of the width asked for in pixels, as high as its content needs; use `style()`
around making and saving one. The panels themselves draw on any Axes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from analysis.figures.close_up import close_up, close_up_words, near_marks
from analysis.figures.frame import axis_height, headline, headline_height, tick_label_width
from analysis.figures.ground import text_size
from analysis.figures.labels import wrapped
from analysis.figures.ladder import ladder, ladder_axis, ladder_height, ladder_marks, ladder_names, plan_key
from analysis.figures.side_view import side_view, side_view_height, side_words
from analysis.figures.stern_view import stern_view, stern_words
from analysis.figures.style import DPI, MUTED, PAGE_PX, TITLE, new_figure
from analysis.figures.waterfall import waterfall, waterfall_axis, waterfall_names
from analysis.studies.attribution import Attribution
from analysis.studies.floats import Case
from analysis.studies.mends import Moved
from analysis.studies.words import caution, finding, shares_caution, what_did_it

EDGE = 16.0  # px kept free all round
FOOT = 9.0  # points
BETWEEN = 24.0  # px between panels
KEY, OVER = 20.0, 26.0  # px of the plans' key, and between it and the ladder
ROW = 26.0  # px a package takes in a waterfall of its own
AXIS = 52.0  # px under the side view for its axis


class Page:
    """Lays out a figure from the top down, in pixels; it grows as panels are asked for."""

    def __init__(self, width: float, title: str, foot: str) -> None:
        self.figure = new_figure(width, 100)
        self.width = width
        self._panels: list[tuple[float, float, float, float, Callable[[Axes], object]]] = []
        self.title = wrapped(self.figure, title, width - 2 * EDGE, TITLE, "bold")
        self.foot = wrapped(self.figure, foot, width - 2 * EDGE, FOOT)
        self.y = EDGE + text_size(self.figure, self.title, TITLE, "bold")[1] + 12  # from the top

    def panel(
        self, left: float, width: float, height: float, draw: Callable[[Axes], object], below: float = 0.0
    ) -> None:
        """A panel at the current height, drawn when the page is finished; `below` is kept under its top for others."""
        self._panels.append((left, self.y + below, width, height, draw))

    def down(self, height: float) -> None:
        """Go on so many pixels further down."""
        self.y += height

    def finish(self) -> Figure:
        """Give the figure its height, draw the panels and write title and foot."""
        foot_height = text_size(self.figure, self.foot, FOOT)[1]
        height = self.y + foot_height + 8 + EDGE
        self.figure.set_size_inches(self.width / DPI, height / DPI)
        for left, top, width, tall, draw in self._panels:
            draw(
                self.figure.add_axes((left / self.width, 1 - (top + tall) / height, width / self.width, tall / height))
            )
        self.figure.text(EDGE / self.width, 1 - EDGE / height, self.title, size=TITLE, weight="bold", va="top",
                         linespacing=1.15)  # fmt: skip
        self.figure.text(EDGE / self.width, EDGE / height, self.foot, size=FOOT, color=MUTED, va="bottom",
                         linespacing=1.15)  # fmt: skip
        return self.figure


def side_figure(
    cases: Sequence[Case], *, moved: Sequence[Moved] = (), system: str = "metric", width_px: float = PAGE_PX
) -> Figure:
    """The side view of the first case with the water line of each."""
    page = Page(width_px, finding(cases, system), caution(cases, system))
    _add_side(page, cases, moved, system)
    return page.finish()


def stern_figure(cases: Sequence[Case], *, system: str = "metric", width_px: float = PAGE_PX) -> Figure:
    """The close-up of the marks nearest to the water, and the view from astern."""
    page = Page(width_px, finding(cases, system), caution(cases, system))
    _add_stern(page, cases, system)
    return page.finish()


def ladder_figure(
    cases: Sequence[Case],
    *,
    interval_mm: Mapping[tuple[str, str], float] | None = None,
    system: str = "metric",
    width_px: float = PAGE_PX,
) -> Figure:
    """The ladder of marks of several plans in one condition."""
    page = Page(width_px, finding(cases, system), caution(cases, system))
    page.down(_add_ladder(page, cases, EDGE, width_px - 2 * EDGE, ladder_marks(cases), interval_mm, system))
    return page.finish()


def waterfall_figure(attribution: Attribution, *, system: str = "metric", width_px: float = PAGE_PX) -> Figure:
    """The waterfall of one attribution."""
    page = Page(width_px, what_did_it(attribution, system), shares_caution(attribution))
    lines = max(name.count("\n") + 1 for name in waterfall_names(page.figure, attribution))
    tall = (ROW + 16.0 * (lines - 1)) * (len(attribution.table) + 1)
    wide = width_px - 2 * EDGE
    _add_waterfall(page, attribution, EDGE, wide, tall, system, "")
    page.down(tall + _waterfall_axis_height(page, attribution, wide, system))
    return page.finish()


def answer_figure(
    cases: Sequence[Case],
    attribution: Attribution,
    *,
    moved: Sequence[Moved] = (),
    compare: Sequence[Case] = (),
    interval_mm: Mapping[tuple[str, str], float] | None = None,
    system: str = "metric",
    width_px: float = PAGE_PX,
) -> Figure:
    """The whole answer on one page: side view, close-up, view from astern, ladder of marks and waterfall.

    `cases` are the plan shown and those to compare it with in the views; `compare` are all plans of the ladder (default
    the same).
    """
    compare = compare or cases
    page = Page(width_px, finding([*cases[:1], *(c for c in compare if c.plan not in _plans(cases))], system),
                caution([*cases, *(c for c in compare if c.plan not in _plans(cases))], system))  # fmt: skip
    _add_side(page, cases, moved, system)
    _add_stern(page, cases, system)
    half = 0.52 * width_px
    marks = ladder_marks(compare)[:4]
    tall = _add_ladder(page, compare, EDGE, half - 1.5 * EDGE, marks, interval_mm, system)
    head, wide = what_did_it(attribution, system), width_px - half - 2 * EDGE
    axis = _waterfall_axis_height(page, attribution, wide, system)
    _add_waterfall(page, attribution, half + EDGE, wide, tall - axis, system, head)
    page.down(tall)
    return page.finish()


def _plans(cases: Sequence[Case]) -> set[str]:
    return {case.plan for case in cases}


def _add_side(page: Page, cases: Sequence[Case], moved: Sequence[Moved], system: str) -> None:
    wide = page.width - 2 * EDGE
    tall = side_view_height(page.figure, cases, wide)
    page.down(headline_height(page.figure, side_words(cases), wide))
    page.panel(EDGE, wide, tall, lambda ax: side_view(ax, cases, moved=moved, system=system))
    page.down(tall + AXIS)


def _add_stern(page: Page, cases: Sequence[Case], system: str) -> None:
    wide = page.width - 2 * EDGE
    left, tall = 0.40 * wide, 0.36 * wide
    right = wide - left - BETWEEN
    heads = ((close_up_words(near_marks(cases[0])), left), (stern_words(cases), right))
    page.down(max(headline_height(page.figure, words, width) for words, width in heads))
    page.panel(EDGE, left, tall, lambda ax: close_up(ax, cases, system=system))
    page.panel(EDGE + left + BETWEEN, right, tall, lambda ax: stern_view(ax, cases, system=system))
    page.down(tall + BETWEEN)


def _add_ladder(
    page: Page, cases: Sequence[Case], left: float, wide: float, marks: Sequence[str],
    interval_mm: Mapping[tuple[str, str], float] | None, system: str,
) -> float:  # fmt: skip
    """Key and ladder from the page's height down; the page does not move on. Returns their height with the axis."""
    names, tall = tick_label_width(page.figure, ladder_names(marks)), ladder_height(cases, marks)
    page.panel(left, wide, KEY, lambda ax: plan_key(ax, cases))
    page.panel(
        left + names, wide - names, tall,
        lambda ax: ladder(ax, cases, marks=marks, interval_mm=interval_mm, system=system), KEY + OVER,
    )  # fmt: skip
    return KEY + OVER + tall + axis_height(page.figure, ladder_axis(bool(interval_mm), system), wide - names)


def _waterfall_axis_height(page: Page, attribution: Attribution, wide: float, system: str) -> float:
    names = tick_label_width(page.figure, waterfall_names(page.figure, attribution))
    return axis_height(page.figure, waterfall_axis(attribution, system), wide - names)


def _add_waterfall(
    page: Page, attribution: Attribution, left: float, wide: float, tall: float, system: str, head: str
) -> None:
    """The waterfall with its headline, if any, in a box of this height."""
    names = tick_label_width(page.figure, waterfall_names(page.figure, attribution))
    over = headline_height(page.figure, head, wide) + 4 if head else 0.0

    def draw(ax: Axes) -> None:
        waterfall(ax, attribution, system=system)
        if head:
            headline(ax, head, -names)

    page.panel(left + names, wide - names, tall - over, draw, over)
