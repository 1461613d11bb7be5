"""The pictures of the page, each an SVG that stands in the page itself, with its words for those who listen.

The side view is drawn for the whole width; the others are half as wide, so that they stand side by side on a desk and
one under the other on a phone. Text stays text: it can be searched and copied.
"""

from __future__ import annotations

import html
import io
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from analysis.figures.close_up import close_up, close_up_words, near_marks
from analysis.figures.frame import tick_label_width
from analysis.figures.ladder import ladder, ladder_height, ladder_marks, plan_key
from analysis.figures.pages import AXIS, answer_figure
from analysis.figures.side_view import side_marks, side_view, side_view_height, side_words
from analysis.figures.stern_view import stern_view, stern_words
from analysis.figures.style import DPI, PAGE_PX, new_figure, style
from analysis.figures.waterfall import waterfall
from analysis.report.sections import headline
from analysis.report.story import Story, uncertainty_mm
from analysis.studies.floats import Case
from analysis.studies.plans import AS_FOUND
from analysis.studies.words import attitude, capital, say_change, what_did_it
from hullcalc.errors import InputError
from hullcalc.units import say_height

T = TypeVar("T")

HALF_PX = 400.0
VIEW_PX = 300.0  # height of the close-up and of the view from astern
EDGE = 8.0  # px kept free all round
ROW_PX = 26.0  # of the waterfall
KEY_PX = 54.0  # over the ladder


@dataclass(frozen=True)
class Picture:
    """A drawing as it stands in the page."""

    title: str
    svg: str
    words: str
    wide: bool = False


def pictures(story: Story, system: str = "metric") -> list[Picture]:
    """All pictures there are of the story; none where she floats in no plan."""
    shown = plans_shown(story)
    if not shown:
        return []
    moved = story.mends.moved if story.mends is not None and story.mends.plan == shown[0].plan else ()
    made = [
        _picture(
            side_words(shown),
            _side(shown, lambda ax: side_view(ax, shown, moved=moved, system=system)),
            _heights(shown[0], side_marks(shown[0]), system),
            wide=True,
        )
    ]
    near = _if_any(near_marks, shown[0])
    if near:
        made.append(
            _picture(
                close_up_words(near),
                _half(VIEW_PX, lambda ax: close_up(ax, shown, system=system)),
                _heights(shown[0], near, system),
            )
        )
    made.append(
        _picture(stern_words(shown), _half(VIEW_PX, lambda ax: stern_view(ax, shown, system=system)), _attitudes(shown))
    )
    marks = _if_any(ladder_marks, story.told)
    if marks:
        made.append(
            _picture(
                f"Every mark that should be dry: {story.condition}",
                _ladder(story.told, marks, _intervals(story, marks), system),
                " ".join(_heights(case, marks, system) for case in story.told),
            )
        )
    if story.change is not None:
        table = story.change.table
        shares = [f"{row['name']} {say_change(row['mean_mm'], system)}" for _, row in table.iterrows()]
        made.append(_picture(what_did_it(story.change, system), _waterfall(story, system), f"{'; '.join(shares)}."))
    return made


def _if_any(choose: Callable[[T], list[str]], shown: T) -> list[str]:
    """The marks that a picture would show; none where the boat has no mark of the kinds it is made for."""
    try:
        return choose(shown)
    except InputError:
        return []


def plans_shown(story: Story) -> list[Case]:
    """The refit, or the boat as found where there is none, then as found to compare it with; told condition."""
    told = {case.plan: case for case in story.told}
    first = told.get(story.refit or AS_FOUND) or next(iter(told.values()), None)
    if first is None:
        return []
    return [first, *(case for plan, case in told.items() if plan == AS_FOUND and case is not first)]


def one_picture(story: Story, ending: str, system: str = "metric") -> bytes:
    """The finding as one picture of its own, "svg" or "png"; the same bytes for the same boat.

    Raises InputError where the boat has nothing that such a picture could show.
    """
    shown = plans_shown(story)
    if not shown or story.change is None:
        raise InputError(
            f"{story.boat.name}: there is no plan beside as found that floats, so there is nothing to compare in a "
            "picture. Name packages in a plan in boat.toml"
        )
    moved = story.mends.moved if story.mends is not None else ()
    marks = ladder_marks(story.told)
    words = " ".join(_heights(case, marks, system) for case in story.told)
    buffer = io.BytesIO()
    with style():
        figure = answer_figure(
            shown, story.change, moved=moved, compare=story.told, interval_mm=_intervals(story, marks), system=system
        )
        if ending == "png":
            metadata = {"Title": headline(story, system), "Description": words, "Software": None}
            figure.savefig(buffer, format="png", metadata=metadata)
            return buffer.getvalue()
        metadata = {"Title": headline(story, system), "Description": words, "Date": None, "Creator": None}
        figure.savefig(buffer, format="svg", metadata=metadata)
    return rounded(buffer.getvalue().decode("utf-8")).encode("utf-8")


def _attitudes(cases: Sequence[Case]) -> str:
    return "; ".join(f"{case.plan} {attitude(case)}" for case in cases)


def _heights(case: Case, names: Sequence[str], system: str) -> str:
    """What a picture says of some marks of a case, in words; what lets water in comes first."""
    wet = f"water comes in at {' and '.join(case.under)}; " if case.under else ""
    heights = [f"{name} {say_height(case.heights_shut[name], system)}" for name in names if name in case.marks]
    return f"{capital(case.plan)}, {case.condition}: {wet}{', '.join(heights)}."


def _picture(title: str, draw: Callable[[], Figure], words: str, wide: bool = False) -> Picture:
    """Draw, and make it an SVG whose text is text and whose inner names occur in no other picture."""
    with style(), mpl.rc_context({"svg.fonttype": "none"}):
        buffer, figure = io.BytesIO(), draw()
        for text in (text for ax in figure.axes for text in ax.texts):
            if " ".join(text.get_text().split()) == title:
                text.set_visible(False)  # the page says it over the picture
        figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None})
    return Picture(title, inline(buffer.getvalue().decode("utf-8"), title, words), words, wide)


def inline(svg: str, title: str, words: str) -> str:
    """An SVG file as an element of a page: named for screen readers, as wide as its place, its ids its own."""
    svg = svg[svg.index("<svg") :]
    svg = re.sub(r"<metadata>.*?</metadata>", "", svg, flags=re.S)
    svg = re.sub(r"\s*<style type=\"text/css\">.*?</style>", "", svg, flags=re.S)  # the page says it once
    width = re.search(r'viewBox="0 0 ([0-9.]+)', svg)
    pixels = round(float(width[1]) * DPI / 72) if width else round(PAGE_PX)
    name = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")
    used = set(re.findall(r'(?:url\(#|href="#)([^)"]+)', svg))
    svg = re.sub(r' id="([^"]*)"', lambda found: f' id="{name}-{found[1]}"' if found[1] in used else "", svg)
    svg = re.sub(r'(url\(#|href="#)', rf"\g<1>{name}-", svg)
    label = html.escape(f"{title}. {words}", quote=True)
    svg = re.sub(
        r'<svg [^>]*?(viewBox="[^"]*")[^>]*>',
        rf'<svg \1 xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" role="img" '
        rf'aria-label="{label}" style="width:100%;max-width:{pixels}px;height:auto">',
        svg,
        count=1,
    )
    return rounded(svg).strip()


def rounded(svg: str) -> str:
    """The same drawing with coordinates to a hundredth of a point: smaller, and steady from machine to machine."""

    def shorter(found: re.Match[str]) -> str:
        return re.sub(r"-?\d+\.\d{3,}", lambda number: f"{round(float(number[0]), 2) + 0.0:g}", found[0])

    return re.sub(r'\b(?:d|x|y|x1|y1|x2|y2)="[^"]*"', shorter, svg)


def _placed(
    width: float, height: float, places: Sequence[tuple[float, float, float, float]]
) -> tuple[Figure, list[Axes]]:
    """A figure with Axes at (left, top, width, height) in pixels."""
    figure = new_figure(width, height)
    return figure, [
        figure.add_axes((left / width, 1 - (top + tall) / height, wide / width, tall / height))
        for left, top, wide, tall in places
    ]


def _side(cases: Sequence[Case], draw: Callable[[Axes], object]) -> Callable[[], Figure]:
    def made() -> Figure:
        wide = PAGE_PX - 2 * EDGE
        tall = side_view_height(new_figure(PAGE_PX, 100), cases, wide)
        figure, (ax,) = _placed(PAGE_PX, tall + EDGE + AXIS, [(EDGE, EDGE, wide, tall)])
        draw(ax)
        return figure

    return made


def _half(tall: float, draw: Callable[[Axes], object]) -> Callable[[], Figure]:
    def made() -> Figure:
        figure, (ax,) = _placed(HALF_PX, tall + 2 * EDGE, [(EDGE, EDGE, HALF_PX - 2 * EDGE, tall)])
        draw(ax)
        return figure

    return made


def _intervals(story: Story, marks: Sequence[str]) -> dict[tuple[str, str], float]:
    """Half of the 95 % interval [mm] of each mark in each plan that floats: 1.96 standard uncertainties."""
    cases = [case for case in story.told if case.shut.status == "floats"]
    return {
        (case.plan, mark): 1.96 * uncertainty_mm(story.inputs(case.plan, mark))
        for case in cases
        for mark in marks
        if mark in case.marks
    }


def _ladder(
    cases: Sequence[Case], marks: Sequence[str], interval_mm: dict[tuple[str, str], float], system: str
) -> Callable[[], Figure]:
    def made() -> Figure:
        tall, names = ladder_height(cases, len(marks)), tick_label_width(new_figure(HALF_PX, 100), marks)
        wide = HALF_PX - 2 * EDGE
        figure, (key, ax) = _placed(
            HALF_PX,
            KEY_PX + tall + AXIS,
            [(EDGE, EDGE, wide, 20), (EDGE + names, KEY_PX, wide - names, tall)],
        )
        plan_key(key, cases)
        ladder(ax, cases, marks=marks, interval_mm=interval_mm, system=system)
        return figure

    return made


def _waterfall(story: Story, system: str) -> Callable[[], Figure]:
    change = story.change
    assert change is not None

    def made() -> Figure:
        names = tick_label_width(new_figure(HALF_PX, 100), [*change.table["name"], "in all"])
        tall = ROW_PX * (len(change.table) + 1)
        figure, (ax,) = _placed(
            HALF_PX, EDGE + tall + AXIS + 14, [(EDGE + names, EDGE, HALF_PX - names - 2 * EDGE, tall)]
        )
        waterfall(ax, change, system=system)
        return figure

    return made
