"""By hand and exactly, with controls: plan, load and share of the change; lines, sums and caution follow.

State, answer and view apart: `HandChoice` is what the reader chose, `solve_hand` is pure, `HandPanel` does no sums.
"""

from __future__ import annotations

from dataclasses import dataclass

import ipywidgets as ipw
import traitlets as tl
from matplotlib.figure import Figure

from analysis.controls.switches import LABEL
from analysis.controls.told import ToldPanel, buttons
from analysis.figures.parting import parting_figure, parting_finding
from analysis.studies.by_hand.parting import Parting, parting_words
from analysis.studies.by_hand.saying import say_error, say_line
from analysis.studies.by_hand.study import ByHand
from analysis.studies.words import capital
from hullcalc.boats.boat import Boat
from hullcalc.boats.limits import STANDING_CARE
from hullcalc.units import say_length_mm, say_mass, say_trim

MOST = 150  # percent of the change


class HandChoice(tl.HasTraits):
    """What the reader chose; `share` is that of the change, in percent."""

    plan = tl.Unicode()
    condition = tl.Unicode()
    share = tl.Int(100, min=0, max=MOST)
    system = tl.Enum(("metric", "us"), default_value="metric")

    @classmethod
    def of(cls, boat: Boat) -> HandChoice:
        """The first refit of a boat in her first condition, the whole of the change."""
        plan = next(name for name in boat.plans if boat.packages_on(name))
        return cls(plan=plan, condition=next(iter(boat.conditions)))


@dataclass(frozen=True, eq=False)
class HandAnswer:
    """The study of the choice, its lines parting, and where on them the share lies."""

    study: ByHand
    parting: Parting
    share: float

    def at_share(self, end: str) -> tuple[float, float]:
        """How much deeper an end lies at the share [m]: by hand and exactly."""
        k = int(abs(self.parting.shares - self.share).argmin())
        return float(self.parting.by_hand[end][k]), float(self.parting.exact[end][k])


def solve_hand(boat: Boat, choice: HandChoice) -> HandAnswer:
    """The change of the chosen plan and load, shared out in steps of 5 percent.

    Raises InputError where she does not rest upright on the way, NoEquilibriumError where she sinks.
    """
    study = ByHand(boat, choice.plan, choice.condition)
    return HandAnswer(study, study.parting, round(choice.share / 5) * 0.05)


def say_hand(answer: HandAnswer, system: str = "metric") -> list[str]:
    """The answer in plain text: the share at both ends, the sum of the trim, how far the hand may go, cautions."""
    change, share = answer.study.change, answer.share
    kg = say_mass(abs(share * change.mass), system)
    said = [f"{100 * share:.0f} % of the change, {kg} {'taken off' if change.mass < 0 else 'added'}, no bodies:"]
    for name in answer.parting.exact:
        hand, exact = answer.at_share(name)
        said.append(
            f"{capital(name)}: by hand {_deeper(hand, system)}, exactly {_deeper(exact, system)}; "
            f"the hand is {say_error(exact - hand, system)}."
        )
    said += parting_words(answer.parting, system)
    said.append(
        f"With all that comes with the plan: by hand {say_trim(change.from_before.trim)}, by the table "
        f"{say_trim(change.from_table.trim)}, exactly {say_trim(change.exact.trim)}."
    )
    said += [say_line(line, system) for line in change.sums[0].lines if line.how]
    return [*said, " ".join([*answer.study.limits(system)[:1], *STANDING_CARE])]


def _deeper(metres: float, system: str) -> str:
    return f"{say_length_mm(abs(metres), system)} {'deeper' if metres >= 0 else 'higher'}"


class HandPanel(ToldPanel[HandAnswer]):
    """By hand and exactly: plan, load, and a share of the change."""

    choice: HandChoice

    def __init__(self, boat: Boat, choice: HandChoice | None = None) -> None:
        self.boat, choice = boat, HandChoice.of(boat) if choice is None else choice
        plans = [name for name in boat.plans if boat.packages_on(name)]
        super().__init__(
            choice,
            [
                buttons(choice, "plan", "plan", plans),
                buttons(choice, "condition", "load", list(boat.conditions)),
                _share(choice),
            ],
        )

    def solve(self) -> HandAnswer:
        """Both answers to the share of the change."""
        return solve_hand(self.boat, self.choice)

    def figure(self, answer: HandAnswer) -> Figure:
        """The two lines parting, with the share marked."""
        return parting_figure(answer.parting, at=answer.share, system=self.choice.system)

    def lines(self, answer: HandAnswer) -> list[str]:
        """The finding, both answers, where they part, the caution."""
        finding = f"{parting_finding(answer.parting, self.choice.system)}."
        return [finding, *say_hand(answer, self.choice.system)]


def _share(choice: HandChoice) -> ipw.Box:
    """A slider and beside it a number box, which a screen reader can name."""
    slider = ipw.IntSlider(
        min=0, max=MOST, step=5, readout=False, description="share", style={"description_width": LABEL}
    )
    box = ipw.BoundedIntText(
        min=0, max=MOST, step=5, description="share of the change, %", style={"description_width": "170px"}
    )
    for one in (slider, box):
        tl.link((choice, "share"), (one, "value"))
    return ipw.Box([slider, box], layout=ipw.Layout(flex_flow="row wrap", width="100%"))
