"""What the sea does to a part: the boat is floated, and the part's questions are asked of the plane she floats at.

The part is put aboard in the place of what the plan has for it: things of the ledger that it stands for, a body or
tank that shares most of its volume. What stays of the plan stays. Spaces of the boat are kept shut, as in the first
round of floating; a bracket's pod is then flooded beside it. All lengths in m, masses in kg.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from analysis.studies.floats import NOT_WATCHED, stern_height
from analysis.studies.plans import name_of
from hullcalc.boats.afloat import BoatState, float_loading
from hullcalc.boats.boat import HULL, AnyPlan, Boat
from hullcalc.boats.fit import overlap
from hullcalc.boats.fitting import Fit, fit_inside
from hullcalc.boats.rounds import Loading
from hullcalc.boats.spaces import Space, common_part
from hullcalc.errors import NoEquilibriumError
from hullcalc.floating.tanks import Tank
from hullcalc.geometry.solid import Solid
from hullcalc.weights.items import MassItem, combine
from hullcalc.weights.parts.bracket import Bracket, NetLift
from hullcalc.weights.parts.engine import Engine
from hullcalc.weights.parts.fuel_tank import FuelTank
from hullcalc.weights.parts.livewell import Livewell, Standing
from hullcalc.weights.parts.part import Part
from hullcalc.weights.parts.sea import Immersed, immersed
from hullcalc.weights.sources import standard_uncertainty

MOSTLY = 0.5  # of the smaller volume shared: the same body


@dataclass(frozen=True, eq=False)
class Aboard:
    """How a part was put aboard: `instead_of` are the things, people or stores whose place it takes, `old` their weight
    together, `body` and `room` the names of her body and tank that gave way to it; empty where there was none."""

    loading: Loading
    instead_of: tuple[str, ...]
    old: MassItem | None
    body: str
    room: str
    comes_off: bool = False  # the plan takes the thing off: the part says how much comes off


@dataclass(frozen=True, eq=False)
class BracketAfloat:
    """A bracket's pod at the sea it meets, intact and flooded, and what the flood does to the boat."""

    intact: NetLift
    flooded: BoatState | None  # None where it has no pod
    sinks: str  # why there is no flooded state
    openings: dict[str, float]  # height above water, pod intact
    leaks: dict[str, float]  # m³ that stand in it up to each opening, at that attitude
    shared: float  # m³ with the hull
    gap: float  # m between the front face and the transom, positive aft of it; nan without a pod


@dataclass(frozen=True, eq=False)
class TankAfloat:
    """A fuel tank in the hull: how it fits, and what the pick-up reaches at this trim."""

    fit: Fit
    usable: float
    unusable: float


@dataclass(frozen=True, eq=False)
class WellAfloat:
    """A livewell at this attitude: the pump on, and open to the sea."""

    standing: Standing
    open_to_sea: Immersed


@dataclass(frozen=True, eq=False)
class PartAfloat:
    """The answers of one part; those of another kind are None. Both states are with spaces shut."""

    boat: Boat
    plan_said: str
    condition: str
    part: Part
    aboard: Aboard
    before: BoatState  # the plan as it stands
    state: BoatState  # with the part in its place
    leg: Immersed | None = None
    body: Immersed | None = None
    bracket: BracketAfloat | None = None
    tank: TankAfloat | None = None
    well: WellAfloat | None = None

    @property
    def marks(self) -> pd.DataFrame:
        """What the part does at each mark that should be above water, and what it leaves in doubt there.

        Columns: mark; height_mm with the part aboard; before_mm, in the plan as it stands; by_part_mm, what the part's
        whole weight does (to first order, its body's lift not counted); u_mm, from the part's uncertainty. The lowest
        mark first.
        """
        item, rows = self.part.item, []
        weight = np.concatenate([[float(item.mass)], item.moment]) * (-1.0 if self.aboard.comes_off else 1.0)
        for name, mark in self.state.loading.marks.items():
            if mark.kind in NOT_WATCHED:
                continue
            slope = self.state.response(mark.point)
            rows.append(
                {
                    "mark": name,
                    "height_mm": 1000 * self.state.marks[name],
                    "before_mm": 1000 * self.before.marks[name],
                    "by_part_mm": 1000 * float(slope @ weight),
                    "u_mm": 1000 * float(standard_uncertainty(item.sources, slope)),
                }
            )
        columns = ["mark", "height_mm", "before_mm", "by_part_mm", "u_mm"]
        return pd.DataFrame(rows, columns=columns).sort_values("height_mm", ignore_index=True)


def float_part(
    boat: Boat, plan: AnyPlan, condition: str, part: Part, stands_for: Sequence[str] = (), plan_said: str = ""
) -> PartAfloat:
    """Float the boat with a part aboard and ask what depends on the sea; `stands_for` as in `put_aboard`.

    `plan_said` is what to call the plan, else its own name.

    Raises InputError for an unknown plan or condition, NoEquilibriumError where she sinks.
    """
    aboard = put_aboard(boat, plan, condition, part, stands_for)
    state = float_loading(aboard.loading, shut=True)
    normal, offset = state.plane
    density = boat.water_density
    before = float_loading(boat.loading(plan, condition), shut=True)
    found = PartAfloat(boat, plan_said or name_of(boat, plan), condition, part, aboard, before, state)
    if part.body is not None:
        found = replace(found, body=immersed(part.body, normal, offset, density))
    if isinstance(part, Engine):
        return replace(found, leg=part.leg_under(normal, offset, density))
    if isinstance(part, Bracket):
        return replace(found, bracket=_bracket(boat, part, aboard, state))
    if isinstance(part, FuelTank):
        fit = fit_inside(boat.hull, part.outer)
        return replace(found, tank=TankAfloat(fit, part.usable(normal), part.unusable(normal)))
    if isinstance(part, Livewell):
        sea = part.open_to_the_sea(normal, offset, density)
        return replace(found, well=WellAfloat(part.standing(normal), sea))
    return found


def put_aboard(boat: Boat, plan: AnyPlan, condition: str, part: Part, stands_for: Sequence[str] = ()) -> Aboard:
    """The boat's loading with the part aboard, in the place of what the plan has for it.

    Taken off: the things of the ledger, people and stores that it stands for, and the one of its own name; the body or
    tank that shares most of its volume with the part's gives way to it, a tank's fill staying as the condition says.
    Where the plan takes that thing off the boat, the part says anew what comes off.
    """
    loading = boat.loading(plan, condition)
    changes, things = boat.ledger.apply(boat.packages_on(plan))
    aboard = {name: boat.people[name] for name in boat.condition(condition).aboard}
    aboard |= {name: thing.item for name, thing in things.items()}
    gone = {change.went.name: change.went.item for change in changes
            if change.went is not None and change.row.action == "remove"}  # fmt: skip
    names = tuple(dict.fromkeys((*stands_for, part.name)))
    comes_off = any(name in gone for name in names) and not any(name in aboard for name in names)
    among = gone if comes_off else aboard
    found = tuple(name for name in names if name in among)
    old = combine([among[name] for name in found], "what it stands for") if found else None
    item = part.item
    sign = -1.0 if comes_off else 1.0
    mass = loading.mass + sign * (float(item.mass) - (float(old.mass) if old else 0.0))
    moment = loading.mass * loading.cg + sign * (item.moment - (old.moment if old else 0.0))
    loading = replace(loading, mass=mass, cg=moment / mass)
    if comes_off:
        return Aboard(loading, found, old, "", "", comes_off)
    loading, body = _with_body(loading, part)
    loading, room = _with_room(loading, part)
    return Aboard(loading, found, old, body, room)


def _with_body(loading: Loading, part: Part) -> tuple[Loading, str]:
    """The part's body among those that float her, and the name of the one that gave way to it."""
    if part.body is None:
        return loading, ""
    name = _same_body(part.body, {n: solid for n, solid in loading.solids.items() if n != HULL})
    solids = {**loading.solids, name or part.name: part.body}
    spaces = dict(loading.spaces)
    if name in spaces:
        spaces[name] = replace(spaces[name], solid=part.body)
    return replace(loading, solids=solids, spaces=spaces), name


def _with_room(loading: Loading, part: Part) -> tuple[Loading, str]:
    """The part's room in the place of the tank that it takes; one that takes none's place stays empty."""
    name = _same_body(part.holds, {tank.name: tank.solid for tank in loading.tanks})
    if not name or part.holds is None:
        return loading, ""
    old = next(tank.solid for tank in loading.tanks if tank.name == name)
    lip = part.lip if isinstance(part, Livewell) else None
    tanks = tuple(_filled_alike(tank, part.holds, lip) if tank.name == name else tank for tank in loading.tanks)
    tight = tuple(part.holds if solid is old else solid for solid in loading.tight_tanks)
    return replace(loading, tanks=tanks, tight_tanks=tight), name


def _filled_alike(tank: Tank, room: Solid, lip: np.ndarray | None) -> Tank:
    if tank.level_at is None:
        return replace(tank, solid=room)
    return replace(tank, solid=room, level_at=tank.level_at if lip is None else lip)


def _same_body(body: Solid | None, bodies: Mapping[str, Solid]) -> str:
    """The name of the body that shares most with `body`, and most of its volume; "" where there is none."""
    if body is None:
        return ""
    shares = {name: 0.0 if (part := common_part(body, other)) is None else part.volume / min(body.volume, other.volume)
              for name, other in bodies.items()}  # fmt: skip
    name = max(shares, key=lambda one: shares[one], default="")
    return name if name and shares[name] > MOSTLY else ""


def _bracket(boat: Boat, part: Bracket, aboard: Aboard, state: BoatState) -> BracketAfloat:
    normal, offset = state.plane
    intact = part.net_lift(normal, offset, boat.water_density)
    openings = part.opening_heights(normal, offset)
    if part.body is None:
        return BracketAfloat(intact, None, "", openings, {}, 0.0, np.nan)
    name = aboard.body or part.name
    opened = replace(
        aboard.loading,
        spaces={**aboard.loading.spaces, name: Space(name, part.body)},
        held_open=tuple(dict.fromkeys((*aboard.loading.held_open, name))),
    )
    flooded, sinks = None, ""
    try:
        flooded = float_loading(opened, shut=True)
    except NoEquilibriumError as problem:
        sinks = str(problem)
    leaks = {opening: part.litres_below(opening, normal) for opening in openings}
    return BracketAfloat(intact, flooded, sinks, openings, leaks, overlap(boat.hull, part.body), _gap(boat, part.body))


def _gap(boat: Boat, body: Solid) -> float:
    """How far aft of the transom's plane the body begins [m], along x; negative where it reaches into it."""
    x, z = body.vertices[:, 0], body.vertices[:, 2]
    return float(-np.max(x + z * np.tan(boat.hull.transom_rake)))


def stern_deeper(one: BoatState, other: BoatState) -> float:
    """How much deeper the stern floats in `other` than in `one` [m]: water above the keel line at the transom."""
    return stern_height(other) - stern_height(one)
