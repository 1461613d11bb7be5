"""Many plans of a boat in many conditions at once, spaces shut: what they have in common is put together once.

A plan's weight is summed once for all conditions, a condition's people once for all plans; bodies and tanks are looked
up once for all plans that differ only in weights. Boat frame, SI.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hullcalc.boats.afloat import bodies_open
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.conditions import Condition
from hullcalc.boats.ledger import Change, Thing
from hullcalc.boats.many import same_bodies
from hullcalc.boats.marks import Mark
from hullcalc.boats.rounds import Loading
from hullcalc.errors import require
from hullcalc.floating.equilibrium import float_many
from hullcalc.weights.items import MassItem


@dataclass(frozen=True, eq=False)
class ManyPlans:
    """The sea's plane of p plans in c conditions, first round; where one sinks it is nan and `short_by_kg` is not."""

    boat: Boat
    plans: tuple[frozenset[str], ...]
    conditions: tuple[Condition, ...]
    normals: np.ndarray  # (p, c, 3)
    offsets: np.ndarray  # (p, c) m
    short_by_kg: np.ndarray  # (p, c), nan where she floats

    def points(self, mark: str) -> np.ndarray:
        """Where a mark is in each plan [m], shape (p, 3); nan where a plan has no such mark."""
        places: list[Mark] = [m for m in self.boat.all_marks if m.name == mark]
        points = np.full((len(self.plans), 3), np.nan)
        for i, on in enumerate(self.plans):
            for place in places:
                if place.presence.holds(on):
                    points[i] = place.point
        return points


def float_plans(
    boat: Boat, plans: Sequence[AnyPlan], conditions: Sequence[AnyCondition], threads: int | None = None
) -> ManyPlans:
    """Float every plan in every condition with all spaces shut but those that a condition holds open.

    Raises
    ------
    InputError
        For a plan, package, condition or person that is not known, or where the removals outweigh the boat.
    """
    sets = tuple(boat.packages_on(plan) for plan in plans)
    said = tuple(boat.condition(condition) for condition in conditions)
    light, aboard = _light(boat, sets)
    loads = light[:, None] + _people(boat, sets, said)
    normals, offsets = np.empty((*loads.shape[:2], 3)), np.empty(loads.shape[:2])
    short = np.full(loads.shape[:2], np.nan)
    shared: dict[tuple, tuple[Loading, list[tuple[int, int]], list[list[float]]]] = {}
    for j, condition in enumerate(said):
        presences = [tank.presence for tank in boat.tanks] + [solid.presence for solid in boat.solids]
        presences += [space.presence for space in boat.spaces] if condition.open else []
        deciding = frozenset[str]().union(*(p.brought_by | p.taken_by for p in presences))
        known: dict[frozenset[str], tuple[Loading, tuple, list[float], list[str]]] = {}
        for i, on in enumerate(sets):
            if on & deciding not in known:
                known[on & deciding] = _bodies(boat, on, condition)
            loading, key, fills, taken = known[on & deciding]
            for name in taken:
                if name in aboard[i]:
                    loads[i, j] -= aboard[i][name].item.load
            _, members, filled = shared.setdefault(key, (loading, [], []))
            members.append((i, j))
            filled.append(fills)
    mass = loads[..., 0]
    require(mass > 0, "mass of the boat", mass, "kg", "must be positive", "do the removals outweigh the boat?")
    for loading, members, filled in shared.values():
        at = tuple(np.array(members).T)
        solids, flooded = bodies_open(loading, loading.held_open)
        cg = loads[at][:, 1:] / mass[at][:, None]
        fills_of = np.array(filled, dtype=float)
        states = float_many(solids, mass[at], cg, loading.density, loading.tanks, fills_of, flooded, threads)
        normals[at], offsets[at] = states.plane
        short[at] = states.short_by_kg
    return ManyPlans(boat, sets, said, normals, offsets, short)


def _light(boat: Boat, sets: Sequence[frozenset[str]]) -> tuple[np.ndarray, list[dict[str, Thing]]]:
    """Mass and moments (p, 4) of the boat as found with each set's changes, and the things then aboard."""
    columns: dict[int, int] = {}  # of each change met, by its id; the ledger keeps the changes alive
    met: list[Change] = []
    acting, aboard = [], []
    for on in sets:
        changes, things = boat.ledger.apply(on)
        for change in changes:
            if id(change) not in columns:
                columns[id(change)] = len(met)
                met.append(change)
        acting.append([columns[id(change)] for change in changes])
        aboard.append(things)
    acts = np.zeros((len(sets), len(met)))
    for row, indices in zip(acts, acting, strict=True):
        row[indices] = 1.0
    loads = np.array([change.item.load for change in met]).reshape(-1, 4)
    return acts @ loads + boat.as_found.load, aboard


def _people(boat: Boat, sets: Sequence[frozenset[str]], conditions: Sequence[Condition]) -> np.ndarray:
    """Mass and moments of people and stores, (p, c, 4); all plans share one sum but where some have a place and
    others have not."""
    deciding = frozenset[str]().union(*(p.brought_by | p.taken_by for p in boat.stowage.values()))
    summed: dict[frozenset[str], np.ndarray] = {}
    for on in sets:
        if on & deciding not in summed:
            loads = [_sum(boat.carried_in(condition, on)) for condition in conditions]
            summed[on & deciding] = np.array(loads).reshape(-1, 4)
    return np.array([summed[on & deciding] for on in sets]).reshape(len(sets), -1, 4)


def _bodies(boat: Boat, on: frozenset[str], condition: Condition) -> tuple[Loading, tuple, list[float], list[str]]:
    """A loading with the bodies of this plan, what tells it from those of other bodies, its fills, and what is off."""
    loading = boat.loading(on, condition)
    fills = [np.nan if tank.fill is None else tank.fill for tank in loading.tanks]
    return loading, same_bodies(loading), fills, boat.taken_off(on, condition)


def _sum(items: Sequence[MassItem]) -> np.ndarray:
    return sum((item.load for item in items), start=np.zeros(4))
