"""The pictures of the page, each an SVG that stands in the page itself, with its words for those who listen.

Some are drawn across the page, and again for a phone; views are half as wide, so that they stand side by side on a desk
and one under the other on a phone. Text stays text: it can be searched and copied.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from analysis.figures.close_up import close_up, close_up_words, near_marks
from analysis.figures.frame import tick_label_width
from analysis.figures.ladder import ladder, ladder_height, ladder_marks, ladder_names, plan_key
from analysis.figures.pages import AXIS, answer_figure
from analysis.figures.side_view import side_marks, side_view, side_view_height, side_words
from analysis.figures.stern_view import stern_view, stern_words
from analysis.figures.style import PAGE_PX, new_figure, style
from analysis.figures.waterfall import waterfall
from analysis.report.sections import headline
from analysis.report.story import Story, uncertainty_mm
from analysis.report.svg import inline, rounded
from analysis.report.topics import Topic
from analysis.studies.attribution import Attribution
from analysis.studies.floats import Case
from analysis.studies.plans import AS_FOUND
from analysis.studies.words import attitude, capital, say_change, what_did_it
from hullcalc.errors import InputError
from hullcalc.units import say_height

T = TypeVar("T")
Drawer = Callable[[float], Figure]  # from a width in pixels

HALF_PX = 400.0
VIEW_PX = 300.0  # height of the close-up and of the view from astern
EDGE = 8.0  # px kept free all round
ROW_PX = 26.0  # of the waterfall
KEY_PX = 54.0  # over the ladder
LINE_PX = 16.0  # a second line under an axis
SHORT_LABEL = 30  # letters: a text in a picture that is longer is a sentence


@dataclass(frozen=True)
class Picture:
    """A drawing as it stands in the page: across the whole page or half of it.

    `narrow` is the same drawn anew for a phone; where there is none, a wide one scrolls and a half one fits.
    """

    title: str
    words: str
    svg: str
    wide: bool = False
    narrow: str = ""


def pictures(story: Story, system: str = "metric") -> list[Picture]:
    """All pictures there are of the story; none where she floats in no plan."""
    shown = plans_shown(story)
    if not shown:
        return []
    made = [_side(story, shown, system)]
    near = _if_any(near_marks, shown[0])
    if near:
        figure = partial(_view, partial(close_up, cases=shown, system=system))
        made.append(_half(close_up_words(near), _heights(shown[0], near, system), figure))
    figure = partial(_view, partial(stern_view, cases=shown, system=system))
    made.append(_half(stern_words(shown), _attitudes(shown), figure))
    marks = _if_any(ladder_marks, story.told)
    if marks:
        title = f"Every mark that should be dry: {story.condition}"
        words = " ".join(_heights(case, marks, system) for case in story.told)
        made.append(_both(title, words, partial(_ladder, story.told, marks, _intervals(story, marks), system)))
    if story.change is not None:
        table = story.change.table
        shares = [f"{row['name']} {say_change(row['mean_mm'], system)}" for _, row in table.iterrows()]
        title = what_did_it(story.change, system)
        made.append(_both(title, f"{'; '.join(shares)}.", partial(_waterfall, story.change, system)))
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


def topic_picture(topic: Topic) -> str:
    """A topic's picture as an SVG for the page, across it, with its own title; "" where it has none."""
    if topic.draw is None:
        return ""
    with style(), mpl.rc_context({"svg.fonttype": "none"}):
        buffer, figure = io.BytesIO(), topic.draw()
        figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None})
    said = [text.get_text() for text in (*figure.texts, *(text for ax in figure.axes for text in ax.texts))]
    words = " ".join(next((text for text in said if len(text) > SHORT_LABEL), topic.name).split())
    return inline(buffer.getvalue().decode("utf-8"), f"topic-{topic.name}", words)


def _attitudes(cases: Sequence[Case]) -> str:
    return "; ".join(f"{case.plan} {attitude(case)}" for case in cases)


def _heights(case: Case, names: Sequence[str], system: str) -> str:
    """What a picture says of some marks of a case, in words; what lets water in comes first."""
    wet = f"water comes in at {' and '.join(case.under)}; " if case.under else ""
    heights = [f"{name} {say_height(case.heights_shut[name], system)}" for name in names if name in case.marks]
    return f"{capital(case.plan)}, {case.condition}: {wet}{', '.join(heights)}."


def _half(title: str, words: str, draw: Drawer) -> Picture:
    return Picture(title, words, _svg(title, words, draw, HALF_PX))


def _both(title: str, words: str, draw: Drawer) -> Picture:
    """A picture across the page, and the same for a phone."""
    return Picture(title, words, _svg(title, words, draw, PAGE_PX), True, _svg(title, words, draw, HALF_PX))


def _svg(title: str, words: str, draw: Drawer, width: float) -> str:
    """Draw, and make it an SVG whose text is text and whose inner names occur in no other picture."""
    with style(), mpl.rc_context({"svg.fonttype": "none"}):
        buffer, figure = io.BytesIO(), draw(width)
        for text in (text for ax in figure.axes for text in ax.texts):
            if " ".join(text.get_text().split()) == title:
                text.set_visible(False)  # the page says it over the picture
        figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None})
    name = re.sub(r"[^a-z0-9]+", "-", f"{title} {width:.0f}".lower()).strip("-")
    return inline(buffer.getvalue().decode("utf-8"), name, f"{title}. {words}")


def _placed(
    width: float, height: float, places: Sequence[tuple[float, float, float, float]]
) -> tuple[Figure, list[Axes]]:
    """A figure with Axes at (left, top, width, height) in pixels."""
    figure = new_figure(width, height)
    return figure, [
        figure.add_axes((left / width, 1 - (top + tall) / height, wide / width, tall / height))
        for left, top, wide, tall in places
    ]


def _side(story: Story, cases: Sequence[Case], system: str) -> Picture:
    """The side view with what the mends would move; too full to be drawn for a phone."""
    moved = story.mends.moved if story.mends is not None and story.mends.plan == cases[0].plan else ()

    def draw(width: float) -> Figure:
        wide = width - 2 * EDGE
        tall = side_view_height(new_figure(width, 100), cases, wide)
        figure, (ax,) = _placed(width, tall + EDGE + AXIS, [(EDGE, EDGE, wide, tall)])
        side_view(ax, cases, moved=moved, system=system)
        return figure

    words = _heights(cases[0], side_marks(cases[0]), system)
    return Picture(side_words(cases), words, _svg(side_words(cases), words, draw, PAGE_PX), wide=True)


def _view(draw: Callable[[Axes], object], width: float) -> Figure:
    figure, (ax,) = _placed(width, VIEW_PX + 2 * EDGE, [(EDGE, EDGE, width - 2 * EDGE, VIEW_PX)])
    draw(ax)
    return figure


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
    cases: Sequence[Case], marks: Sequence[str], interval_mm: Mapping[tuple[str, str], float], system: str, width: float
) -> Figure:
    tall, names = ladder_height(cases, marks), tick_label_width(new_figure(width, 100), ladder_names(marks))
    wide = width - 2 * EDGE
    places = [(EDGE, EDGE, wide, 20.0), (EDGE + names, KEY_PX, wide - names, tall)]
    figure, (key, ax) = _placed(width, KEY_PX + tall + AXIS + LINE_PX, places)
    plan_key(key, cases)
    ladder(ax, cases, marks=marks, interval_mm=interval_mm if width > HALF_PX else {}, system=system)  # bars need room
    return figure


def _waterfall(change: Attribution, system: str, width: float) -> Figure:
    names = tick_label_width(new_figure(width, 100), [*change.table["name"], "in all"])
    tall = ROW_PX * (len(change.table) + 1)
    place = (EDGE + names, EDGE, width - names - 2 * EDGE, tall)
    figure, (ax,) = _placed(width, EDGE + tall + AXIS + LINE_PX, [place])
    waterfall(ax, change, system=system)
    return figure
