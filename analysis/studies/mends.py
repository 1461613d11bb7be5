"""What mends it? Millimetres each mend buys at the worst mark, alone and together, each floated again with spaces shut.

A mend is a package the plan does not have yet, or a step from the plan to another one (a package put on, taken off, or
swapped inside an exclusive group). `alone` is the plan with this one mend; `left_out` is what is lost when all mends but
this one are made. Both ends are watched: the least forward mark and the fall of the sole stand beside the gain.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import pandas as pd

from analysis.studies.floats import Case, float_case, least_forward_mark, least_mark, sole_fall
from analysis.studies.plans import Plan, Way, name_of, packages_of, short_package, way_between
from hullcalc.boats.boat import Boat
from hullcalc.errors import InputError

TOGETHER = "all together"


@dataclass(frozen=True, eq=False)
class Mends:
    """What each mend buys at one mark [mm up, positive], in one condition; the last row of `table` is all together."""

    boat: Boat
    plan: str
    condition: str
    at: str  # the mark watched
    before: Case
    after: Case  # all mends made
    table: pd.DataFrame  # mend, name, alone_mm, left_out_mm, mark_mm, least_mark, least_mm, forward_mark, forward_mm, sole_fall_mm

    @property
    def together_mm(self) -> float:
        return float(self.table["alone_mm"].iloc[-1])


def what_mends(
    boat: Boat, plan: Plan, mends: Plan | None = None, condition: Any = "light", at: str | None = None
) -> Mends:
    """Float the plan again with each mend alone and with all of them.

    Parameters
    ----------
    mends
        A plan's name: the steps from `plan` to it; or packages to put on; None: every package that `plan` has not and
        that no package of `plan` excludes.
    at
        The mark watched; None: the least mark of `plan` that is there with every mend.

    Raises
    ------
    InputError
        If there is nothing to mend with, or the mark is not there with some mend.
    """
    way = _way(boat, plan, mends)
    if not way.steps:
        raise InputError(f"nothing to mend {name_of(boat, plan)} with: no package of the ledger is left to try")
    everything = (1 << len(way.steps)) - 1
    before, after = (float_case(boat, way.packages(mask), condition) for mask in (0, everything))
    alone = [float_case(boat, way.packages(1 << i), condition) for i in range(len(way.steps))]
    left_out = [float_case(boat, way.packages(everything & ~(1 << i)), condition) for i in range(len(way.steps))]
    at = _watched(before, [after, *alone, *left_out], at)

    rows = [
        _row(step.name, at, before, case, 1000 * (after.heights_shut[at] - without.heights_shut[at]))
        for step, case, without in zip(way.steps, alone, left_out, strict=True)
    ]
    rows.append(_row(TOGETHER, at, before, after, 1000 * (after.heights_shut[at] - before.heights_shut[at])))
    name = getattr(condition, "name", condition)
    return Mends(boat, name_of(boat, plan), name, at, before, after, pd.DataFrame(rows))


def _way(boat: Boat, plan: Plan, mends: Plan | None) -> Way:
    if isinstance(mends, str):
        return way_between(boat, plan, mends)
    chosen = set(packages_of(boat, plan))
    if mends is None:
        shut_out = {p for group in boat.exclusive if chosen & set(group) for p in group}
        mends = set(boat.ledger.packages) - chosen - shut_out
    return way_between(boat, tuple(chosen), tuple(chosen | set(packages_of(boat, tuple(mends)))))


def _watched(before: Case, others: Iterable[Case], at: str | None) -> str:
    there = [name for name in before.watched() if all(name in case.marks for case in others)]
    if at is None and there:
        return there[0]
    if at in there:
        return str(at)
    raise InputError(f"mark {at!r} is not there before and after every mend; watch one of: {', '.join(there)}")


def _row(name: str, at: str, before: Case, case: Case, left_out_mm: float) -> dict[str, Any]:
    least, forward = least_mark(case), least_forward_mark(case)
    fall = sole_fall(case.marks, case.heights_shut)
    return {
        "mend": name,
        "name": short_package(name),
        "alone_mm": 1000 * (case.heights_shut[at] - before.heights_shut[at]),
        "left_out_mm": left_out_mm,
        "mark_mm": 1000 * case.heights_shut[at],
        "least_mark": least,
        "least_mm": 1000 * case.heights_shut[least] if least else float("nan"),
        "forward_mark": forward,
        "forward_mm": 1000 * case.heights_shut[forward] if forward else float("nan"),
        "sole_fall_mm": 1000 * fall.fall if fall else float("nan"),
    }
