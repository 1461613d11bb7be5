"""What mends it? Millimetres each mend buys where it is worst, alone and together, each floated again with spaces shut.

A mend is a package the plan does not have yet, or a step from the plan to another one (a package put on, taken off, or
swapped inside an exclusive group). Watched is a mark, or the least mark of a kind: "sole" is whichever sole corner is
lowest, before and after, so a mend that lifts one side and sets down the other buys only what the worse side gains.
`alone` is the plan with this one mend; `left_out` is what is lost when all mends but this one are made. Both ends are
watched: the least forward mark and the fall of the sole stand beside the gain.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from analysis.studies.floats import Case, float_case, least_forward_mark, least_mark, sole_fall
from analysis.studies.plans import Way, name_of, short_package, way_between
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.errors import InputError

TOGETHER = "all together"


@dataclass(frozen=True, eq=False)
class Moved:
    """The weight that a mend moves farthest in moment, and what the whole mend buys."""

    name: str  # of the mend, short
    item: str
    mass: float  # [kg] of all that the mend moves, liquids of moved tanks with it
    start: np.ndarray  # (3,) m
    end: np.ndarray  # (3,) m
    mm: float  # up, at the place watched


@dataclass(frozen=True, eq=False)
class Mends:
    """What each mend buys at one place [mm up, positive], in one condition; the last row of `table` is all together."""

    boat: Boat
    plan: str
    condition: str
    at: str  # the mark watched, or the kind of which the least mark is watched
    before: Case
    after: Case  # all mends made
    alone: Mapping[str, Case]  # each mend alone
    table: pd.DataFrame  # mend, name, alone_mm, left_out_mm, at_mm, least_mark, least_mm, forward_mark, forward_mm, ...

    @property
    def together_mm(self) -> float:
        return float(self.table["alone_mm"].iloc[-1])

    @property
    def moved(self) -> tuple[Moved, ...]:
        """Of each mend that moves something, the heaviest move (mass x way along the boat), the best mend first."""
        changes = self.boat.ledger.apply(self.after.packages)[0]
        found = []
        for name, short, mm in zip(self.table["mend"], self.table["name"], self.table["alone_mm"], strict=True):
            moves = [c for c in changes if c.row.package == name and c.row.action == "move" and c.went and c.came]
            if moves:
                best = max(moves, key=lambda c: abs(c.item.moment[0]))
                assert best.went is not None and best.came is not None
                mass = sum(float(c.came.item.mass) for c in moves if c.came) + _moved_liquid(
                    self.before, self.alone[name]
                )
                found.append(Moved(short, best.row.item, mass, best.went.place, best.came.place, float(mm)))
        return tuple(sorted(found, key=lambda move: -move.mm))


def what_mends(
    boat: Boat, plan: AnyPlan, mends: AnyPlan | None = None, condition: AnyCondition = "light", at: str | None = None
) -> Mends:
    """Float the plan again with each mend alone and with all of them.

    Parameters
    ----------
    mends
        A plan's name: the steps from `plan` to it; or packages to put on; None: every package that `plan` has not and
        that no package of `plan` excludes.
    at
        A mark, or a kind of mark whose least is watched; None: the kind of the least mark of `plan`.

    Raises
    ------
    InputError
        If there is nothing to mend with, or the mark or kind is not there with some mend.
    """
    way = _way(boat, plan, mends)
    if not way.steps:
        raise InputError(f"nothing to mend {name_of(boat, plan)} with: no package of the ledger is left to try")
    everything = (1 << len(way.steps)) - 1
    before, after = (float_case(boat, way.packages(mask), condition) for mask in (0, everything))
    alone = [float_case(boat, way.packages(1 << i), condition) for i in range(len(way.steps))]
    left_out = [float_case(boat, way.packages(everything & ~(1 << i)), condition) for i in range(len(way.steps))]
    at = _watched(before, [after, *alone, *left_out], at)

    start, end = height_at(before, at), height_at(after, at)
    rows = [
        _row(step.name, case, 1000 * (height_at(case, at) - start), 1000 * (end - height_at(without, at)), at)
        for step, case, without in zip(way.steps, alone, left_out, strict=True)
    ]
    rows.append(_row(TOGETHER, after, 1000 * (end - start), 1000 * (end - start), at))
    each = {step.name: case for step, case in zip(way.steps, alone, strict=True)}
    return Mends(boat, name_of(boat, plan), before.condition, at, before, after, each, pd.DataFrame(rows))


def height_at(case: Case, at: str) -> float:
    """Height above water [m], spaces shut, of a mark or of the least mark of a kind."""
    if at in case.marks:
        return case.heights_shut[at]
    return min(case.heights_shut[name] for name in case.watched([at]))


def _moved_liquid(before: Case, after: Case) -> float:
    """Mass of the liquids [kg] in tanks that stand elsewhere after than before."""
    was = {tank.name: tank.solid for tank in before.state.loading.tanks}
    there = zip(after.state.loading.tanks, after.shut.liquids, strict=True)
    return sum(float(liquid.mass) for tank, liquid in there if was.get(tank.name, tank.solid) is not tank.solid)


def _way(boat: Boat, plan: AnyPlan, mends: AnyPlan | None) -> Way:
    if isinstance(mends, str):
        return way_between(boat, plan, mends)
    chosen = boat.packages_on(plan)
    if mends is None:
        shut_out = {p for group in boat.exclusive if chosen & set(group) for p in group}
        mends = set(boat.packages) - chosen - shut_out
    return way_between(boat, chosen, chosen | boat.packages_on(mends))


def _watched(before: Case, others: Iterable[Case], at: str | None) -> str:
    cases = [before, *others]
    names = [name for name in before.watched() if all(name in case.marks for case in cases)]
    kinds = list(dict.fromkeys(before.marks[name].kind for name in before.watched()))
    kinds = [kind for kind in kinds if all(case.watched([kind]) for case in cases)]
    if at is None and kinds:
        return kinds[0]
    if at is not None and (at in names or at in kinds):
        return at
    raise InputError(
        f"{at!r} is no mark or kind of mark that is there before and after every mend; "
        f"watch one of: {', '.join([*kinds, *names])}"
    )


def _row(name: str, case: Case, alone_mm: float, left_out_mm: float, at: str) -> dict[str, Any]:
    least, forward = least_mark(case), least_forward_mark(case)
    fall = sole_fall(case.marks, case.heights_shut)
    return {
        "mend": name,
        "name": short_package(name),
        "alone_mm": alone_mm,
        "left_out_mm": left_out_mm,
        "at_mm": 1000 * height_at(case, at),
        "least_mark": least,
        "least_mm": 1000 * case.heights_shut[least] if least else float("nan"),
        "forward_mark": forward,
        "forward_mm": 1000 * case.heights_shut[forward] if forward else float("nan"),
        "sole_fall_mm": 1000 * fall.fall if fall else float("nan"),
    }
