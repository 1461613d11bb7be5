"""View: a panel that answers a choice with a finding, a picture and sentences. Its heirs say what is asked."""

from __future__ import annotations

import base64
import html
from abc import abstractmethod
from collections.abc import Sequence
from typing import Any, Generic, TypeVar

import ipywidgets as ipw
import traitlets as tl
from matplotlib.figure import Figure

from analysis.controls.page import QUIET, TEXT, problem_html
from analysis.controls.picture import Picture, to_small_png
from analysis.controls.switches import LABEL
from analysis.figures.style import style
from hullcalc.errors import HullcalcError

AnswerT = TypeVar("AnswerT")


class ToldPanel(ipw.VBox, Generic[AnswerT]):
    """A live panel; on paper and in viewers without a kernel: the picture, and the whole answer in words.

    `choice` may be set from outside: all controls follow. `answer` is what is shown, None where there is none; `words`
    is the answer in plain text, or what went wrong. An heir says how a choice is solved, drawn and told.
    """

    def __init__(self, choice: tl.HasTraits, controls: Sequence[ipw.Widget]) -> None:
        self.choice = choice
        self.answer: AnswerT | None = None
        self.words = ""
        self.finding, self.picture, self.reading = ipw.HTML(), Picture(), ipw.HTML()
        super().__init__([*controls, self.finding, self.picture, self.reading], layout=ipw.Layout(width="100%"))
        choice.observe(self.redraw)
        self.redraw()

    @abstractmethod
    def solve(self) -> AnswerT:
        """The answer to the choice as it is now."""

    @abstractmethod
    def figure(self, answer: AnswerT) -> Figure:
        """The picture of an answer, drawn in the house's style."""

    @abstractmethod
    def lines(self, answer: AnswerT) -> list[str]:
        """The answer in sentences: the finding first, the caution last."""

    def redraw(self, _: object = None) -> None:
        """Answer the choice again; where that cannot be done, the words and nothing else are left."""
        try:
            answer = self.solve()
            lines = self.lines(answer)
            self.picture.show(self._drawn(answer), lines[0].removesuffix("."))
        except HullcalcError as problem:
            self._say_problem(str(problem))
            return
        except Exception as problem:  # a fault of ours: the page says so, the log has the rest
            self._say_problem(f"Unexpected: {type(problem).__name__}: {problem}")
            raise
        self.answer, self.words = answer, "\n".join(lines)
        self.finding.value = _html(lines[:1], "font-weight:bold")
        self.reading.value = _html(lines[1:-1], "") + _html(lines[-1:], QUIET)

    def _say_problem(self, words: str) -> None:
        self.answer, self.words = None, words
        self.picture.clear()
        self.finding.value, self.reading.value = problem_html(words), ""

    def _drawn(self, answer: AnswerT) -> Figure:
        with style():
            return self.figure(answer)

    def _repr_mimebundle_(self, **kwargs: Any) -> dict[str, Any]:
        bundle = super()._repr_mimebundle_(**kwargs)
        bundle["text/plain"] = self.words
        if self.answer is not None:
            bundle["image/png"] = base64.b64encode(to_small_png(self._drawn(self.answer))).decode()
        return bundle


def buttons(choice: tl.HasTraits, trait: str, name: str, options: Sequence[str]) -> ipw.ToggleButtons:
    """One of several names, linked with a trait of the choice."""
    made = ipw.ToggleButtons(
        options=list(options), value=getattr(choice, trait), description=name, style={"description_width": LABEL}
    )
    tl.link((choice, trait), (made, "value"))
    return made


def _html(lines: Sequence[str], look: str) -> str:
    told = "".join(f"<div>{html.escape(line)}</div>" for line in lines)
    return f'<div style="{TEXT};{look};margin-bottom:6px">{told}</div>'
