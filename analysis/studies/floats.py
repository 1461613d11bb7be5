"""How does she float? Millimetres above water at each mark, for each plan in each load condition.

A `Case` is one plan in one condition, floated with every space shut and again with the spaces open whose openings went
under. The study gathers cases into tables. Heights are along the water's normal, in mm in the tables, negative under
water. The stern figure is the height of the water above the x axis at x = 0, along the boat's z. A draught is the depth of
a draught mark under water; trim between marks is the after draught less the forward one (positive: bow up).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd

from analysis.studies.plans import Plan, name_of
from hullcalc.boats.boat import Boat, Mark
from hullcalc.errors import InputError, NoEquilibriumError

NOT_WATCHED = ("draught", "boot stripe")  # marks that may lie under water
SINKS = "sinks"


@dataclass(frozen=True, eq=False)
class Case:
    """One plan in one load condition, as she floats with all spaces shut and at rest with spaces open where water enters."""

    boat: Boat
    plan: str
    condition: str
    packages: Plan  # what was asked of the boat: a plan's name or its packages
    shut: Any  # FloatState with every space shut that the condition does not hold open
    rest: Any  # FloatState at the end of all rounds; the same as `shut` where no opening is under
    marks: Mapping[str, Mark]
    under: tuple[str, ...]  # openings under water with spaces shut
    opened: tuple[str, ...]  # spaces open to the sea at rest
    limits: tuple[str, ...]  # sentences: not valid beyond, whom to ask

    @cached_property
    def heights_shut(self) -> dict[str, float]:
        """Height of each mark above water [m] with spaces shut, negative under."""
        return self._heights(self.shut)

    @cached_property
    def heights(self) -> dict[str, float]:
        """Height of each mark above water [m] at rest, with spaces open where an opening is under."""
        return self._heights(self.rest)

    def _heights(self, state: Any) -> dict[str, float]:
        if not self.marks:
            return {}
        points = np.array([mark.point for mark in self.marks.values()], dtype=float)
        return dict(zip(self.marks, map(float, state.height_above_water(points)), strict=True))

    def watched(self, kinds: Iterable[str] | None = None) -> list[str]:
        """Names of the marks that should be above water (or of the kinds given), least height with spaces shut first."""
        wanted = None if kinds is None else set(kinds)
        names = [n for n, m in self.marks.items() if (m.kind in wanted if wanted else m.kind not in NOT_WATCHED)]
        return sorted(names, key=lambda name: self.heights_shut[name])


def float_case(boat: Boat, plan: Plan, condition: Any = "light") -> Case:
    """Float one plan in one condition; raises NoEquilibriumError where she sinks."""
    state = boat.float(plan, condition)
    shut = state.rounds[0]
    return Case(
        boat=boat,
        plan=name_of(boat, plan),
        condition=getattr(condition, "name", condition),
        packages=plan,
        shut=shut.state,
        rest=state,
        marks=boat.marks_in(plan),
        under=tuple(shut.under),
        opened=tuple(state.rounds[-1].opened),
        limits=tuple(state.limits),
    )


def stern_height(state: Any) -> float:
    """Height of the water above the x axis at x = 0, along the boat's z [m]."""
    normal, offset = state.plane
    return float(offset / normal[2])


@dataclass(frozen=True)
class SoleFall:
    """Which way water runs on the sole: `fall` [m] from the forward sole marks to the after ones, positive when it drains aft."""

    fall: float
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
    def states(self) -> dict[tuple[str, str], Any]:
        """The state at rest of each plan x condition that floats."""
        return {key: case.rest for key, case in self.cases.items()}

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


def _case_row(case: Case) -> dict[str, Any]:
    """The figures of one case; those at rest with spaces open have `rest_` before them, all others are with spaces shut."""
    state = case.shut
    aft, forward = draught_marks(case.marks)
    draughts = {name: -1000 * case.heights_shut[name] for name in (aft, forward) if name}
    both = aft is not None and forward is not None
    fall = sole_fall(case.marks, case.heights_shut)
    least, least_forward = least_mark(case), least_forward_mark(case)
    row: dict[str, Any] = {
        "status": state.status,
        "short_by_kg": 0.0,
        "mass_kg": float(state.mass),
        "lcg_m": float(state.cg[0]),
        "tcg_m": float(state.cg[1]),
        "vcg_m": float(state.cg[2]),
        "trim_deg": float(state.trim),
        "heel_deg": float(state.heel),
        "stern_mm": 1000 * stern_height(state),
        "draught_aft_mm": draughts.get(aft, np.nan),
        "draught_forward_mm": draughts.get(forward, np.nan),
        "trim_between_marks_mm": draughts[aft] - draughts[forward] if both else np.nan,
        "gm_m": float(state.gm_transverse),
        "gm_liquids_frozen_m": float(state.gm_transverse + state.free_surface[0]),
        "least_mark": least,
        "least_mm": 1000 * case.heights_shut[least] if least else np.nan,
        "least_forward_mark": least_forward,
        "least_forward_mm": 1000 * case.heights_shut[least_forward] if least_forward else np.nan,
        "sole_fall_mm": 1000 * fall.fall if fall else np.nan,
        "sole_words": fall.words if fall else "",
        "under": " + ".join(case.under),
        "opened": " + ".join(case.opened),
        "water_kg_m3": float(case.boat.water_density),
    }
    rest_least = min(case.watched(), key=lambda name: case.heights[name], default=None)
    row |= {
        "rest_trim_deg": float(case.rest.trim),
        "rest_heel_deg": float(case.rest.heel),
        "rest_stern_mm": 1000 * stern_height(case.rest),
        "rest_gm_m": float(case.rest.gm_transverse),
        "rest_least_mark": rest_least,
        "rest_least_mm": 1000 * case.heights[rest_least] if rest_least else np.nan,
        "meaning": meaning(case),
    }
    return row


def draught_marks(marks: Mapping[str, Mark]) -> tuple[str | None, str | None]:
    """Names of the aftmost and the foremost draught mark; (name, None) where there is one, (None, None) where none."""
    names = sorted((n for n, m in marks.items() if m.kind == "draught"), key=lambda n: marks[n].point[0])
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
    if not case.under:
        held = f"{join_words(case.opened)} held open to the sea, " if case.opened else ""
        return f"{held}no opening under water at rest in calm water"
    under = f"{join_words(case.under)} under water"
    if not case.opened:
        return f"{under}: not valid beyond it"
    return f"{under}: water enters the {join_words(case.opened)}, floated again open to the sea; not valid beyond it"


def join_words(words: Iterable[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    words = list(words)
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
