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

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

import hullcalc as hc
from analysis.studies.floats import stern_height
from analysis.studies.orders import Shares, check_number_of_players, share_out
from analysis.studies.plans import AS_FOUND, Way, name_of, short_package, way_between
from hullcalc.boats.afloat import BoatState
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.combinations import ManyPlans, float_plans
from hullcalc.boats.conditions import Condition
from hullcalc.errors import InputError

STERN = "stern"
RULE = "mean over all orders"
ORDERS = ("mean", "first", "last", "in_turn", "least", "most")  # of `Shares`, as columns of the table


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
    return which_changes(boat, plan, [condition], [at], start)[0]


def which_changes(
    boat: Boat,
    plan: AnyPlan,
    conditions: Sequence[AnyCondition],
    at: Sequence[str] = (STERN,),
    start: AnyPlan = AS_FOUND,
) -> tuple[Attribution, ...]:
    """As `which_change` for several conditions, and in each at several places, from one set of floats.

    The answers of the first condition come first, in it those of the places in the order of `at`.
    """
    if not conditions or not at:
        raise InputError("nothing to share out: name at least one load condition and the stern or one mark")
    way = way_between(boat, start, plan)
    check_number_of_players(len(way.steps))
    combinations = [way.packages(mask) for mask in range(1 << len(way.steps))]
    floated = float_plans(boat, combinations, conditions)
    if np.any(np.isfinite(floated.short_by_kg)):
        short = float(np.nanmax(floated.short_by_kg))
        raise hc.NoEquilibriumError(
            f"with some of the packages on and others off she sinks, short of {short:.0f} kg of buoyancy: "
            "the packages cannot be compared in all orders",
            short,
        )
    shares = share_out(np.stack([_depths_mm(floated, place) for place in at], axis=-1))
    listed = _ledger_loads(boat, combinations[0], combinations[-1])
    found = []
    for c, condition in enumerate(floated.conditions):
        ends = [boat.float(packages, condition, shut=True) for packages in (combinations[0], combinations[-1])]
        loads = _item_loads(boat, ends, (combinations[0], combinations[-1]), condition, listed)
        for m, place in enumerate(at):
            items = _items(ends, loads, place)
            total = float(shares.total[c, m])
            found.append(
                Attribution(
                    boat=boat,
                    start=name_of(boat, start),
                    plan=name_of(boat, plan),
                    condition=condition.name,
                    at=place,
                    total_mm=total,
                    table=_table(way, shares, (c, m)),
                    items=items,
                    remainder_mm=total - float(items["mm"].sum()),
                    floats=len(combinations),
                )
            )
    return tuple(found)


def _table(way: Way, shares: Shares, of: tuple[int, int]) -> pd.DataFrame:
    """A row a package: its shares in one condition at one place."""
    columns = {f"{name}_mm": getattr(shares, name)[:, *of] for name in ORDERS}
    names = [step.name for step in way.steps]
    return pd.DataFrame({"package": names, "name": list(map(short_package, names))} | columns)


def _depths_mm(floated: ManyPlans, at: str) -> np.ndarray:
    """Depth of each combination in each condition at the place watched [mm], shape (p, c)."""
    if at == STERN:  # per unit along z from the keel's end to the water
        return 1000 * floated.offsets / floated.normals[..., 2]
    points = floated.points(at)
    missing = np.flatnonzero(np.isnan(points[:, 0]))
    if len(missing):
        raise _no_mark(at, floated.boat.marks_in(floated.plans[missing[0]]))
    return 1000 * (floated.offsets - np.einsum("pck,pk->pc", floated.normals, points))


def _no_mark(at: str, there: Iterable[str]) -> InputError:
    return InputError(
        f"mark {at!r} is not there in every step between the plans; watch the stern or another mark, such as "
        f"{', '.join(there)}"
    )


def _point(state: BoatState, at: str) -> np.ndarray:
    """The point watched [m], (3,): a mark where it is in this plan, or the origin for the stern."""
    return np.zeros(3) if at == STERN else np.asarray(state.loading.marks[at].point, dtype=float)


def _gradient_mm(state: BoatState, point: np.ndarray, at: str) -> np.ndarray:
    """Derivative of the depth [mm] to added (mass, mx, my, mz), shape (4,)."""
    if at != STERN:
        return -1000 * state.response(point)
    return -1000 * state.response(np.array([0.0, 0.0, stern_height(state)])) / state.plane[0][2]


Row = tuple[str, str, str, np.ndarray]  # package, item, kind, (mass, mx, my, mz)


def _item_loads(
    boat: Boat,
    ends: Sequence[BoatState],
    packages: tuple[frozenset[str], frozenset[str]],
    condition: Condition,
    listed: Sequence[Row],
) -> list[Row]:
    """What differs between the two ends as loads: ledger rows, what the condition takes off, water, liquids."""
    rows = list(listed)
    before, after = (boat.weight(on, condition).load for on in packages)
    unlisted = after - before - sum((load for *_, load in rows), start=np.zeros(4))
    if np.any(np.abs(unlisted) > 1e-6):
        rows.append(("", "already off in this condition", "condition", unlisted))
    rows += [("", name, "buoyancy", load) for name, load in _buoyancy(boat, ends).items()]
    return rows + [("", name, "liquid", load) for name, load in _liquids(ends).items()]


def _items(ends: Sequence[BoatState], rows: Sequence[Row], at: str) -> pd.DataFrame:
    """Each load through the mean response of both ends, and a moved mark."""
    points = [_point(state, at) for state in ends]
    gradient = sum(_gradient_mm(s, p, at) for s, p in zip(ends, points, strict=True)) / 2
    told = [(package, item, kind, float(load[0]), float(gradient @ load)) for package, item, kind, load in rows]
    rise = points[1] - points[0]
    if np.any(rise != 0):
        normal = (ends[0].plane[0] + ends[1].plane[0]) / 2
        told.append(("", f"{at} moved", "mark", 0.0, float(-1000 * normal @ rise)))
    return pd.DataFrame(told, columns=["package", "item", "kind", "mass_kg", "mm"])


def _ledger_loads(boat: Boat, before: frozenset[str], after: frozenset[str]) -> list[Row]:
    """(package, item, action, (mass, mx, my, mz)) of each ledger row that does something else after than before."""
    rows: dict[int, Row] = {}
    for packages, sign in ((before, -1), (after, +1)):
        for change in boat.ledger.apply(packages)[0]:
            row = change.row
            load = sign * change.item.load
            if row.number in rows:
                load = load + rows[row.number][3]
            rows[row.number] = (row.package, row.item, row.action, load)
    return [rows[number] for number in sorted(rows) if np.any(rows[number][3] != 0)]


def _buoyancy(boat: Boat, states: Sequence[BoatState]) -> dict[str, np.ndarray]:
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


def _liquids(states: Sequence[BoatState]) -> dict[str, np.ndarray]:
    """Liquids aboard at the end less those at the start, by tank."""
    loads: dict[str, np.ndarray] = {}
    for state, sign in zip(states, (-1, +1), strict=True):
        for liquid in state.liquids:
            if liquid.mass > 0:
                load = sign * liquid.mass * np.append(1.0, liquid.centre)
                loads[liquid.name] = loads.get(liquid.name, np.zeros(4)) + load
    return {f"liquid in {name}": load for name, load in loads.items() if np.any(load != 0)}
