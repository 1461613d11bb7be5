"""Pictures of an answer: one for the live panel, where words stand beside it, and one that stands alone on paper."""

from __future__ import annotations

from matplotlib.figure import Figure

from analysis.controls.answer import Answer
from analysis.figures.pages import side_figure
from analysis.figures.side_view import side_view
from analysis.figures.style import PAGE_PX, new_figure, style

WIDE, TALL = PAGE_PX - 8.0, 250.0  # px of the view itself: the same for every answer, so that only the boat moves
OVER, UNDER = 44.0, 50.0  # px for its headline and its axis


def live_figure(answer: Answer) -> Figure:
    """The boat from the side with both water lines; finding and caution are left to the words beside it."""
    height = OVER + TALL + UNDER
    with style():
        figure = new_figure(PAGE_PX, height)
        ax = figure.add_axes((4 / PAGE_PX, UNDER / height, WIDE / PAGE_PX, TALL / height))
        side_view(ax, answer.cases, system=answer.system, hurry=True)
    return figure


def paper_figure(answer: Answer) -> Figure:
    """The same view with the finding over it and the caution under it."""
    with style():
        return side_figure(answer.cases, system=answer.system)
