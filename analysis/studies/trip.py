"""The day out: how high the marks stand along a trip, when it is worst, and how she ends it.

Every point is floated with spaces shut. Heights are in mm, negative under water; watched are the marks that should be
above water. The uncertainty is that of the causes named in the boat's tables, one standard uncertainty each, read off
the response at the ends of every step and joined straight between them; the burn itself is taken as typed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.studies.floats import NOT_WATCHED, Case, float_case
from analysis.studies.inputs import which_input
from analysis.studies.plans import name_of
from hullcalc.boats.along import Along, along
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.trips import Trip
from hullcalc.errors import InputError

TRIPS = "trips/NAME.csv"
MADE_THERE = (
    f"write one as {TRIPS} in the boat's folder: a row a leg or event, with the columns step, nm, hours, aboard, "
    "ashore, moves, changes and, as in conditions.csv, fuel_percent"
)


@dataclass(frozen=True, eq=False)
class Moment:
    """One point of the day in words: which step, its start or end, and the mark that is lowest there."""

    k: int  # row of the table
    step: str
    mark: str
    height: float  # m above water
    u: float  # standard uncertainty [m]


@dataclass(frozen=True, eq=False)
class DayOut:
    """A trip floated: `table` has a row a point along the day, `heights` (n, marks) m the watched marks."""

    along: Along
    plan: str
    marks: tuple[str, ...]
    heights: np.ndarray
    u_least: np.ndarray  # (n,) m, of the lowest mark
    table: pd.DataFrame

    @property
    def boat(self) -> Boat:
        return self.along.boat

    @property
    def trip(self) -> Trip:
        return self.along.trip

    @property
    def worst(self) -> Moment:
        """When the lowest mark is lowest; the first such moment."""
        return self.moment(int(np.argmin(self.table["least_mm"])))

    @property
    def best(self) -> Moment:
        """When the lowest mark is highest."""
        return self.moment(int(np.argmax(self.table["least_mm"])))

    @property
    def start(self) -> Moment:
        return self.moment(0)

    @property
    def end(self) -> Moment:
        return self.moment(len(self.table) - 1)

    def moment(self, k: int) -> Moment:
        """The point k of the day."""
        row = self.table.iloc[k]
        return Moment(k, row["at"], row["least_mark"], row["least_mm"] / 1000, float(self.u_least[k]))

    def case(self, k: int) -> Case:
        """The point k floated by itself, with spaces opened as their openings go under."""
        boat, condition = self.along.at(k)
        return float_case(boat, self.along.plan, condition)

    def lowest(self, kinds: Sequence[str]) -> tuple[np.ndarray, tuple[str, ...]]:
        """Height [m] and name of the lowest mark of some kinds at each point; empty where the plan has none."""
        known = self.along.loading.marks
        of = [i for i, name in enumerate(self.marks) if known[name].kind in kinds]
        if not of:
            return np.empty(0), ()
        at = np.argmin(self.heights[:, of], axis=1)
        return np.min(self.heights[:, of], axis=1), tuple(self.marks[of[i]] for i in at)

    def step_ends(self) -> list[tuple[int, int]]:
        """First and last point of each step."""
        of = self.along.step
        return [(int(np.searchsorted(of, s)), int(np.searchsorted(of, s, "right")) - 1) for s in np.unique(of)]


def find_trip(boat: Boat, name: str | None = None) -> Trip:
    """A trip of the boat by name (the first where none is named); an InputError says which file to write."""
    if not boat.trips:
        raise InputError(f"{boat.name}: there is no trip; {MADE_THERE}")
    if name is None:
        return next(iter(boat.trips.values()))
    if name not in boat.trips:
        raise InputError(f"no trip is called {name!r}; there are: {', '.join(boat.trips)}. Else {MADE_THERE}")
    return boat.trips[name]


def day_out(boat: Boat, plan: AnyPlan, trip: Trip | str | None = None, fuel: float | None = None) -> DayOut:
    """Float her along a trip.

    Parameters
    ----------
    fuel : float, optional
        What she starts with [m³] in place of what the trip says.

    Raises
    ------
    InputError
        For a trip that is not there or cannot be made (see `along`), a plan without marks to watch, and where she sinks
        or turns over on the way; it names the step.
    """
    points = along(boat, plan, trip if isinstance(trip, Trip) else find_trip(boat, trip), fuel)
    kinds = {name: mark.kind for name, mark in points.loading.marks.items()}
    marks = tuple(name for name, kind in kinds.items() if kind not in NOT_WATCHED)
    if not marks:
        raise InputError(
            f"{boat.name}: this plan has no mark that should be above water; add scuppers or sole corners to marks.csv"
        )
    floats = points.float()
    states = floats.states
    _all_float(points, states.status, states.short_by_kg)
    heights = floats.heights(marks)
    least = np.argmin(heights, axis=1)
    table = pd.DataFrame(
        {
            "step": points.step,
            "at": [points.name_of(k) for k in range(len(points.step))],
            "nm": points.nm,
            "hours": points.hours,
            "burnt_l": 1000 * points.burnt,
            "fuel_l": 1000 * points.fuel,
            "mass_kg": states.mass,
            "lcg_m": states.cg[:, 0],
            "trim_deg": states.trim,
            "heel_deg": states.heel,
            "gm_m": states.gm_transverse,
            "least_mark": [marks[i] for i in least],
            "least_mm": 1000 * heights[np.arange(len(least)), least],
        }
    )
    u = np.empty(len(least))
    for first in np.unique(points.step):
        (here,) = np.nonzero(points.step == first)
        first_u, last_u = (_u(points, int(k), marks[least[k]]) for k in (here[0], here[-1]))
        u[here] = np.linspace(first_u, last_u, len(here))
    return DayOut(points, name_of(boat, plan), marks, heights, u, table)


def _u(points: Along, k: int, mark: str) -> float:
    """Standard uncertainty of a mark's height at one point [m]."""
    boat, condition = points.at(k)
    return float(np.hypot.reduce(which_input(boat, points.plan, condition, mark)["mm"])) / 1000


def _all_float(points: Along, status: np.ndarray, short: np.ndarray) -> None:
    for k in np.flatnonzero(status != "floats"):
        why = {
            "sinks": f"she sinks, short of {short[k]:.0f} kg of buoyancy",
            "capsizes": "she turns over: the deck comes to rest over 60° from level",
            "lolls": "she does not stay upright",
        }.get(str(status[k]), "she does not come to rest")
        raise InputError(
            f"{points.trip.file or points.trip.name}, {points.name_of(int(k))}: {why}. Ask a naval architect, "
            "and look at masses and places of that step"
        )
