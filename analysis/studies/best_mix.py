"""The best mix of mends under limits: which packages and freedoms to use together, and at which values.

Asked is for the highest lowest mark, or for the fewest hours or the least cost that keep the marks high enough. Limits
at the other end are kept in every load condition that holds nothing open: the keel run not bow down, the sole draining
aft, the freeboard forward; and the share of weight on the trailer's ball. Spaces are shut. Tanks fit the hull.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from analysis.studies.ends import Ends, Flag, Watch, flags
from analysis.studies.floats import Case, sole_fall
from analysis.studies.mends import height_at
from analysis.studies.mixing import COST, HEIGHT, HOURS, Knob, Limit, Mix, Values, best_of
from analysis.studies.plans import name_of
from analysis.studies.searched import place_watched
from hullcalc.boats.adjusted import Adjustable
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.moves import PLACE, RAISE, WIDEN, Freedom, Setting, Work
from hullcalc.errors import InputError, NoEquilibriumError, require

AIMS = (HEIGHT, HOURS, COST)
FIT_STEPS = 15  # places tried along a tank's limits, and halvings to close in upon where it just fits
AWAY = 9.0  # m: the height given to a mark that a package takes away


@dataclass(frozen=True)
class Limits:
    """What the mix shall keep; None where nothing is asked. Heights in mm, heel in deg, tongue as shares."""

    keep_mm: float | None = None  # each watched mark at least this high
    forward_mm: float | None = None  # each deck edge forward, in every ordinary condition
    tongue: tuple[float, float] | None = None
    heel_deg: float | None = None  # at most, either way, in the condition asked about
    hours: float | None = None
    cost: float | None = None
    bow_up: bool = True  # the keel run level or bow up in every ordinary condition
    drains_aft: bool = True  # and the sole falling aft


@dataclass(frozen=True, eq=False)
class BestMix:
    """The mix: packages put on, settings made, how she floats with it, what it takes and does at the other end."""

    boat: Boat
    plan: str
    condition: str
    at: str
    aim: str
    limits: Limits
    before: Case
    case: Case
    packages: tuple[str, ...]  # put on beside the plan's
    settings: tuple[Setting, ...]
    hours: float
    cost: float
    ends: Ends
    flags: tuple[Flag, ...]
    left_out: tuple[str, ...]  # not considered, as nobody said what they take
    mix: Mix

    @property
    def mm(self) -> float:
        return 1000 * (height_at(self.case, self.at) - height_at(self.before, self.at))


def best_mix(
    boat: Boat,
    plan: AnyPlan,
    condition: str,
    at: str | None = None,
    limits: Limits | None = None,
    aim: str = HEIGHT,
    later: bool = False,
    without: Sequence[str] = (),
) -> BestMix:
    """The best mix of all packages that the plan has not and all freedoms of things that are there.

    Parameters
    ----------
    at
        A mark, or a kind of mark whose least is watched; None: the kind of the least mark of the plan.
    aim
        "height": the lowest watched mark as high as can be. "hours", "cost": as little as keeps the limits.
    later
        True: the hours are those once the sole is down.
    without
        Names of packages and freedoms that are not to be used.

    Raises
    ------
    InputError
        Where no mix keeps all limits (it names the limit that bites), where there is nothing to mix, or for a name that
        is not known.
    NoEquilibriumError
        If the plan sinks as it is.
    """
    limits = Limits() if limits is None else limits
    if aim not in AIMS:
        raise InputError(f"aim {aim!r}: expected one of {', '.join(AIMS)}")
    if aim != HEIGHT and limits.keep_mm is None:
        raise InputError(f"the least {aim} is nothing: say too how high the marks shall be kept, such as 20 mm")
    problem = _Problem(boat, plan, condition, at, limits, aim, later, without)
    mix = best_of(problem.figures, problem.knobs, problem.watched, problem.limits, aim, problem.exclusive, problem.fits)
    on, settings = problem.chosen(mix.on, mix.values)
    watch, before = problem.watch, problem.before
    case, ends = watch.case(on, condition, settings, problem.name), watch.ends(on, settings)
    return BestMix(
        boat, problem.name, condition, problem.at, aim, limits, before, case, tuple(sorted(on - before.packages)),
        settings, mix.hours, mix.cost, ends, flags(watch.ends(before.packages), ends), problem.left_out, mix,
    )  # fmt: skip


class _Problem:
    """One question put as knobs, figures and limits."""

    def __init__(
        self, boat: Boat, plan: AnyPlan, condition: str, at: str | None, limits: Limits, aim: str, later: bool,
        without: Sequence[str],
    ) -> None:  # fmt: skip
        self.boat, self.condition, self.watch, self.name = boat, condition, Watch(boat), name_of(boat, plan)
        self.plan_on = boat.packages_on(plan)
        self.before = self.watch.case(self.plan_on, condition)
        self.at = place_watched(self.before, at)
        self.names = [self.at] if self.at in self.before.marks else self.before.watched([self.at])
        ready = self.watch.adjustable(self.plan_on, condition)
        shut_out = {p for group in boat.exclusive if self.plan_on & set(group) for p in group}
        packages = [p for p in boat.packages if p not in self.plan_on and p not in shut_out]
        freedoms = [f for f in boat.freedoms if ready.there(f)]
        unknown = [name for name in without if name not in {*boat.packages, *(f.name for f in boat.freedoms)}]
        if unknown:
            raise InputError(f"no package and nothing of moves.csv is called {unknown[0]!r}, so it cannot be left out")
        candidates: list[tuple[str | Freedom, Work]] = [(p, boat.works.get(p, Work())) for p in packages]
        candidates += [(f, f.work) for f in freedoms]
        candidates = [(c, w) for c, w in candidates if (c if isinstance(c, str) else c.name) not in without]
        needs = {HOURS: aim == HOURS or limits.hours is not None, COST: aim == COST or limits.cost is not None}
        told = [
            (c, w) for c, w in candidates
            if not (needs[HOURS] and w.hours_when(later) is None) and not (needs[COST] and w.cost is None)
        ]  # fmt: skip
        self.left_out = tuple(c if isinstance(c, str) else c.name for c, w in candidates if (c, w) not in told)
        made = [(c, knob) for c, w in told for knob in self._knobs(ready, c, w, later)]
        self.changes = [c for c, _ in made]
        self.knobs = [knob for _, knob in made]
        if not self.knobs:
            raise InputError(
                "nothing to mix: no package is left to put on, and moves.csv has nothing that is there in this plan"
                + (f"; nobody said what these take: {', '.join(self.left_out)}" if self.left_out else "")
            )
        self.exclusive = self._exclusive()
        self.conditions = [c for c in self.watch.ends(self.plan_on).cases]
        self.edges = {c: self._edges(c) for c in self.conditions} if limits.forward_mm is not None else {}
        self.watched = list(range(len(self.names)))
        self.limits = self._limits(limits)

    def chosen(self, on: np.ndarray, values: Values) -> tuple[frozenset[str], tuple[Setting, ...]]:
        """The packages on and the settings made of a mix."""
        used = [(c, v) for c, v, is_on in zip(self.changes, values, on, strict=True) if is_on]
        packages = self.plan_on | {c for c, _ in used if isinstance(c, str)}
        return packages, tuple(Setting(c, v) for c, v in used if isinstance(c, Freedom))

    def figures(self, on: np.ndarray, values: Values) -> np.ndarray:
        """Watched heights; then by condition trim, fall of the sole and edges forward; heel; share on the ball."""
        packages, settings = self.chosen(on, values)
        try:
            case = self.watch.case(packages, self.condition, settings)
            found = [case.heights_shut.get(name, AWAY) for name in self.names]
            for condition in self.conditions:
                one = case if condition == self.condition else self.watch.case(packages, condition, settings)
                fall = sole_fall(one.marks, one.heights_shut)
                found += [float(one.shut.trim), AWAY if fall is None else fall.fall]
                found += [one.heights_shut.get(name, AWAY) for name in self.edges.get(condition, ())]
        except NoEquilibriumError:
            return np.full(len(self.names) + 2 * len(self.conditions) + sum(map(len, self.edges.values())) + 2, np.nan)
        ball = self.watch.ball(packages, settings)
        return np.array([*found, float(case.shut.heel), AWAY if ball is None else ball.share])

    def fits(self, on: np.ndarray, values: Values) -> bool:
        """Do all tanks fit the hull and each other in this mix?"""
        packages, settings = self.chosen(on, values)
        return not self.watch.adjustable(packages, self.condition).does_not_fit(settings)

    def _knobs(self, ready: Adjustable, change: str | Freedom, work: Work, later: bool) -> list[Knob]:
        """The knobs of a change; of a freedom one for each part of its limits in which tanks fit, at most one used."""
        hours, cost = work.hours_when(later) or 0.0, work.cost or 0.0
        if isinstance(change, str):
            return [Knob(change, hours, cost, *(np.zeros(0) for _ in range(3)))]
        parts = [ready.limits(change)]
        if change.kind not in (RAISE, WIDEN):
            parts = _fitting(ready, change, *parts[0])
        return [Knob(change.name, hours, cost, ready.now(change), low, high) for low, high in parts]

    def _exclusive(self) -> list[list[int]]:
        """Packages that exclude each other; a freedom and each package that settles the same thing; its own parts."""
        index = {c: i for i, c in enumerate(self.changes) if isinstance(c, str)}
        groups = [[index[p] for p in group if p in index] for group in self.boat.exclusive]
        groups += [[i for i, c in enumerate(self.changes) if c is f] for f in dict.fromkeys(self.changes)]
        for i, change in enumerate(self.changes):
            if isinstance(change, Freedom):
                groups += [[i, j] for package, j in index.items() if _settles(self.boat, package, change)]
        return [group for group in groups if len(group) > 1]

    def _edges(self, condition: str) -> list[str]:
        case = self.watch.case(self.plan_on, condition)
        middle = self.boat.hull.solid.bounds[:, 0].mean()
        return [name for name in case.watched(["freeboard"]) if case.marks[name].point[0] > middle]

    def _limits(self, asked: Limits) -> list[Limit]:
        """The limits as rows of the figures; refuses figures that cannot be."""
        said: list[Limit] = []

        def mm(v: float) -> str:
            return f"{1000 * v:.0f} mm"

        if asked.keep_mm is not None:
            require(np.isfinite(asked.keep_mm), "keep", asked.keep_mm, "mm", "must be a figure", "such as 20 mm")
            said.append(Limit(f"{self.at} at least {asked.keep_mm:g} mm above water", mm, None, asked.keep_mm / 1000))
        row = len(self.names)
        for condition in self.conditions:
            if asked.bow_up:
                said.append(Limit(f"not bow down, {condition}", lambda v: f"{v:.2f}° bow up", row, 0.0))
            if asked.drains_aft:
                said.append(Limit(f"the sole draining aft, {condition}", mm, row + 1, 0.0))
            row += 2
            for name in self.edges.get(condition, ()):
                least = float(asked.forward_mm or 0.0) / 1000
                said.append(Limit(f"{name} at least {1000 * least:g} mm above water, {condition}", mm, row, least))
                row += 1
        if asked.heel_deg is not None:
            require(asked.heel_deg >= 0, "heel", asked.heel_deg, "deg", "must be zero or more", "such as 1")
            most = asked.heel_deg
            said.append(Limit(f"heel at most {most:g}°", lambda v: f"{abs(v):.1f}°", row, -most, most))
        if asked.tongue is not None:
            if self.watch.trailer is None:
                raise InputError("a limit on the trailer's tongue needs [trailer] in boat.toml (mass_kg, tongue_kg, "
                                 "axle_x_m, ball_x_m)")  # fmt: skip
            low, high = asked.tongue
            require(
                0 <= low <= high < 1, "tongue", low, "", "must be two shares, the lower first", "such as 5 % to 10 %"
            )
            name = f"tongue {100 * low:g} to {100 * high:g} % of boat and trailer"
            said.append(Limit(name, lambda v: f"{100 * v:.1f} %", row + 1, low, high))
        for what, budget, unit in ((HOURS, asked.hours, "h"), (COST, asked.cost, self.boat.currency)):
            if budget is not None:
                require(budget >= 0, what, budget, unit, "must be zero or more", "0 allows only what takes nothing")
                name = f"{what} at most {budget:g} {unit}".rstrip()
                said.append(Limit(name, _with_unit(unit), what, high=budget))
        return said


def _with_unit(unit: str) -> Callable[[float], str]:
    return lambda value: f"{value:g} {unit}".rstrip()


def _settles(boat: Boat, package: str, freedom: Freedom) -> bool:
    """Does the package put at a place, or raise, what the freedom leaves open?"""
    if freedom.kind == PLACE:
        names = {freedom.name, *(name for name, _ in freedom.goes_with)}
        rows = {row.item for row in boat.ledger.rows if row.package == package}
        tanks = {t.name for t in boat.tanks if package in t.presence.brought_by | t.presence.taken_by}
        return bool(names & (rows | tanks))
    if freedom.kind == RAISE:
        marks = [m for m in boat.all_marks if package in m.presence.brought_by | m.presence.taken_by]
        return any(mark.name in freedom.names or mark.kind in freedom.names for mark in marks)
    if freedom.kind == WIDEN:
        pods = [p for p in boat.solids if package in p.presence.brought_by | p.presence.taken_by]
        return any(pod.name == freedom.name for pod in pods)
    return False


def _fitting(
    ready: Adjustable, freedom: Freedom, low: np.ndarray, high: np.ndarray
) -> list[tuple[np.ndarray, np.ndarray]]:
    """The parts of the limits, along their first axis, in which tanks fit; none where they fit nowhere.

    A tank that another stands in the way of has room on either side of it.
    """

    def fits(x: float) -> bool:
        return not ready.does_not_fit([Setting(freedom, np.array([x, *((low + high) / 2)[1:]]))])

    xs = np.linspace(low[0], high[0], FIT_STEPS if high[0] > low[0] else 1)
    good = [fits(float(x)) for x in xs]
    runs, start = [], None
    for i, ok in enumerate([*good, False]):
        if ok and start is None:
            start = i
        elif not ok and start is not None:
            runs.append((start, i - 1))
            start = None
    parts = []
    for first, last in runs:
        ends = [float(xs[first]), float(xs[last])]
        for k, beyond in ((0, first - 1), (1, last + 1)):
            if 0 <= beyond < len(xs):
                inner, outer = ends[k], float(xs[beyond])
                for _ in range(FIT_STEPS):
                    middle = (inner + outer) / 2
                    inner, outer = (middle, outer) if fits(middle) else (inner, middle)
                ends[k] = inner
        parts.append((np.array([ends[0], *low[1:]]), np.array([ends[1], *high[1:]])))
    return parts
