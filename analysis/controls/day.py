"""A day out with switches: trip, plan, litres and who comes; picture, words and caution follow.

State, answer and view apart: `DayChoice` is what the reader chose, `solve_day` is pure, `DayPanel` does no sums.
"""

from __future__ import annotations

import base64
import html
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import ipywidgets as ipw
import traitlets as tl

from analysis.controls.page import QUIET, TEXT, problem_html
from analysis.controls.picture import Picture, to_small_png
from analysis.controls.switches import LABEL, units_switch
from analysis.figures.day_out import day_figure
from analysis.figures.style import style
from analysis.studies.fuel_range import PLANNING, FuelRange, fuel_range
from analysis.studies.trip import DayOut, day_out, find_trip
from analysis.studies.trip_words import (
    day_caution,
    day_finding,
    say_ends,
    say_fuel_left,
    say_moment,
    say_range,
    say_water_in,
    say_when,
)
from hullcalc.boats.along import along, fuel_room
from hullcalc.boats.boat import Boat
from hullcalc.boats.trips import Trip, crewed, replay
from hullcalc.errors import HullcalcError

STEP = 5  # litres


class DayChoice(tl.HasTraits):
    """What the reader chose; `come` are those who come beside the trip's own crew, `stay` those of it who do not."""

    plan = tl.Unicode()
    trip = tl.Unicode()
    litres = tl.Int(0, min=0)
    come = tl.Instance(frozenset, ())
    stay = tl.Instance(frozenset, ())
    system = tl.Enum(("metric", "us"), default_value="metric")

    @classmethod
    def of(cls, boat: Boat, plan: str | None = None, trip: str | None = None) -> DayChoice:
        """A choice for a boat: her last plan and first trip unless said otherwise, as the trip's file has it."""
        plan = list(boat.plans)[-1] if plan is None else plan
        found = find_trip(boat, trip)
        litres = round(1000 * float(along(boat, plan, found).fuel[0]))
        return cls(plan=plan, trip=found.name, litres=litres)


@dataclass(frozen=True, eq=False)
class DayAnswer:
    """The day chosen, and how far its fuel goes (None where nobody said what she burns, or the tanks are empty)."""

    day: DayOut
    far: FuelRange | None


def solve_day(boat: Boat, choice: DayChoice) -> DayAnswer:
    """Float the day chosen; raises what `day_out` raises."""
    trip = chosen_trip(boat, choice)
    day = day_out(boat, choice.plan, trip, choice.litres / 1000)
    aboard = day.table["fuel_l"].iloc[0] / 1000
    known = boat.burn.per_nm is not None and aboard > 0
    return DayAnswer(day, fuel_range(aboard, boat.burn) if known else None)


def chosen_trip(boat: Boat, choice: DayChoice) -> Trip:
    """The trip with who comes and who stays ashore."""
    return crewed(find_trip(boat, choice.trip), boat.conditions, sorted(choice.come), sorted(choice.stay))


def own_crew(boat: Boat, trip: Trip) -> tuple[str, ...]:
    """People and stores that the trip itself takes aboard at its start."""
    return tuple(replay(trip.steps[:1], boat.people, boat.conditions)[0][0].start)


def others(boat: Boat, trip: Trip) -> tuple[str, ...]:
    """People and stores that take no part in the trip and could come along."""
    taken = set(own_crew(boat, trip))
    for step in trip.steps:
        taken |= {*step.aboard, *(name for pair in step.moves for name in pair), *(name for name, _ in step.changes)}
    return tuple(name for name in boat.people if name not in taken)


def say_day(answer: DayAnswer, system: str = "metric") -> list[str]:
    """The whole answer in plain text, a sentence a line: finding, worst, both ends, fuel, range, caution."""
    day = answer.day
    worst, best = day.worst, day.best
    said = [
        f"{day_finding(day, system)}.",
        f"Worst: {say_moment(worst, system)}. {say_water_in(day)}",
        f"Best: {say_moment(best, system)}, at {say_when(day, best.k)}.",
        say_ends(day, system),
        say_fuel_left(day, system),
    ]
    if answer.far is not None:
        said.append(f"{say_range(answer.far, system)} {PLANNING}")
    return [*said, day_caution(day)]


class DayPanel(ipw.VBox):
    """A live panel; on paper and in viewers without a kernel: the picture, and the whole answer in words.

    `choice` may be set from outside: all controls follow. `answer` is what is shown, None where there is none; `words`
    is the answer in plain text, or what went wrong.
    """

    def __init__(self, boat: Boat, choice: DayChoice) -> None:
        self.boat, self.choice = boat, choice
        self.answer: DayAnswer | None = None
        self.words = ""
        self.finding, self.picture, self.reading = ipw.HTML(), Picture(), ipw.HTML()
        self.crew = ipw.Box(layout=ipw.Layout(flex_flow="row wrap", width="100%"))
        most = max(round(1000 * fuel_room(boat, plan)) for plan in boat.plans)
        super().__init__(
            [
                _buttons(choice, "trip", "trip", list(boat.trips)),
                _buttons(choice, "plan", "plan", list(boat.plans)),
                _litres(choice, most),
                self.crew,
                units_switch(choice),
                self.finding,
                self.picture,
                self.reading,
            ],
            layout=ipw.Layout(width="100%"),
        )
        self._show_crew()
        choice.observe(self._other_trip, names="trip")
        choice.observe(self.redraw)
        self.redraw()

    def _other_trip(self, _: object = None) -> None:
        """Another trip has another crew: start with its own."""
        self.choice.come = self.choice.stay = frozenset()
        self._show_crew()

    def _show_crew(self) -> None:
        trip = find_trip(self.boat, self.choice.trip)
        switches = [_switch(self.choice, name, "stay") for name in own_crew(self.boat, trip)]
        switches += [_switch(self.choice, name, "come") for name in others(self.boat, trip)]
        self.crew.children = tuple(switches)

    def redraw(self, _: object = None) -> None:
        """Answer the choice again; where that cannot be done, the words and nothing else are left."""
        try:
            answer = solve_day(self.boat, self.choice)
            self.picture.show(_figure(answer, self.choice.system), day_finding(answer.day, self.choice.system))
        except HullcalcError as problem:
            self.answer, self.words = None, str(problem)
            self.picture.clear()
            self.finding.value, self.reading.value = problem_html(self.words), ""
            return
        lines = say_day(answer, self.choice.system)
        self.answer, self.words = answer, "\n".join(lines)
        self.finding.value = _html(lines[:1], "font-weight:bold")
        self.reading.value = _html(lines[1:-1], "") + _html(lines[-1:], QUIET)

    def _repr_mimebundle_(self, **kwargs: Any) -> dict[str, Any]:
        bundle = super()._repr_mimebundle_(**kwargs)
        bundle["text/plain"] = self.words
        if self.answer is not None:
            png = to_small_png(_figure(self.answer, self.choice.system))
            bundle["image/png"] = base64.b64encode(png).decode()
        return bundle


def day_panel(boat: Boat, choice: DayChoice | None = None) -> DayPanel:
    """The panel of a boat; without a choice it starts at her last plan and first trip."""
    return DayPanel(boat, DayChoice.of(boat) if choice is None else choice)


def _figure(answer: DayAnswer, system: str) -> Any:
    with style():
        return day_figure([answer.day], system=system)


def _buttons(choice: DayChoice, trait: str, name: str, options: list[str]) -> ipw.ToggleButtons:
    buttons = ipw.ToggleButtons(
        options=options, value=getattr(choice, trait), description=name, style={"description_width": LABEL}
    )
    tl.link((choice, trait), (buttons, "value"))
    return buttons


def _litres(choice: DayChoice, most: int) -> ipw.HBox:
    """A slider and a named number box for the fuel at the start; either moves the other."""
    box = ipw.BoundedIntText(
        value=choice.litres, max=most, step=STEP, description="fuel, litres",
        style={"description_width": LABEL}, layout=ipw.Layout(width="190px"),
    )  # fmt: skip
    slider = ipw.IntSlider(value=choice.litres, max=most, readout=False, layout=ipw.Layout(width="190px"))
    for widget in (box, slider):
        tl.link((choice, "litres"), (widget, "value"))
    return ipw.HBox([box, slider])


def _switch(choice: DayChoice, name: str, trait: str) -> ipw.Checkbox:
    """One person or store: on is aboard, whether of the trip's own crew ("stay" holds who is off) or beside it."""
    on_when_in = trait == "come"
    box = ipw.Checkbox(
        value=(name in getattr(choice, trait)) == on_when_in, description=name, indent=False,
        layout=ipw.Layout(width="auto", margin="0 12px 0 0"),
    )  # fmt: skip

    def put(change: dict) -> None:
        now = getattr(choice, trait)
        setattr(choice, trait, now | {name} if change["new"] == on_when_in else now - {name})

    box.observe(put, names="value")
    choice.observe(lambda change: box.set_trait("value", (name in change["new"]) == on_when_in), names=trait)
    return box


def _html(lines: Sequence[str], look: str) -> str:
    told = "".join(f"<div>{html.escape(line)}</div>" for line in lines)
    return f'<div style="{TEXT};{look};margin-bottom:6px">{told}</div>'
