"""View: the refit panel. Controls, picture, reading, marks table and caution that follow each other; no sums here."""

from __future__ import annotations

import base64
import functools
import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import ipywidgets as ipw
from matplotlib.figure import Figure

from analysis.controls.answer import Answer, say_all, say_finding, solve
from analysis.controls.choice import Choice, Crew
from analysis.controls.drawing import live_figure, paper_figure
from analysis.controls.page import caution_html, finding_html, problem_html, reading_html, table_html
from analysis.controls.picture import Picture, to_small_png
from analysis.controls.switches import load_controls, package_switches, plan_buttons
from hullcalc.boats.boat import Boat
from hullcalc.errors import HullcalcError


class RefitPanel(ipw.VBox):
    """A live panel; on paper and in viewers without a kernel: the picture, and the whole answer in words.

    `choice` may be set from outside: all controls follow. `answer` is what is shown, None where there is none; `words`
    is the answer in plain text, or what went wrong. `answer_to` answers a choice; None: `solve` for boat and crew.
    """

    def __init__(
        self, boat: Boat, choice: Choice, crew: Crew, answer_to: Callable[[Choice], Answer] | None = None
    ) -> None:
        self.choice = choice
        self.answer_to = functools.partial(solve, boat, crew) if answer_to is None else answer_to
        self.answer: Answer | None = None
        self.words = ""
        self.finding, self.picture, self.reading = ipw.HTML(), Picture(), ipw.HTML()
        self.caution, self.table = ipw.HTML(), ipw.HTML()
        for name in ("finding", "picture", "reading", "caution", "table"):
            getattr(self, name).add_class(f"hc-{name}")
        load = ipw.Box(load_controls(choice, crew), layout=ipw.Layout(flex_flow="row wrap", width="100%"))
        super().__init__(
            [plan_buttons(boat, choice), package_switches(boat, choice), load,
             self.finding, self.picture, self.reading, self.caution, self.table],
            layout=ipw.Layout(width="100%"),
        )  # fmt: skip
        choice.observe(self.redraw)
        self.redraw()

    def redraw(self, _: object = None) -> None:
        """Answer the choice again; where that cannot be done, the words and nothing else are left."""
        try:
            with nothing_collected():  # figures are full of cycles; collecting them can wait
                answer = self.answer_to(self.choice)
                self._show(answer, live_figure(answer))
        except HullcalcError as problem:
            self._say_problem(str(problem))
        except Exception as problem:  # a fault of ours: the page says so, the log has the rest
            self._say_problem(f"Unexpected: {type(problem).__name__}: {problem}")
            raise

    def _show(self, answer: Answer, figure: Figure) -> None:
        self.answer, self.words = answer, say_all(answer)
        self.picture.show(figure, say_finding(answer))
        self.finding.value, self.reading.value = finding_html(answer), reading_html(answer)
        self.caution.value, self.table.value = caution_html(answer), table_html(answer)

    def _say_problem(self, words: str) -> None:
        self.answer, self.words = None, words
        self.picture.clear()
        self.finding.value = problem_html(words)
        self.reading.value = self.caution.value = self.table.value = ""

    def _repr_mimebundle_(self, **kwargs: Any) -> dict[str, Any]:
        bundle = super()._repr_mimebundle_(**kwargs)
        bundle["text/plain"] = self.words
        if self.answer is not None:
            bundle["image/png"] = base64.b64encode(to_small_png(paper_figure(self.answer))).decode()
        return bundle


@contextmanager
def nothing_collected() -> Iterator[None]:
    """Put off the collection of garbage for a moment: it takes a fifth of a redraw, and nobody waits for it after."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def refit_panel(boat: Boat, crew: Crew, choice: Choice | None = None) -> RefitPanel:
    """The panel of a boat; without a choice it starts at the boat as found."""
    return RefitPanel(boat, Choice.of(boat) if choice is None else choice, crew)
