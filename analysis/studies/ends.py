"""Both ends watched: what a change does to the bow, the sole's drainage, her heel and the trailer, load by load.

A mend of the stern can put the bow down, lower the freeboard forward, make the sole drain forward, heel her or take
weight off the ball of the trailer. `both_ends` looks at a plan in every load condition that holds nothing open, spaces
shut; `flags` names what got worse from one plan to another, with the figures.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from analysis.studies.floats import Case, least_forward_mark, sole_fall
from analysis.studies.plans import name_of
from hullcalc.boats.adjusted import Adjustable, adjustable
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.conditions import Condition
from hullcalc.boats.moves import Setting
from hullcalc.boats.trailer import OnBall, Trailer, on_ball, read_trailer
from hullcalc.boats.trips import FUEL_USES
from hullcalc.errors import NoEquilibriumError

BOW_DOWN, LOWER, FORWARD, HEELS, TONGUE, SINKS = "bow", "forward freeboard", "sole", "heel", "tongue", "sinks"
NOTICED = 0.005  # m: a mark forward that is lowered by less is not spoken of
TILT = 0.2  # deg: more heel than this is spoken of
SHARE = 0.001  # of boat and trailer: less weight on the ball than this is spoken of
LEVEL = 0.05  # deg: less trim than this is said as level
ON_TRAILER = Condition("on the trailer, tanks empty")


@dataclass(frozen=True, eq=False)
class Ends:
    """A plan in all ordinary conditions, those that sink left out, and on the trailer (None: none is known)."""

    cases: Mapping[str, Case]
    sunk: tuple[str, ...]
    ball: OnBall | None


@dataclass(frozen=True)
class Flag:
    """One thing that got worse: `before` and `after` in deg (bow, heel), m (freeboard, sole), share (tongue)."""

    kind: str
    before: float
    after: float
    condition: str = ""
    mark: str = ""

    @property
    def grave(self) -> bool:
        """All but a freeboard that is somewhat lower forward, as every weight moved forward makes it."""
        return self.kind != LOWER


class Watch:
    """Floats one boat with any packages and settings in her ordinary conditions; keeps what it made ready."""

    def __init__(self, boat: Boat) -> None:
        self.boat = boat
        self.conditions = tuple(name for name, said in boat.conditions.items() if not said.open)
        self.trailer: Trailer | None = read_trailer(boat.measured)
        self._ready: dict[tuple[frozenset[str], str | Condition], Adjustable] = {}

    def adjustable(self, packages: frozenset[str], condition: str | Condition) -> Adjustable:
        """The boat with these packages in a condition, ready to be adjusted."""
        key = (packages, condition)
        if key not in self._ready:
            self._ready[key] = adjustable(self.boat, packages, condition)
        return self._ready[key]

    def case(
        self, packages: frozenset[str], condition: str | Condition, settings: Sequence[Setting] = (), name: str = ""
    ) -> Case:
        """One floating, spaces shut; settings of what is not there in this plan and condition do nothing."""
        ready = self.adjustable(packages, condition)
        state = ready.float([s for s in settings if ready.there(s.freedom)])
        said = condition if isinstance(condition, str) else condition.name
        return Case(self.boat, name or name_of(self.boat, packages), packages, said, state)

    def ball(self, packages: frozenset[str], settings: Sequence[Setting] = (), full: bool = False) -> OnBall | None:
        """What weighs on the ball of the trailer, nobody aboard; tanks empty, or all fuel tanks `full` to their top."""
        if self.trailer is None:
            return None
        ready = self.adjustable(packages, ON_TRAILER)
        loading = ready.set([s for s in settings if ready.there(s.freedom)])
        mass, moment = loading.mass, loading.mass * float(loading.cg[0])
        uses = {tank.name: tank.use for tank in self.boat.tanks}
        for tank in loading.tanks if full else ():
            if set(uses[tank.name].split()) & FUEL_USES:
                liquid = tank.density * tank.solid.volume
                mass, moment = mass + liquid, moment + liquid * float(tank.solid.centroid[0])
        return on_ball(self.trailer, mass, moment / mass)

    def ends(self, packages: frozenset[str], settings: Sequence[Setting] = ()) -> Ends:
        """The plan in all ordinary conditions and on the trailer."""
        cases, sunk = {}, []
        for condition in self.conditions:
            try:
                cases[condition] = self.case(packages, condition, settings)
            except NoEquilibriumError:
                sunk.append(condition)
        return Ends(cases, tuple(sunk), self.ball(packages, settings))


def both_ends(boat: Boat, plan: AnyPlan, settings: Sequence[Setting] = ()) -> Ends:
    """A plan, with settings made, in all ordinary conditions and on the trailer."""
    return Watch(boat).ends(boat.packages_on(plan), settings)


def flags(before: Ends, after: Ends) -> tuple[Flag, ...]:
    """What got worse at the other end, each with the condition where it is worst."""
    both = [name for name in before.cases if name in after.cases]
    said = [Flag(SINKS, 0.0, 0.0, name) for name in after.sunk if name in before.cases]
    said += [flag for flag in (_bow(before, after, both), _freeboard(before, after, both)) if flag]
    said += [flag for flag in (_drains(before, after, both), _heels(before, after, both)) if flag]
    if before.ball is not None and after.ball is not None and before.ball.share - after.ball.share > SHARE:
        said.append(Flag(TONGUE, before.ball.share, after.ball.share))
    return tuple(said)


def _bow(before: Ends, after: Ends, both: list[str]) -> Flag | None:
    def trim(ends: Ends, name: str) -> float:
        return float(ends.cases[name].shut.trim)

    worst = min(both, key=lambda name: trim(after, name), default=None)
    if worst is None or trim(after, worst) >= -LEVEL or trim(after, worst) > trim(before, worst) - LEVEL:
        return None
    return Flag(BOW_DOWN, trim(before, worst), trim(after, worst), worst)


def _freeboard(before: Ends, after: Ends, both: list[str]) -> Flag | None:
    found = []
    for name in both:
        mark = _forward(after.cases[name])
        if mark is not None and mark in before.cases[name].marks:
            was, now = (ends.cases[name].heights_shut[mark] for ends in (before, after))
            found.append(Flag(LOWER, was, now, name, mark))
    lowest = min(found, key=lambda flag: flag.after, default=None)
    return lowest if lowest is not None and lowest.before - lowest.after > NOTICED else None


def _forward(case: Case) -> str | None:
    """The least deck edge in the forward half of the boat; where none is marked, the least mark there."""
    x = case.boat.hull.solid.bounds[:, 0]
    edges = [name for name in case.watched(["freeboard"]) if case.marks[name].point[0] > x.mean()]
    return edges[0] if edges else least_forward_mark(case)


def _drains(before: Ends, after: Ends, both: list[str]) -> Flag | None:
    found = []
    for name in both:
        was, now = (sole_fall(ends.cases[name].marks, ends.cases[name].heights_shut) for ends in (before, after))
        if was is not None and now is not None:
            found.append(Flag(FORWARD, was.fall, now.fall, name))
    worst = min(found, key=lambda flag: flag.after, default=None)
    return worst if worst is not None and worst.after < min(0.0, worst.before) else None


def _heels(before: Ends, after: Ends, both: list[str]) -> Flag | None:
    found = [
        Flag(HEELS, float(before.cases[name].shut.heel), float(after.cases[name].shut.heel), name) for name in both
    ]
    worst = max(found, key=lambda flag: abs(flag.after) - abs(flag.before), default=None)
    return worst if worst is not None and abs(worst.after) - abs(worst.before) > TILT else None
