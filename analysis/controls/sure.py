"""How sure, with switches: plan, load and marks chosen, measurements taken as done; curve, figures and caution follow.

State, answer and view apart: `SureChoice` is what the reader chose, `solve_sure` is pure, `SurePanel` does no sums.
"""

from __future__ import annotations

from collections.abc import Sequence

import ipywidgets as ipw
import traitlets as tl
from matplotlib.figure import Figure

from analysis.controls.switches import units_switch
from analysis.controls.told import ToldPanel, buttons
from analysis.figures.chance import chance_figure
from analysis.studies.floats import NOT_WATCHED
from analysis.studies.measure_next import measure_next
from analysis.studies.plans import heaviest_condition
from analysis.studies.sure import Sure, how_sure
from analysis.studies.sure_words import say_lowest, say_marks, say_straight, sure_finding, what_first
from analysis.studies.watching import EVERY, FIRST_ASKED, watched_marks
from analysis.studies.words import caution
from hullcalc.boats.boat import Boat
from hullcalc.boats.causes import all_causes

SAMPLES = 2000  # draws of the live panel: some tenths of a second


class SureChoice(tl.HasTraits):
    """What the reader chose; `marks` is a kind of mark or "every mark", `measured` names measurements taken as done."""

    plan = tl.Unicode()
    condition = tl.Unicode()
    marks = tl.Unicode(FIRST_ASKED)
    measured = tl.Instance(frozenset, ())
    system = tl.Enum(("metric", "us"), default_value="metric")

    @classmethod
    def of(cls, boat: Boat, plan: str | None = None, condition: str | None = None) -> SureChoice:
        """A choice for a boat: her last plan in its heaviest load unless said otherwise, nothing measured."""
        plan = list(boat.plans)[-1] if plan is None else plan
        return cls(plan=plan, condition=heaviest_condition(boat, plan) if condition is None else condition)


def offered_first(boat: Boat, choice: SureChoice) -> list[str]:
    """The measurements worth taking for a choice, the best first: one after the other."""
    causes = all_causes(boat, choice.plan, choice.condition)
    names = watched_marks(causes.loading.marks, [choice.marks])
    lowest = min(names, key=lambda name: causes.heights([name])[0])
    return list(measure_next(boat, choice.plan, choice.condition, causes, lowest).steps["measure"])


def solve_sure(boat: Boat, choice: SureChoice, samples: int = SAMPLES) -> Sure:
    """How sure the chosen marks are; a measurement that has nothing to measure in this plan counts for nothing.

    Raises what `how_sure` raises.
    """
    causes = all_causes(boat, choice.plan, choice.condition)
    names = watched_marks(causes.loading.marks, [choice.marks])
    here = {one.name for one in measure_next(boat, choice.plan, choice.condition, causes, names[0]).offered}
    done = sorted(choice.measured & here)
    return how_sure(boat, choice.plan, choice.condition, [choice.marks], samples, done)


def say_sure(sure: Sure, system: str) -> list[str]:
    """The whole answer in plain text, a sentence a line: finding, what is done, marks, what to measure, caution."""
    done = [f"Taken as done: {'; '.join(sure.measured)}."] if sure.measured else []
    lowest = say_lowest(sure, system)
    return [
        f"{sure_finding(sure, system)}.", *done, *say_marks(sure, system), *([lowest] if lowest else []),
        *say_straight(sure, system), f"{what_first(sure, system)}.", caution([sure.case], system),
    ]  # fmt: skip


class SurePanel(ToldPanel[Sure]):
    """How sure: plan, load and marks, and a switch for each measurement."""

    choice: SureChoice

    def __init__(self, boat: Boat, choice: SureChoice, measurements: Sequence[str], samples: int = SAMPLES) -> None:
        self.boat, self.samples = boat, samples
        kinds = dict.fromkeys(mark.kind for mark in boat.all_marks if mark.kind not in NOT_WATCHED)
        super().__init__(
            choice,
            [
                buttons(choice, "plan", "plan", list(boat.plans)),
                buttons(choice, "condition", "load", list(boat.conditions)),
                buttons(choice, "marks", "marks", [*kinds, EVERY]),
                ipw.Label("Taken as measured:"),
                *(_switch(choice, name) for name in measurements),
                units_switch(choice),
            ],
        )

    def solve(self) -> Sure:
        """How sure we are of the choice."""
        return solve_sure(self.boat, self.choice, self.samples)

    def figure(self, answer: Sure) -> Figure:
        """The curve of chances and the two rankings."""
        return chance_figure(answer, system=self.choice.system)

    def lines(self, answer: Sure) -> list[str]:
        """The answer in sentences."""
        return say_sure(answer, self.choice.system)


def sure_panel(boat: Boat, choice: SureChoice | None = None) -> SurePanel:
    """The panel of a boat, with a switch for each measurement worth taking at the start."""
    choice = SureChoice.of(boat) if choice is None else choice
    return SurePanel(boat, choice, offered_first(boat, choice))


def _switch(choice: SureChoice, name: str) -> ipw.Checkbox:
    """One measurement, done or not."""
    box = ipw.Checkbox(
        value=name in choice.measured, description=name, indent=False, layout=ipw.Layout(width="auto", margin="0")
    )

    def put(change: dict) -> None:
        choice.measured = choice.measured | {name} if change["new"] else choice.measured - {name}

    box.observe(put, names="value")
    choice.observe(lambda change: box.set_trait("value", name in change["new"]), names="measured")
    return box
