"""Which change did it? The millimetres between two plans, shared among packages, and again among single items.

Watched is the stern (height of the water above the x axis at x = 0, along the boat's z) or any mark that both plans
have. Positive is deeper: water higher at the stern, the mark lower over the water. Every combination of the packages
that differ is floated with all spaces shut (but those a condition holds open); a package's share is the mean over all
orders (see `orders`), so the shares add up to the whole. Beside it stand what the package does first of all, last of
all, and in the yard's own order: the spread says how much the packages work on each other. A package that only moves
what another one brings does nothing before it: ask what such mends do from a plan that has the other one (`start`).

An item's share is its mass and moment through the mean of the responses at both ends; buoyancy that comes or goes,
liquids and a moved mark are items too. What the straight lines miss is the remainder, shown and given to none.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

import hullcalc as hc
from analysis.studies.floats import stern_height
from analysis.studies.orders import check_number_of_players, share_out
from analysis.studies.plans import AS_FOUND, name_of, short_package, way_between
from hullcalc.boats.afloat import BoatState
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.many import float_each
from hullcalc.boats.rounds import Loading
from hullcalc.errors import InputError
from hullcalc.weights.items import MassItem

STERN = "stern"
RULE = "mean over all orders"


@dataclass(frozen=True, eq=False)
class Attribution:
    """The millimetres from `start` to `plan` in one condition at one place; positive is deeper."""

    boat: Boat
    start: str
    plan: str
    condition: str
    at: str  # "stern" or a mark's name
    total_mm: float
    table: (
        pd.DataFrame
    )  # package, name, mean_mm, first_mm, last_mm, in_turn_mm, least_mm, most_mm; mean_mm adds up to total
    items: pd.DataFrame  # package, item, kind, mass_kg, mm
    remainder_mm: float  # total less the sum of the items
    floats: int  # combinations floated


def which_change(
    boat: Boat, plan: AnyPlan, condition: AnyCondition = "light", at: str = STERN, start: AnyPlan = AS_FOUND
) -> Attribution:
    """Share the change from `start` to `plan` at the stern or at a mark among packages and items.

    Raises
    ------
    InputError
        If the mark is not there in some combination of the packages, or too many packages differ.
    NoEquilibriumError
        If a combination sinks.
    """
    way = way_between(boat, start, plan)
    check_number_of_players(len(way.steps))
    combinations = [way.packages(mask) for mask in range(1 << len(way.steps))]
    depths = _depths_mm(boat, combinations, condition, at)
    shares = share_out(depths)
    table = pd.DataFrame(
        {
            "package": [step.name for step in way.steps],
            "name": [short_package(step.name) for step in way.steps],
            "mean_mm": shares.mean,
            "first_mm": shares.first,
            "last_mm": shares.last,
            "in_turn_mm": shares.in_turn,
            "least_mm": shares.least,
            "most_mm": shares.most,
        }
    )
    total = float(shares.total)
    items = _items(boat, combinations[0], combinations[-1], condition, at)
    return Attribution(
        boat=boat,
        start=name_of(boat, start),
        plan=name_of(boat, plan),
        condition=boat.condition(condition).name,
        at=at,
        total_mm=total,
        table=table,
        items=items,
        remainder_mm=total - float(items["mm"].sum()),
        floats=len(combinations),
    )


def _depths_mm(boat: Boat, combinations: list[frozenset[str]], condition: AnyCondition, at: str) -> np.ndarray:
    """Depth of each combination at the place watched [mm], shape (n,)."""
    loadings = [boat.loading(packages, condition) for packages in combinations]
    points = np.array([_point(loading, at) for loading in loadings])
    normals, offsets, short = float_each(loadings)
    if np.any(np.isfinite(short)):
        raise hc.NoEquilibriumError(
            f"with some of the packages on and others off she sinks, short of {np.nanmax(short):.0f} kg of buoyancy: "
            "the packages cannot be compared in all orders",
            float(np.nanmax(short)),
        )
    # the depth of a point under water; for the stern, per unit along z from the keel's end to the water
    depths = offsets - np.einsum("ij,ij->i", normals, points)
    return 1000 * (depths / normals[:, 2] if at == STERN else depths)


def _point(loading: Loading, at: str) -> np.ndarray:
    """The point watched [m], (3,): a mark where it is in this loading, or the origin for the stern."""
    if at == STERN:
        return np.zeros(3)
    if at not in loading.marks:
        raise InputError(
            f"mark {at!r} is not there in every step between the plans; watch the stern or another mark, such as "
            f"{', '.join(loading.marks)}"
        )
    return np.asarray(loading.marks[at].point, dtype=float)


def _gradient_mm(state: BoatState, point: np.ndarray, at: str) -> np.ndarray:
    """Derivative of the depth [mm] to added (mass, mx, my, mz), shape (4,)."""
    if at != STERN:
        return -1000 * state.response(point)
    return -1000 * state.response(np.array([0.0, 0.0, stern_height(state)])) / state.plane[0][2]


def _items(boat: Boat, before: frozenset[str], after: frozenset[str], condition: AnyCondition, at: str) -> pd.DataFrame:
    """The items that differ between two sets of packages, each through the mean response of both ends."""
    states = [boat.float(packages, condition, shut=True) for packages in (before, after)]
    points = [_point(state.loading, at) for state in states]
    gradient = sum(_gradient_mm(s, p, at) for s, p in zip(states, points, strict=True)) / 2

    rows = _ledger_loads(boat, before, after)
    listed = sum((load for *_, load in rows), start=np.zeros(4))
    unlisted = _load(boat.weight(after, condition)) - _load(boat.weight(before, condition)) - listed
    if np.any(np.abs(unlisted) > 1e-6):
        rows.append(("", "already off in this condition", "condition", unlisted))
    rows += [("", name, "buoyancy", load) for name, load in _buoyancy(boat, states).items()]
    rows += [("", name, "liquid", load) for name, load in _liquids(states).items()]
    table = pd.DataFrame(
        {
            "package": [r[0] for r in rows],
            "item": [r[1] for r in rows],
            "kind": [r[2] for r in rows],
            "mass_kg": [float(r[3][0]) for r in rows],
            "mm": [float(gradient @ r[3]) for r in rows],
        }
    )
    rise = points[1] - points[0]
    if np.any(rise != 0):
        normal = (states[0].plane[0] + states[1].plane[0]) / 2
        moved = {"package": "", "item": f"{at} moved", "kind": "mark", "mass_kg": 0.0, "mm": -1000 * normal @ rise}
        table = pd.concat([table, pd.DataFrame([moved])], ignore_index=True)
    return table


def _ledger_loads(boat: Boat, before: frozenset[str], after: frozenset[str]) -> list[tuple[str, str, str, np.ndarray]]:
    """(package, item, action, (mass, mx, my, mz)) of each ledger row that does something else after than before."""
    rows: dict[int, tuple[str, str, str, np.ndarray]] = {}
    for packages, sign in ((before, -1), (after, +1)):
        for change in boat.ledger.apply(packages)[0]:
            row = change.row
            load = sign * _load(change.item)
            if row.number in rows:
                load = load + rows[row.number][3]
            rows[row.number] = (row.package, row.item, row.action, load)
    return [rows[number] for number in sorted(rows) if np.any(rows[number][3] != 0)]


def _load(item: MassItem) -> np.ndarray:
    return np.append(item.mass, item.moment)


def _buoyancy(boat: Boat, states: list[BoatState]) -> dict[str, np.ndarray]:
    """What bodies that come or go carry, as a load (less weight where one comes), mean of both water planes."""
    first, last = ({n: s for n, s in st.loading.solids.items() if n not in st.loading.held_open} for st in states)
    loads: dict[str, np.ndarray] = {}
    for name in dict.fromkeys([*first, *last]):
        if first.get(name) is last.get(name):
            continue
        load = np.zeros(4)
        for solid, sign in ((first.get(name), +1), (last.get(name), -1)):
            if solid is None:
                continue
            for state in states:
                cut = solid.cut(*state.plane)
                if cut.volume > 0:
                    load += sign * boat.water_density / 2 * cut.volume * np.append(1.0, cut.centroid)
        loads[f"{name} in the water"] = load
    return loads


def _liquids(states: list[BoatState]) -> dict[str, np.ndarray]:
    """Liquids aboard at the end less those at the start, by tank."""
    loads: dict[str, np.ndarray] = {}
    for state, sign in zip(states, (-1, +1), strict=True):
        for liquid in state.liquids:
            if liquid.mass > 0:
                load = sign * liquid.mass * np.append(1.0, liquid.centre)
                loads[liquid.name] = loads.get(liquid.name, np.zeros(4)) + load
    return {f"liquid in {name}": load for name, load in loads.items() if np.any(load != 0)}
