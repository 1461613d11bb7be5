"""Alternatives side by side: two to six plans in some load conditions, with what they weigh, cost and take.

An alternative is a plan, or packages put together, with some freedoms set (a tank of other litres, a thing elsewhere).
Heights are with spaces shut; what is under water is said. Hours and cost are sums over the packages and settings whose
hours and cost somebody wrote down; how many are not known is counted, never taken for nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.studies.ends import Ends, Watch
from analysis.studies.floats import Case
from analysis.studies.mends import height_at
from hullcalc.boats.boat import Boat
from hullcalc.boats.moves import Setting, Work, total
from hullcalc.errors import InputError

FEWEST, MOST = 2, 6
EQUAL = 0.5  # mm: nearer together two alternatives are called equal


@dataclass(frozen=True, eq=False)
class Alternative:
    """What is compared: packages on and settings made, under one name."""

    name: str
    packages: frozenset[str]
    settings: tuple[Setting, ...] = ()


@dataclass(frozen=True, eq=False)
class Alternatives:
    """All alternatives in all conditions; cases that sink are left out of `cases`.

    `summary` has a row an alternative: alternative, mass_kg, u_mass_kg, lcg_m (nobody aboard, tanks empty), hours,
    cost, hours_unknown, cost_unknown (how many changes), ball_kg, ball_share, gross_kg, and with fuel tanks full
    full_ball_kg, full_ball_share, full_gross_kg (nan where no trailer is known).
    `table` has a row an alternative x condition: alternative, condition, status, at_mm (lowest of the watched),
    at_mark, least_mark, least_mm, trim_deg, heel_deg, mass_kg, under.
    """

    boat: Boat
    alternatives: tuple[Alternative, ...]
    conditions: tuple[str, ...]
    at: str
    cases: Mapping[tuple[str, str], Case]
    ends: Mapping[str, Ends]
    summary: pd.DataFrame
    table: pd.DataFrame

    def best(self, condition: str) -> tuple[str, ...]:
        """The alternatives that hold the watched mark highest in a condition: one, or several that are equal."""
        rows = self.table[(self.table["condition"] == condition) & self.table["at_mm"].notna()]
        if not len(rows):
            return ()
        return tuple(rows[rows["at_mm"] >= rows["at_mm"].max() - EQUAL]["alternative"])

    def takes(self, name: str) -> bool:
        """Did somebody say the hours or the cost of any change of this alternative?"""
        row = self.summary[self.summary["alternative"] == name].iloc[0]
        one = next(one for one in self.alternatives if one.name == name)
        changes = len(one.packages) + len(one.settings)
        return changes > min(row["hours_unknown"], row["cost_unknown"])

    @property
    def worst(self) -> pd.DataFrame:
        """The lowest the watched mark comes over all conditions, one row an alternative, in their order."""
        rows = self.table[self.table["at_mm"].notna()]
        found = rows.loc[rows.groupby("alternative")["at_mm"].idxmin()].set_index("alternative")
        names = [one.name for one in self.alternatives if one.name in found.index]
        return found.loc[names]


def side_by_side(
    boat: Boat, alternatives: Sequence[Alternative], conditions: Sequence[str] | None = None, at: str = "sole"
) -> Alternatives:
    """Float every alternative in every condition (default: all that hold nothing open).

    Raises
    ------
    InputError
        For fewer than two or more than six alternatives, two of one name, or a mark or kind that some have not.
    """
    if not FEWEST <= len(alternatives) <= MOST:
        raise InputError(f"{len(alternatives)} alternatives: name {FEWEST} to {MOST} plans to lay side by side")
    names = [one.name for one in alternatives]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise InputError(f"{twice[0]!r} is named twice among the alternatives; name each once")
    watch = Watch(boat)
    conditions = watch.conditions if conditions is None else tuple(conditions)
    if not conditions:
        raise InputError(f"{boat.name}: no load condition to compare in; write a row in conditions.csv, such as light")
    cases: dict[tuple[str, str], Case] = {}
    ends, rows, summary = {}, [], []
    for one in alternatives:
        ends[one.name] = watch.ends(one.packages, one.settings)
        summary.append(_summary(watch, one))
        for condition in conditions:
            case = ends[one.name].cases.get(condition)
            if case is None and condition not in ends[one.name].sunk:
                case = watch.case(one.packages, condition, one.settings)
            head = {"alternative": one.name, "condition": condition}
            if case is None:
                rows.append(head | {"status": "sinks", "at_mm": np.nan})
                continue
            case = Case(boat, one.name, one.packages, condition, case.state)
            cases[one.name, condition] = case
            rows.append(head | _row(case, at))
    return Alternatives(
        boat, tuple(alternatives), conditions, at, cases, ends, pd.DataFrame(summary), pd.DataFrame(rows)
    )


def _row(case: Case, at: str) -> dict[str, object]:
    """The figures of one alternative in one condition."""
    watched = [at] if at in case.marks else case.watched([at])
    if not watched:
        kinds = ", ".join(dict.fromkeys(mark.kind for mark in case.marks.values()))
        raise InputError(f"{case.plan} has no mark or kind of mark called {at!r}; there are: {kinds}")
    least = case.watched()[0] if case.watched() else watched[0]
    return {
        "status": str(case.shut.status),
        "at_mm": 1000 * height_at(case, at),
        "at_mark": min(watched, key=lambda name: case.heights_shut[name]),
        "least_mark": least,
        "least_mm": 1000 * case.heights_shut[least],
        "trim_deg": float(case.shut.trim),
        "heel_deg": float(case.shut.heel),
        "mass_kg": float(case.shut.mass),
        "under": " + ".join(case.under),
    }


def _summary(watch: Watch, one: Alternative) -> dict[str, object]:
    boat = watch.boat
    weight = boat.weight(one.packages)
    balls = {"": watch.ball(one.packages, one.settings), "full_": watch.ball(one.packages, one.settings, full=True)}
    works = [boat.works.get(p, Work()) for p in one.packages] + [s.freedom.work for s in one.settings]
    hours, cost, hours_unknown, cost_unknown = total(works)
    ready = watch.adjustable(one.packages, watch.conditions[0]) if watch.conditions else None
    moved = ready.load([s for s in one.settings if ready.there(s.freedom)])[1] if ready else 0.0
    return {
        "alternative": one.name,
        "mass_kg": float(weight.mass),
        "u_mass_kg": float(weight.u_mass),
        "lcg_m": float(weight.centre[0] + moved / weight.mass),
        "hours": hours,
        "cost": cost,
        "hours_unknown": hours_unknown,
        "cost_unknown": cost_unknown,
    } | {
        f"{when}{key}": np.nan if ball is None else value
        for when, ball in balls.items()
        for key, value in zip(
            ("ball_kg", "ball_share", "gross_kg"),
            (0, 0, 0) if ball is None else (ball.kg, ball.share, ball.gross),
            strict=True,
        )
    }
