"""All that is not known exactly of a boat in a plan and condition, in one list: the named causes of uncertainty.

A cause is of a weight (its mass, its place along each axis), of a liquid (its density, how full its tank is), of the
volume of a pod, of a mark's own height, of the hull's shape, or of the water's density. One name is one cause, wherever
it turns up: in two items, at two marks, in two plans. What two plans share cancels in their difference.

Two roads from the causes to heights above water. Straight lines: each cause's effect is read off the response at the
floated attitude, causes add in squares [1]_. Sampling: all causes are drawn together and she is floated with each draw
[2]_; weights, fills and the water's density are pushed through whole floats, while the density of a liquid and the
volume of a pod act as the weight they amount to at the attitude she floats at with likely figures. The hull's shape
lifts or sinks all marks alike. Spaces are shut but those that the condition holds open. Boat frame, SI.

References
----------
.. [1] JCGM 100:2008, Guide to the expression of uncertainty in measurement (GUM), 5.1.2 and 5.2.2.
.. [2] JCGM 101:2008, Propagation of distributions using a Monte Carlo method.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from hullcalc.boats.afloat import BoatState
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.many import float_added
from hullcalc.boats.presence import present
from hullcalc.boats.rounds import Loading
from hullcalc.errors import InputError, require
from hullcalc.weights.draws import standard_draws, uniform_draws

MASS, ALONG, ACROSS, UP = "mass", "place along the boat", "place across", "height"
ASPECTS = {"mass": MASS, "x": ALONG, "y": ACROSS, "z": UP}  # as the causes of a weight's item end
DENSITY, FILL, VOLUME, OWN_HEIGHT, SHAPE = "density", "how full", "volume", "its own height", "shape"
HULL, WATER = "hull", "water"
STILL = np.zeros(4)


@dataclass(frozen=True, eq=False)
class Cause:
    """One thing that is not known, and what one standard uncertainty of it does.

    `load` is the weight it amounts to at the floated attitude (mass, mx, my, mz) [kg, kg m]; `lifts` says by how much
    it raises single marks [m] beside that. Of a tank's fill, `fill` is the standard uncertainty as a fraction of the
    gross volume; of the sea's density `water` is it [kg/m3]: these are floated as they are. `bounds` are those of a
    one-sided cause, see `sources.OneSided`; None: normal.
    """

    name: str
    thing: str
    kind: str
    load: np.ndarray = field(default_factory=lambda: STILL)
    lifts: Mapping[str, float] = field(default_factory=dict)
    tank: str = ""
    fill: float = 0.0
    water: float = 0.0
    bounds: np.ndarray | None = None

    @property
    def words(self) -> str:
        """In words: "helmsman: place across"."""
        return f"{self.thing}: {self.kind}" if self.thing != self.name else self.name

    @property
    def leans(self) -> bool:
        """Is it a place across the boat, which heels her and leaves trim and level alone?"""
        return self.kind == ACROSS


@dataclass(frozen=True, eq=False)
class Causes:
    """Every cause of one plan and condition, with the state she floats in with likely figures, spaces shut."""

    loading: Loading
    state: BoatState
    each: tuple[Cause, ...]
    shift: np.ndarray  # (4,) from likely to mean of the weight, where figures are one-sided

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(cause.name for cause in self.each)

    def heights(self, marks: Sequence[str]) -> np.ndarray:
        """Height of each mark above water with likely figures [m], shape (marks,)."""
        self._check(marks)
        return np.array([self.state.rounds[0].heights[mark] for mark in marks])

    def means(self, marks: Sequence[str]) -> np.ndarray:
        """Mean height of each mark by straight lines [m], shape (marks,); not the likely one where one-sided."""
        return self.heights(marks) + self._gradient(marks) @ self.shift

    def effects(self, marks: Sequence[str]) -> np.ndarray:
        """What one standard uncertainty of each cause does to each mark by straight lines [m], (causes, marks)."""
        loads = np.array([cause.load for cause in self.each]).reshape(-1, 4)
        lifts = [[cause.lifts.get(mark, 0.0) for mark in marks] for cause in self.each]
        return loads @ self._gradient(marks).T + np.array(lifts).reshape(-1, len(marks))

    def covariance(self, marks: Sequence[str]) -> np.ndarray:
        """Covariance of the marks' heights by straight lines [m²], (marks, marks): what they share goes together."""
        effects = self.effects(marks)
        covariance: np.ndarray = effects.T @ effects
        return covariance

    def without(self, dropped: Callable[[Cause], bool]) -> Causes:
        """These causes without some, which then count as known."""
        return replace(self, each=tuple(cause for cause in self.each if not dropped(cause)))

    def scaled(self, factors: Mapping[str, float]) -> Causes:
        """These causes after measurements: each named one times its factor, 0 where nothing of it is left."""
        unknown = [name for name in factors if name not in self.names]
        if unknown:
            raise InputError(f"no cause is called {unknown[0]!r} in this plan and condition")
        for name, factor in factors.items():
            require(0 <= factor <= 1, f"factor of {name}", factor, "", "must be from 0 to 1", "a measurement adds none")
        each = tuple(_times(cause, factors[cause.name]) if cause.name in factors else cause for cause in self.each)
        return replace(self, each=each)

    def sample(self, marks: Sequence[str], n: int, seed: int = 0) -> np.ndarray:
        """Heights of the marks in n draws of all causes [m], shape (n, marks); a row in which she sinks is nan."""
        self._check(marks)
        loads, lifts = np.tile(self.shift, (n, 1)), np.zeros((n, len(marks)))
        fills: dict[str, Any] = {}
        water = np.full(n, self.loading.density)
        for cause in self.each:
            drawn = standard_draws(uniform_draws(cause.name, n, seed), cause.bounds)
            if cause.tank:
                own: Any = fills.get(cause.tank, next(t.fill for t in self.loading.tanks if t.name == cause.tank))
                fills[cause.tank] = own + cause.fill * drawn
            elif cause.water:
                water = water + cause.water * drawn
            else:
                loads += drawn[:, None] * cause.load
            for column, mark in enumerate(marks):
                if mark in cause.lifts:
                    lifts[:, column] += cause.lifts[mark] * drawn
        mass = self.loading.mass + loads[:, 0]
        if np.min(mass) <= 0:
            raise InputError(
                f"uncertainties as great as the boat: in draw {np.argmin(mass)} of {n} she weighs {np.min(mass):.0f} "
                "kg; look for a standard uncertainty in another unit, or one digit too long"
            )
        within = {name: np.clip(fill, 0.0, 1.0) for name, fill in fills.items()}
        return float_added(self.loading, loads, within, water).heights(marks) + lifts

    def _gradient(self, marks: Sequence[str]) -> np.ndarray:
        """Derivative of each mark's height to an added weight (marks, 4)."""
        self._check(marks)
        points = np.array([self.loading.marks[mark].point for mark in marks]).reshape(-1, 3)
        return self.state.response(points)

    def _check(self, marks: Sequence[str]) -> None:
        there = self.loading.marks
        for mark in marks:
            if mark not in there:
                raise InputError(f"mark {mark!r} is not there in this plan; there are: {', '.join(there)}")


def all_causes(boat: Boat, plan: AnyPlan, condition: AnyCondition) -> Causes:
    """Every cause of uncertainty of a boat in a plan and condition.

    Raises
    ------
    InputError
        For a plan, package, condition or person that is not known.
    NoEquilibriumError
        If she sinks with likely figures.
    """
    state, weight = boat.float(plan, condition, shut=True), boat.weight(plan, condition)
    each = [_of_weight(name, change, weight.bounds.get(name)) for name, change in weight.sources.items()]
    each += _of_liquids(boat, plan, state)
    each += _of_pods(boat, plan, state)
    each += [_own_height(name, mark.u_z) for name, mark in state.loading.marks.items()]
    lifts = dict.fromkeys(state.loading.marks, float(boat.u_hull))
    each.append(Cause(f"{HULL}: {SHAPE}", HULL, SHAPE, lifts=lifts))
    # Denser water lifts by what it would weigh more where she lies.
    buoyed = -boat.u_water * float(state.volume) * np.append(1.0, state.buoyancy)
    each.append(Cause(f"{WATER}: {DENSITY}", WATER, DENSITY, load=buoyed, water=boat.u_water))
    acting = (cause for cause in each if np.any(cause.load) or any(cause.lifts.values()))
    return Causes(state.loading, state, tuple(acting), np.array(weight.shift, dtype=float).reshape(4))


def between(one: Causes, other: Causes, mark: str, at: str | None = None) -> tuple[float, float]:
    """How much higher a mark stands in one case than in the other by straight lines: mean and standard uncertainty [m].

    `at` names the mark of the other case where it is not the same. What both share cancels as far as it acts alike.
    """
    marks = [mark], [mark if at is None else at]
    effects = [
        dict(zip(case.names, case.effects(names)[:, 0], strict=True))
        for case, names in zip((one, other), marks, strict=True)
    ]
    apart = [effects[0].get(name, 0.0) - effects[1].get(name, 0.0) for name in effects[0] | effects[1]]
    return float(one.means(marks[0])[0] - other.means(marks[1])[0]), float(np.hypot.reduce(apart))


def _times(cause: Cause, factor: float) -> Cause:
    lifts = {mark: factor * lift for mark, lift in cause.lifts.items()}
    return replace(
        cause, load=factor * cause.load, lifts=lifts, fill=factor * cause.fill, water=factor * cause.water
    )  # fmt: skip


def _of_weight(name: str, change: np.ndarray, bounds: np.ndarray | None) -> Cause:
    """A cause of a weight; one that several share has no aspect in its name and is one of their mass."""
    thing, _, aspect = name.rpartition(": ")
    named = bool(thing) and aspect in ASPECTS
    load = np.broadcast_to(change, (4,))
    return Cause(name, thing if named else name, ASPECTS[aspect] if named else MASS, load=load, bounds=bounds)


def _own_height(mark: str, u: float) -> Cause:
    return Cause(f"{mark}: {OWN_HEIGHT}", mark, OWN_HEIGHT, lifts={mark: u})


def _of_liquids(boat: Boat, plan: AnyPlan, state: BoatState) -> Iterable[Cause]:
    """Density of what the tanks of one use hold, the same in all of them; how full each is, where that is doubted."""
    tanks = present(boat.tanks, boat.packages_on(plan))
    dense: dict[str, np.ndarray] = {}
    for tank, liquid in zip(state.loading.tanks, state.liquids, strict=True):
        if not liquid.mass > 0:
            continue
        own = tanks[tank.name]
        heavier = own.u_density / tank.density * liquid.mass * np.append(1.0, liquid.centre)
        dense[own.use] = dense.get(own.use, STILL) + heavier
        if own.u_fill > 0 and tank.fill is not None:
            surface = tank.solid.cut(state.normal, liquid.surface_offset).area_centroid
            at = liquid.centre if np.any(np.isnan(surface)) else surface  # filled to its last corner
            more = own.u_fill * tank.density * tank.solid.volume * np.append(1.0, at)
            yield Cause(f"{tank.name}: {FILL}", tank.name, FILL, load=more, tank=tank.name, fill=own.u_fill)
    for use, load in dense.items():
        yield Cause(f"{use}: {DENSITY}", use, DENSITY, load=load)


def _of_pods(boat: Boat, plan: AnyPlan, state: BoatState) -> Iterable[Cause]:
    """The volume of each pod that floats her: what lies under water of it is that much more or less buoyancy."""
    pods: Collection = present(boat.solids, boat.packages_on(plan)).values()
    for pod in pods:
        cut = pod.solid.cut(*state.plane)
        if pod.u_volume > 0 and cut.volume > 0 and not pod.inside and pod.name not in state.loading.held_open:
            lift = boat.water_density * pod.u_volume * cut.volume / pod.solid.volume  # more volume is less weight
            yield Cause(f"{pod.name}: {VOLUME}", pod.name, VOLUME, load=-lift * np.append(1.0, cut.centroid))
