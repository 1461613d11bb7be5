"""A day out with switches: trip, plan, litres and who comes; picture, words and caution follow.

State, answer and view apart: `DayChoice` is what the reader chose, `solve_day` is pure, `DayPanel` does no sums.
"""

from __future__ import annotations

from dataclasses import dataclass

import ipywidgets as ipw
import traitlets as tl
from matplotlib.figure import Figure

from analysis.controls.switches import LABEL, units_switch
from analysis.controls.told import ToldPanel, buttons
from analysis.figures.day_out import day_figure
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


class DayPanel(ToldPanel[DayAnswer]):
    """A day out: trip, plan, fuel at the start, and who comes."""

    choice: DayChoice

    def __init__(self, boat: Boat, choice: DayChoice) -> None:
        self.boat, self.choice = boat, choice
        self.crew = ipw.Box(layout=ipw.Layout(flex_flow="row wrap", width="100%"))
        self._show_crew()
        choice.observe(self._other_trip, names="trip")
        most = max(round(1000 * fuel_room(boat, plan)) for plan in boat.plans)
        super().__init__(
            choice,
            [
                buttons(choice, "trip", "trip", list(boat.trips)),
                buttons(choice, "plan", "plan", list(boat.plans)),
                _litres(choice, most),
                self.crew,
                units_switch(choice),
            ],
        )

    def _other_trip(self, _: object = None) -> None:
        """Another trip has another crew: start with its own."""
        self.choice.come = self.choice.stay = frozenset()
        self._show_crew()

    def _show_crew(self) -> None:
        trip = find_trip(self.boat, self.choice.trip)
        switches = [_switch(self.choice, name, "stay") for name in own_crew(self.boat, trip)]
        switches += [_switch(self.choice, name, "come") for name in others(self.boat, trip)]
        self.crew.children = tuple(switches)

    def solve(self) -> DayAnswer:
        """The day of the choice."""
        return solve_day(self.boat, self.choice)

    def figure(self, answer: DayAnswer) -> Figure:
        """The day as a picture."""
        return day_figure([answer.day], system=self.choice.system)

    def lines(self, answer: DayAnswer) -> list[str]:
        """The day in sentences."""
        return say_day(answer, self.choice.system)


def day_panel(boat: Boat, choice: DayChoice | None = None) -> DayPanel:
    """The panel of a boat; without a choice it starts at her last plan and first trip."""
    return DayPanel(boat, DayChoice.of(boat) if choice is None else choice)


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
