"""How does she float? Millimetres above water at each mark, for each plan in each load condition.

A `Case` is one plan in one condition, floated with every space shut and again with the spaces open whose openings went
under. The study gathers cases into tables. Heights are along the water's normal, in mm in the tables, negative under
water. The stern figure is the height of the water above the x axis at x = 0, along the boat's z. A draught is the depth
of a draught mark under water. Trim has two more figures beside the angle of the keel run: between draught marks (the
after draught less the forward one) and by the boot stripe (its forward end's height less its after end's), both
positive bow up and both in mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from analysis.studies.plans import name_of
from hullcalc.boats.afloat import BoatState
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.limits import say_list
from hullcalc.boats.marks import Mark
from hullcalc.errors import InputError, NoEquilibriumError
from hullcalc.floating.state import FloatState

NOT_WATCHED = ("draught", "boot stripe")  # marks that may lie under water
SINKS = "sinks"


@dataclass(frozen=True, eq=False)
class Case:
    """One plan in one condition; `state` is at rest, after all rounds of spaces opened to the sea."""

    boat: Boat
    plan: str  # its name, or "own choice of packages"
    packages: frozenset[str]
    condition: str
    state: BoatState

    @property
    def marks(self) -> Mapping[str, Mark]:
        """The marks there are, where they are in this plan."""
        return self.state.loading.marks

    @property
    def shut(self) -> FloatState:
        """The first round: every space shut that the condition does not hold open."""
        return self.state.rounds[0].state

    @property
    def heights_shut(self) -> Mapping[str, float]:
        """Height of each mark above water [m] with spaces shut, negative under."""
        return self.state.rounds[0].heights

    @property
    def heights(self) -> Mapping[str, float]:
        """Height of each mark above water [m] at rest, with spaces open where an opening is under."""
        return self.state.rounds[-1].heights

    @property
    def under(self) -> tuple[str, ...]:
        """Openings under water with spaces shut."""
        return self.state.rounds[0].under

    @property
    def held_open(self) -> tuple[str, ...]:
        """Spaces the condition holds open to the sea from the start."""
        return self.state.loading.held_open

    @property
    def entered(self) -> tuple[str, ...]:
        """Spaces that water entered by an opening under water, round by round."""
        return tuple(name for name in self.state.rounds[-1].opened if name not in self.held_open)

    def watched(self, kinds: Iterable[str] | None = None) -> list[str]:
        """Names of the marks that should be above water (or of the kinds given), the least with spaces shut first."""
        wanted = None if kinds is None else set(kinds)
        names = [n for n, m in self.marks.items() if (m.kind in wanted if wanted else m.kind not in NOT_WATCHED)]
        return sorted(names, key=lambda name: self.heights_shut[name])


def float_case(boat: Boat, plan: AnyPlan, condition: AnyCondition = "light") -> Case:
    """Float one plan (a name or packages) in one condition; raises NoEquilibriumError where she sinks."""
    return Case(
        boat,
        name_of(boat, plan),
        boat.packages_on(plan),
        boat.condition(condition).name,
        boat.float(plan, condition),
    )


def stern_height(state: FloatState) -> float:
    """Height of the water above the x axis at x = 0, along the boat's z [m]."""
    normal, offset = state.plane
    return float(offset / normal[2])


@dataclass(frozen=True)
class SoleFall:
    """Which way water runs on the sole: the fall from its forward marks to its after ones."""

    fall: float  # [m], positive when it drains aft
    length: float  # [m] between them, along x

    @property
    def words(self) -> str:
        way = "aft" if self.fall > 0 else "forward" if self.fall < 0 else "nowhere"
        return f"the sole drains {way}"


def sole_fall(marks: Mapping[str, Mark], heights: Mapping[str, float]) -> SoleFall | None:
    """The fall of the sole between its foremost and aftmost marks; None where marks of one x only are known.

    Marks port and starboard at one end count as their mean, so that heel takes no part.
    """
    at: dict[float, list[float]] = {}
    for name, mark in marks.items():
        if mark.kind == "sole":
            at.setdefault(float(mark.point[0]), []).append(heights[name])
    if len(at) < 2:
        return None
    aft, forward = min(at), max(at)
    return SoleFall(float(np.mean(at[forward]) - np.mean(at[aft])), forward - aft)


@dataclass(frozen=True, eq=False)
class FloatsStudy:
    """How she floats: `table` has a row a plan x condition x mark, `summary` a row a plan x condition."""

    boat: Boat
    plans: tuple[str, ...]
    conditions: tuple[str, ...]
    cases: Mapping[tuple[str, str], Case]  # without the cases that sink
    table: pd.DataFrame
    summary: pd.DataFrame

    @property
    def states(self) -> dict[tuple[str, str], BoatState]:
        """The state at rest of each plan x condition that floats."""
        return {key: case.state for key, case in self.cases.items()}

    def case(self, plan: str, condition: str) -> Case:
        """The case of a plan and a condition; an InputError where it was not floated or sinks."""
        if (plan, condition) not in self.cases:
            known = ", ".join(f"{p} / {c}" for p, c in self.cases)
            raise InputError(f"no floating case {plan} / {condition} in this study; there are: {known}")
        return self.cases[plan, condition]


def how_she_floats(
    boat: Boat, plans: Iterable[str] | None = None, conditions: Iterable[str] | None = None
) -> FloatsStudy:
    """Float each plan in each condition (default: all of them) and tabulate marks and centres.

    A case that sinks keeps its row in `summary` with status "sinks" and `short_by_kg`, and has none in `table`.
    """
    plans = tuple(boat.plans if plans is None else plans)
    conditions = tuple(boat.conditions if conditions is None else conditions)
    cases: dict[tuple[str, str], Case] = {}
    mark_rows: list[dict[str, Any]] = []
    case_rows: list[dict[str, Any]] = []
    for plan in plans:
        for condition in conditions:
            head = {"plan": plan, "condition": condition}
            try:
                case = float_case(boat, plan, condition)
            except NoEquilibriumError as sunk:
                case_rows.append(head | {"status": SINKS, "short_by_kg": sunk.short_by_kg})
                continue
            cases[plan, condition] = case
            case_rows.append(head | _case_row(case))
            mark_rows += [head | row for row in _mark_rows(case)]
    return FloatsStudy(boat, plans, conditions, cases, pd.DataFrame(mark_rows), pd.DataFrame(case_rows))


def _mark_rows(case: Case) -> list[dict[str, Any]]:
    return [
        {
            "mark": name,
            "kind": mark.kind,
            "x_m": float(mark.point[0]),
            "y_m": float(mark.point[1]),
            "z_m": float(mark.point[2]),
            "shut_mm": 1000 * case.heights_shut[name],
            "rest_mm": 1000 * case.heights[name],
        }
        for name, mark in case.marks.items()
    ]


def attitude_figures(state: FloatState) -> dict[str, Any]:
    """Status, weight, centre of gravity and attitude of one state that floats, for a row of a table."""
    return {
        "status": state.status,
        "short_by_kg": 0.0,
        "mass_kg": float(state.mass),
        "lcg_m": float(state.cg[0]),
        "tcg_m": float(state.cg[1]),
        "vcg_m": float(state.cg[2]),
        "trim_deg": float(state.trim),
        "heel_deg": float(state.heel),
    }


def _case_row(case: Case) -> dict[str, Any]:
    """The figures of one case with spaces shut; those at rest with spaces open have `rest_` before them."""
    state = case.shut
    aft, forward = (-1000 * case.heights_shut[n] if n else np.nan for n in end_marks(case.marks, "draught"))
    stripe_aft, stripe_forward = (
        1000 * case.heights_shut[n] if n else np.nan for n in end_marks(case.marks, "boot stripe")
    )
    fall = sole_fall(case.marks, case.heights_shut)
    least, least_forward = least_mark(case), least_forward_mark(case)
    row = attitude_figures(state) | {
        "stern_mm": 1000 * stern_height(state),
        "draught_aft_mm": aft,
        "draught_forward_mm": forward,
        "trim_between_marks_mm": aft - forward,
        "trim_by_stripe_mm": stripe_forward - stripe_aft,
        "gm_m": float(state.gm_transverse),
        "gm_liquids_frozen_m": float(state.gm_transverse + state.free_surface[0]),
        "least_mark": least or "",
        "least_mm": 1000 * case.heights_shut[least] if least else np.nan,
        "least_forward_mark": least_forward or "",
        "least_forward_mm": 1000 * case.heights_shut[least_forward] if least_forward else np.nan,
        "sole_fall_mm": 1000 * fall.fall if fall else np.nan,
        "sole_words": fall.words if fall else "",
        "under": " + ".join(case.under),
        "opened": " + ".join(case.state.rounds[-1].opened),
        "water_kg_m3": float(case.boat.water_density),
    }
    rest_least = min(case.watched(), key=lambda name: case.heights[name], default=None)
    row |= {
        "rest_trim_deg": float(case.state.trim),
        "rest_heel_deg": float(case.state.heel),
        "rest_stern_mm": 1000 * stern_height(case.state),
        "rest_gm_m": float(case.state.gm_transverse),
        "rest_least_mark": rest_least or "",
        "rest_least_mm": 1000 * case.heights[rest_least] if rest_least else np.nan,
        "meaning": meaning(case),
    }
    return row


def end_marks(marks: Mapping[str, Mark], kind: str) -> tuple[str | None, str | None]:
    """Names of the aftmost and foremost mark of a kind; (name, None) where there is one, (None, None) where none."""
    names = sorted((n for n, m in marks.items() if m.kind == kind), key=lambda n: marks[n].point[0])
    if not names:
        return None, None
    return names[0], names[-1] if len(names) > 1 else None


def least_mark(case: Case) -> str | None:
    """The mark nearest to the water, or deepest under it, with spaces shut."""
    return next(iter(case.watched()), None)


def least_forward_mark(case: Case) -> str | None:
    """The least of the marks in the forward half of the boat's length: over-mending shows here."""
    x = case.boat.hull.solid.vertices[:, 0]
    middle = (x.min() + x.max()) / 2
    return next((name for name in case.watched() if case.marks[name].point[0] > middle), None)


def meaning(case: Case) -> str:
    """One plain sentence without figures: what is under water and what it means."""
    held = f"{say_list(case.held_open)} held open to the sea, " if case.held_open else ""
    if not case.under:
        return f"{held}no opening under water, at rest in calm water"
    under = f"{held}{say_list(case.under)} under water"
    if not case.entered:
        return f"{under}: not valid beyond it"
    between = "; she rises dry again, so she rests between" if case.state.rests_between else ""
    return f"{under}: water enters the {say_list(case.entered)}, floated again open to the sea{between}"
