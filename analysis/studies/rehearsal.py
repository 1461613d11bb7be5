"""Dock rehearsal: which filled cans, and where, make the uncut boat float as a plan will, before anything is cut.

The uncut boat is to lie to the same plane of the sea as the plan in its condition, so that every mark that both have
stands equally high. What it takes is not the plan's added weight: bodies that only the plan has (a bracket's pod)
float her, and what they carry is taken off. The load is found by floating the uncut boat again and again with the
exact response of her marks, so the equality is exact; whole cans at places that can be reached come near it, and how
near is said at each mark, floated again. All spaces are shut. Boat frame, SI.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from scipy.optimize import Bounds, LinearConstraint, milp

from analysis.studies.floats import Case
from analysis.studies.plans import AS_FOUND, name_of
from analysis.studies.where import half_breadth, standing_height
from hullcalc.boats.afloat import float_loading
from hullcalc.boats.boat import HULL, AnyCondition, AnyPlan, Boat
from hullcalc.boats.conditions import Condition
from hullcalc.boats.rounds import Loading
from hullcalc.errors import InputError, as_number, require

CAN = 21.0  # kg: 20 L of fresh water in a can of 1 kg; common practice, no source: weigh one
CAN_OVER_SOLE = 0.20  # m: the middle of a can that stands on the sole
MOST_EACH = 4  # cans at one place: half a metre of sole
STEP, ACROSS, EDGE = 0.5, (-0.5, 0.0, 0.5), 0.35  # m along, across, and from the sheer inboard
REACH = 0.62  # share of her length, from the stern, in which cans are put down
ROUNDS = 12
EXACT = 1e-12  # m
NOTHING = 0.5  # kg: a load that rounds to none
FEWER = 3e-4  # m of residual that one place less is worth
GAP = 0.5  # of the best that can be: near enough


@dataclass(frozen=True, eq=False)
class Rehearsal:
    """The load and the cans that make the uncut boat float as the plan does.

    `cans` has a row a place: place, x_m, y_m, z_m, cans, kg. `marks` has a row a mark that both have at the same point:
    mark, plan_mm, uncut_mm (nothing added), exact_mm, cans_mm, off_mm (with cans less the plan). `other_marks` are the
    plan's marks that the uncut boat has not, or elsewhere.
    """

    boat: Boat
    target: Case  # the plan, spaces shut
    uncut: Case  # with nothing added
    exact: Case  # with the exact load
    loaded: Case  # with the cans
    load_kg: float
    load_place: np.ndarray  # (3,) m
    plain_kg: float  # how much heavier the plan is, its liquids with it
    plain_x: float  # and where, without regard to what floats her
    lift_kg: float  # carried by bodies that only the plan has, less those only the uncut boat has
    lift_x: float
    can_kg: float
    cans: pd.DataFrame
    marks: pd.DataFrame
    other_marks: tuple[str, ...]

    @property
    def off_mm(self) -> float:
        """The largest miss of the cans at any common mark [mm]."""
        return float(self.marks["off_mm"].abs().max())

    @property
    def count(self) -> int:
        return int(self.cans["cans"].sum())


def rehearse(
    boat: Boat,
    plan: AnyPlan,
    condition: AnyCondition,
    aboard: AnyCondition | None = None,
    places: Mapping[str, Sequence[float]] | None = None,
    can_kg: float = CAN,
    most_each: int = MOST_EACH,
) -> Rehearsal:
    """Rehearse a plan in a condition on the boat as found.

    Parameters
    ----------
    aboard
        How the uncut boat is loaded; None: with the same people and stores, her tanks as she was weighed.
    places
        Where cans can stand, by name, (x, y, z) m; None: a grid over the cockpit and foredeck sole.
    can_kg, most_each
        What a filled can weighs [kg], and how many stand at one place.

    Raises
    ------
    InputError
        Where the plan floats higher than the uncut boat (nothing can be added to rehearse it), the two have fewer than
        three marks in common, or the places do not hold enough cans.
    NoEquilibriumError
        If either sinks.
    """
    can_kg = as_number(can_kg, "can", "kg")
    require(can_kg > 0, "can", can_kg, "kg", "must be positive", "weigh one filled can, such as 21 kg")
    require(most_each >= 1, "cans at one place", most_each, "", "must be 1 or more", "such as 4")
    said = boat.condition(condition)
    uncut_said = _aboard(boat, said) if aboard is None else boat.condition(aboard)
    target = _case(boat, plan, said, boat.loading(plan, said))
    bare = boat.loading(AS_FOUND, uncut_said)
    uncut = _case(boat, AS_FOUND, uncut_said, bare)
    names = [
        n
        for n, m in uncut.marks.items()
        if n in target.marks and np.allclose(m.point, target.marks[n].point, atol=1e-9)
    ]
    points = np.array([uncut.marks[n].point for n in names]).reshape(-1, 3)
    if len(names) < 3 or np.linalg.matrix_rank(points - points.mean(axis=0), tol=0.05) < 2:
        raise InputError(
            f"{boat.name}: the uncut boat and {target.plan} have {len(names)} marks in common, and three that are not "
            "in one line are needed to compare them: add marks that stay, such as the stem head, to marks.csv"
        )
    z = standing_height(uncut, CAN_OVER_SOLE)
    load = _exact_load(bare, target, uncut, z)
    if abs(load[0]) < NOTHING:
        raise InputError(
            f"{target.plan} in {said.name} lies as deep as the uncut boat with {uncut_said.name}: there is nothing to "
            "rehearse; name another plan or a heavier condition"
        )
    if load[0] <= 0:
        raise InputError(
            f"{target.plan} in {said.name} asks the uncut boat to be {-load[0]:.0f} kg lighter than she is with "
            f"{uncut_said.name}: take weight off her or rehearse a heavier condition; cans cannot do it"
        )
    exact = _case(boat, AS_FOUND, uncut_said, _with(bare, load))
    spots = _places(uncut, z) if places is None else {n: np.array(p, dtype=float) for n, p in places.items()}
    counts = _whole_cans(exact, load, points, list(spots.values()), can_kg, most_each)
    rows = [
        {"place": name, "x_m": float(p[0]), "y_m": float(p[1]), "z_m": float(p[2]), "cans": int(k), "kg": k * can_kg}
        for (name, p), k in zip(spots.items(), counts, strict=True) if k
    ]  # fmt: skip
    cans = pd.DataFrame(rows, columns=["place", "x_m", "y_m", "z_m", "cans", "kg"])
    put = sum((k * can_kg * np.array([1.0, *p]) for p, k in zip(spots.values(), counts, strict=True)), np.zeros(4))
    loaded = _case(boat, AS_FOUND, uncut_said, _with(bare, put))
    heights = {"plan_mm": target, "uncut_mm": uncut, "exact_mm": exact, "cans_mm": loaded}
    marks = pd.DataFrame({"mark": names} | {k: [1000 * c.heights_shut[n] for n in names] for k, c in heights.items()})
    marks["off_mm"] = marks["cans_mm"] - marks["plan_mm"]
    plain, lift = _apart(target, uncut), _lift(target, uncut)
    return Rehearsal(
        boat, target, uncut, exact, loaded, float(load[0]), load[1:] / load[0], float(plain[0]), _x(plain),
        float(lift[0]), _x(lift), can_kg, cans, marks, tuple(n for n in target.watched() if n not in names),
    )  # fmt: skip


def _aboard(boat: Boat, said: Condition) -> Condition:
    """The same people and stores, as far as the uncut boat has room for them; tanks as she was weighed."""
    there = tuple(item.name for item in boat.carried_in(said, AS_FOUND))
    name = "the same people and stores aboard, tanks as weighed" if there else "nobody aboard, tanks as weighed"
    return Condition(name, aboard=there)


def _case(boat: Boat, plan: AnyPlan, said: Condition, loading: Loading) -> Case:
    state = float_loading(loading, shut=True)
    return Case(boat, name_of(boat, plan), boat.packages_on(plan), said.name, state)


def _with(loading: Loading, load: np.ndarray) -> Loading:
    mass = loading.mass + float(load[0])
    return replace(loading, mass=mass, cg=(loading.mass * loading.cg + load[1:]) / mass)


def _exact_load(bare: Loading, target: Case, uncut: Case, z: float) -> np.ndarray:
    """The load (mass, mx, my, mz) at height z that brings the uncut boat to the sea's plane of the target."""
    length = float(np.ptp(target.boat.hull.solid.bounds[:, 0]))
    points = np.array([(0.0, 0.0, 0.0), (length, 0.0, 0.0), (0.0, length / 3, 0.0)])
    wanted = target.shut.height_above_water(points)
    column = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [z, 0.0, 0.0]])  # of (mass, mx, my)
    load, state = np.zeros(4), uncut.shut
    for _ in range(ROUNDS):
        miss = wanted - state.height_above_water(points)
        if np.max(np.abs(miss)) < EXACT:
            break
        load = load + column @ np.linalg.solve(state.response(points) @ column, miss)
        if bare.mass + load[0] <= 0.05 * bare.mass:
            raise InputError("the uncut boat cannot be made so light: rehearse a heavier condition")
        state = float_loading(_with(bare, load), shut=True).rounds[0].state
    return load


def _whole_cans(
    exact: Case, load: np.ndarray, marks: np.ndarray, places: Sequence[np.ndarray], can_kg: float, most: int
) -> np.ndarray:
    """Cans at each place that come nearest to the load at the worst mark, at few places."""
    if not places:
        raise InputError("no place for a can is named: give at least one (x, y, z)")
    n = len(places)
    if n * most * can_kg < load[0] - can_kg:
        raise InputError(
            f"{load[0]:.0f} kg are {load[0] / can_kg:.0f} cans of {can_kg:g} kg, and {n} places hold {n * most}: "
            "name more places, allow more cans at each, or rehearse a lighter condition"
        )
    response = exact.shut.response(marks)  # (marks, 4)
    each = response @ (can_kg * np.column_stack([np.ones(n), np.array(places)])).T  # m a can
    want = response @ load
    # unknowns: cans (n), is there one at all (n), the largest miss t; |each @ cans - want| <= t, cans <= most * any
    ones, marks_n = np.ones((len(want), 1)), len(want)
    none = np.zeros((marks_n, n))
    rows = [
        LinearConstraint(np.hstack([each, none, -ones]), -np.inf, want),
        LinearConstraint(np.hstack([each, none, ones]), want, np.inf),
        LinearConstraint(np.hstack([np.eye(n), -most * np.eye(n), np.zeros((n, 1))]), -np.inf, 0.0),
    ]
    goal = np.concatenate([np.zeros(n), np.full(n, FEWER), [1.0]])
    bounds = Bounds(np.zeros(2 * n + 1), np.concatenate([np.full(n, most), np.ones(n), [np.inf]]))
    whole = np.concatenate([np.ones(2 * n), [0.0]])
    answer = milp(
        goal, integrality=whole, bounds=bounds, constraints=rows, options={"mip_rel_gap": GAP, "node_limit": 100}
    )
    if answer.x is None:
        raise InputError("no way was found to share the cans among the places: name other places")
    return np.round(answer.x[:n]).astype(int)


def _places(case: Case, z: float) -> dict[str, np.ndarray]:
    """A grid of places over the sole, named by x and side."""
    x_end = float(case.boat.hull.solid.bounds[1, 0])
    found = {}
    for x in np.arange(0.25, REACH * x_end, STEP):
        room = float(half_breadth(case, np.array([x]))[0]) - EDGE
        for y in ACROSS:
            if abs(y) <= room:
                side = "centre" if y == 0 else "port" if y > 0 else "starboard"
                found[f"{x:.2f} {side}"] = np.array([x, y, z])
    return found


def _apart(target: Case, uncut: Case) -> np.ndarray:
    """How much heavier the plan is, with liquids: (mass, mx)."""
    a, b = target.shut, uncut.shut
    return np.array([a.mass - b.mass, a.mass * a.cg[0] - b.mass * b.cg[0]])


def _lift(target: Case, uncut: Case) -> np.ndarray:
    """(mass, mx) carried at the target's plane by bodies that only the plan has, less those only the uncut has."""
    total = np.zeros(2)
    normal, offset = target.shut.plane
    for case, other, sign in ((target, uncut, 1.0), (uncut, target, -1.0)):
        ours, theirs = case.state.loading.solids, {id(s) for s in other.state.loading.solids.values()}
        for name, solid in ours.items():
            if name == HULL or id(solid) in theirs:
                continue
            cut = solid.cut(normal, float(offset))
            if cut.volume > 0:
                total += sign * target.boat.water_density * cut.volume * np.array([1.0, cut.centroid[0]])
    return total


def _x(load: np.ndarray) -> float:
    return float(load[1] / load[0]) if abs(load[0]) > 1e-9 else 0.0
