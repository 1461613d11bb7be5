"""Mends searched, not only those the yard thought of: for each freedom the value that buys most at the place watched.

A freedom is a row of moves.csv: a thing or tank that may stand elsewhere, marks that may be raised, a pod that may be
wider, a tank of another size. Each is tried alone, within its limits and where tanks fit the hull, by floating her
again, spaces shut. Beside what is bought stand the hours and the cost, and what it does at the other end (`ends`).
Packages of the yard that the plan does not have are ranked with them.

How far it is worth going: `enough` is the smallest change that buys nine tenths of the best, `clear` the largest that
flags nothing grave at the other end, both on the way from where the thing stands to the best place.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.studies.ends import Ends, Flag, Watch, flags
from analysis.studies.floats import Case
from analysis.studies.mends import height_at, what_mends
from analysis.studies.plans import name_of, short_package
from hullcalc.boats.adjusted import Adjustable
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.many import float_added
from hullcalc.boats.moves import PLACE, Freedom, Setting, Work
from hullcalc.errors import InputError, NoEquilibriumError

PACKAGE = "package"
GRID, ROUNDS, CLOSER = 9, 3, 0.25  # values tried along each axis, how often closed in upon, and how much each time
WAY = 11  # steps on the way to the best value
ENOUGH = 0.9  # of what the best buys
LEAST_MM = 0.5  # less than this is not bought
NOTHING = (
    "nothing to try: write moves.csv (thing, x_from_m, x_to_m, hours, cost) beside ledger.csv, or give the plan a "
    "package less"
)


@dataclass(frozen=True, eq=False)
class Mend:
    """One mend alone. `settings` are what it sets (none for a package), `packages` those on with it."""

    name: str
    kind: str  # PACKAGE, or the kind of the freedom
    settings: tuple[Setting, ...]
    packages: frozenset[str]
    case: Case
    mm: float  # bought at the place watched, up
    work: Work
    later: bool
    ends: Ends
    flags: tuple[Flag, ...]
    now: np.ndarray | None = None  # the present value of a freedom
    enough: tuple[Setting, float] | None = None  # and the mm it buys
    clear: tuple[Setting, float] | None = None  # None where the best is clear itself, or nothing is

    @property
    def hours(self) -> float | None:
        return self.work.hours_when(self.later)

    @property
    def mm_per_hour(self) -> float:
        """inf for no hours at all, nan where nobody said."""
        return _per(self.mm, self.hours)

    @property
    def mm_per_cost(self) -> float:
        """Millimetres for 100 of the currency; inf for nothing, nan where nobody said."""
        return 100 * _per(self.mm, self.work.cost)


@dataclass(frozen=True, eq=False)
class Searched:
    """All mends of one plan in one condition, the most millimetres an hour first; useless ones by name."""

    boat: Boat
    plan: str
    condition: str
    at: str  # mark, or kind of which the least is watched
    before: Case
    ends: Ends
    mends: tuple[Mend, ...]
    useless: tuple[str, ...]  # tried, and buy nothing within their limits
    absent: tuple[str, ...]  # freedoms of things that are not there in this plan and condition
    later: bool

    @property
    def table(self) -> pd.DataFrame:
        """One row a mend: mend, kind, mm, hours, cost, mm_per_hour, mm_per_100_cost, at_mm, flags."""
        rows = [
            {"mend": m.name, "kind": m.kind, "mm": m.mm, "hours": np.nan if m.hours is None else m.hours,
             "cost": np.nan if m.work.cost is None else m.work.cost, "mm_per_hour": m.mm_per_hour,
             "mm_per_100_cost": m.mm_per_cost, "at_mm": 1000 * height_at(m.case, self.at),
             "flags": " + ".join(flag.kind for flag in m.flags)}
            for m in self.mends
        ]  # fmt: skip
        columns = ["mend", "kind", "mm", "hours", "cost", "mm_per_hour", "mm_per_100_cost", "at_mm", "flags"]
        return pd.DataFrame(rows, columns=columns)


def search_mends(
    boat: Boat,
    plan: AnyPlan,
    condition: str,
    at: str | None = None,
    mends: AnyPlan | None = None,
    later: bool = False,
    by: str = "hours",
) -> Searched:
    """Try every package the plan has not, and every freedom, each alone.

    Parameters
    ----------
    at
        A mark, or a kind of mark whose least is watched; None: the kind of the least mark of the plan.
    mends
        Packages to try, or the plan that has them; None: all that the plan has not and nothing excludes.
    later
        True: the hours are those once the sole is down.
    by
        "hours" or "cost": what the ranking divides by.

    Raises
    ------
    InputError
        If there is nothing to try, or the mark or kind is not there.
    NoEquilibriumError
        If the plan sinks as it is.
    """
    if by not in ("hours", "cost"):
        raise InputError(f"ranked by {by!r}: expected hours or cost")
    watch, on = Watch(boat), boat.packages_on(plan)
    before, ends = watch.case(on, condition), watch.ends(on)
    try:
        packages = what_mends(boat, on, mends, condition, at)
    except InputError:
        if at is not None and before.watched() and at not in before.marks and not before.watched([at]):
            raise
        packages = None
    ready = watch.adjustable(on, condition)
    there = [f for f in boat.freedoms if ready.there(f)]
    if packages is None and not there:
        raise InputError(NOTHING)
    at = packages.at if packages is not None else place_watched(before, at)
    found: list[Mend] = []
    useless: list[Mend | str] = []
    for name, case in packages.alone.items() if packages is not None else ():
        mend = _of_package(watch, name, case, before, ends, at, later)
        (found if mend.mm > LEAST_MM else useless).append(mend)
    for freedom in there:
        best = _of_freedom(watch, ready, freedom, before, ends, at, later)
        if isinstance(best, Mend):
            found.append(best)
        else:
            useless.append(best)
    names = tuple(m.name if isinstance(m, Mend) else m for m in useless)
    absent = tuple(f.name for f in boat.freedoms if f not in there)
    found.sort(key=lambda m: _rank(m, by))
    return Searched(boat, name_of(boat, on), before.condition, at, before, ends, tuple(found), names, absent, later)


def best_value(
    gain: Callable[[np.ndarray], np.ndarray], low: np.ndarray, high: np.ndarray
) -> tuple[np.ndarray, float] | None:
    """The value between two limits with the greatest gain, closed in upon round by round, and that gain.

    `gain` takes values (n, k) and gives (n,), nan where a value cannot be. None where no value can be.
    """
    middle, half = (low + high) / 2, (high - low) / 2
    best, most = None, -np.inf
    for _ in range(ROUNDS):
        axes = [np.linspace(m - h, m + h, GRID if h > 0 else 1) for m, h in zip(middle, half, strict=True)]
        values = np.clip(np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, len(low)), low, high)
        gains = gain(values)
        if np.all(np.isnan(gains)):
            return None if best is None else (best, most)
        k = int(np.nanargmax(gains))
        if gains[k] > most:
            best, most = values[k], float(gains[k])
        middle, half = best, half * CLOSER  # type: ignore[assignment]
    return None if best is None else (best, most)


def _of_package(watch: Watch, name: str, case: Case, before: Case, ends: Ends, at: str, later: bool) -> Mend:
    after = watch.ends(case.packages)
    changed = case.packages ^ before.packages
    work = watch.boat.works.get(next(iter(changed)), Work()) if len(changed) == 1 else _together(watch.boat, changed)
    mm = 1000 * (height_at(case, at) - height_at(before, at))
    return Mend(short_package(name), PACKAGE, (), case.packages, case, mm, work, later, after, flags(ends, after))


def _together(boat: Boat, packages: frozenset[str]) -> Work:
    """The work of a swap: of the packages that come; nobody is paid back for those that go."""
    works = [boat.works.get(name, Work()) for name in packages if name in boat.works]
    return works[0] if len(works) == 1 else Work()


def _of_freedom(
    watch: Watch, ready: Adjustable, freedom: Freedom, before: Case, ends: Ends, at: str, later: bool
) -> Mend | str:
    """The mend at its best value, or its name where nothing is bought, with the reason where a tank fits nowhere."""
    height, on = height_at(before, at), before.packages
    low, high = ready.limits(freedom)
    gain = _gain(ready, freedom, before, at, height)
    found = best_value(gain, low, high)
    if found is None or 1000 * found[1] <= LEAST_MM:
        reason = ready.does_not_fit([Setting(freedom, (low + high) / 2)]) if found is None else ""
        return f"{freedom.name} (in the middle of its limits {reason})" if reason else freedom.name
    best, now = found[0], ready.now(freedom)
    setting = Setting(freedom, best)
    case = watch.case(on, before.condition, [setting])
    after = watch.ends(on, [setting])
    said = flags(ends, after)
    start = np.clip(now, low, high)
    way = [start + s * (best - start) for s in np.linspace(0, 1, WAY)]
    gains = 1000 * gain(np.array(way))
    enough = next(
        ((Setting(freedom, v), float(g)) for v, g in zip(way, gains, strict=True) if g >= ENOUGH * 1000 * found[1]),
        None,
    )
    clear = None
    if any(flag.grave for flag in said):
        for value, mm in list(zip(way, gains, strict=True))[::-1]:
            if not (mm > LEAST_MM):
                continue
            if not any(flag.grave for flag in flags(ends, watch.ends(on, [Setting(freedom, value)]))):
                clear = (Setting(freedom, value), float(mm))
                break
    mm = 1000 * (height_at(case, at) - height)
    return Mend(
        freedom.name, freedom.kind, (setting,), on, case, mm, freedom.work, later, after, said, now, enough, clear
    )


def _gain(ready: Adjustable, freedom: Freedom, before: Case, at: str, height: float) -> Callable:
    """What values (n, k) buy at the place watched [m], nan where a tank does not fit or she sinks."""
    tanks = {tank.name for tank in ready.loading.tanks}
    marks = [at] if at in before.marks else before.watched([at])

    def by_weight(values: np.ndarray) -> np.ndarray:
        loads = np.array([ready.load([Setting(freedom, value)]) for value in values])
        return np.asarray(float_added(ready.loading, loads).heights(marks).min(axis=1) - height)

    def by_body(values: np.ndarray) -> np.ndarray:
        return np.array([one(value) for value in values])

    def one(value: np.ndarray) -> float:
        settings = [Setting(freedom, value)]
        if ready.does_not_fit(settings):
            return float("nan")
        try:
            state = ready.float(settings)
        except NoEquilibriumError:
            return float("nan")
        return min(state.rounds[0].heights[name] for name in marks) - height

    moves_weight = freedom.kind == PLACE and not tanks & {freedom.name, *(name for name, _ in freedom.goes_with)}
    return by_weight if moves_weight else by_body


def place_watched(before: Case, at: str | None) -> str:
    names = before.watched()
    if at is None and names:
        return before.marks[names[0]].kind
    if at is not None and (at in before.marks or before.watched([at])):
        return at
    kinds = dict.fromkeys(before.marks[name].kind for name in names)
    raise InputError(
        f"{at!r} is no mark or kind of mark of this plan; watch one of: {', '.join([*kinds, *names]) or 'none'}"
    )


def _rank(mend: Mend, by: str) -> tuple:
    """Most millimetres for the hour or the cost first; for nothing at all before everything, unknown last."""
    rate = mend.mm_per_hour if by == "hours" else mend.mm_per_cost
    return (np.isnan(rate), -np.nan_to_num(rate, nan=0.0, posinf=np.inf), -mend.mm)


def _per(mm: float, by: float | None) -> float:
    if by is None:
        return float("nan")
    return mm / by if by > 0 else float("inf")
