"""A trip put into numbers for one plan: the load and the fill of every tank at many points along the day.

Each step has points from its start (people and tanks as its row says) to its end (fuel burnt, amounts changed); legs
are cut finely enough that a line through the points is as good as the curve. Boat frame, SI.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.conditions import Condition
from hullcalc.boats.many import ManyFloats, float_added
from hullcalc.boats.presence import present
from hullcalc.boats.rounds import Loading
from hullcalc.boats.spaces import BoatTank
from hullcalc.boats.trips import FUEL_USES, NO_BURN, Scene, Step, Trip, replay
from hullcalc.errors import InputError
from hullcalc.weights.items import MassItem

PER_POINT = 0.004  # m³ of fuel, or
KG_PER_POINT = 4.0  # kg of change, that one piece of a leg may take
MOST_PIECES = 80
DRY = 1e-9  # m³


@dataclass(frozen=True, eq=False)
class Along:
    """n points along a trip in one plan; arrays (n,) unless said."""

    boat: Boat
    plan: AnyPlan
    trip: Trip
    condition: Condition  # she starts in, after the first row's people and fills
    loading: Loading  # of that condition
    step: np.ndarray  # index of the step
    nm: np.ndarray
    hours: np.ndarray
    burnt: np.ndarray  # m³ since the start
    fuel: np.ndarray  # m³ in all fuel tanks
    fills: Mapping[str, np.ndarray]  # tank -> fraction; nan: level with its standpipe's lip
    things: tuple[Mapping[str, float], ...]  # n of them: kg aboard by name
    loads: np.ndarray  # (n, 4) what is aboard beside `loading`: mass and moments

    @property
    def timed(self) -> bool:
        """Is it known of every leg how long it takes?"""
        return all(step.timed for step in self.trip.steps)

    def float(self, threads: int | None = None) -> ManyFloats:
        """All points floated, spaces shut."""
        fills = {name: fill for name, fill in self.fills.items() if not np.all(np.isnan(fill))}
        return float_added(self.loading, self.loads, fills, threads=threads)

    def at(self, k: int) -> tuple[Boat, Condition]:
        """One point as a boat and a condition of its own, for everything that asks for those.

        The boat's people weigh what they weigh then: a catch as much as has been caught.
        """
        people = dict(self.boat.people)
        for name, kg in self.things[k].items():
            people[name] = _scaled(people[name], kg)
        at = {name: float(fill[k]) for name, fill in self.fills.items()}
        return replace(self.boat, people=people), Condition(
            self.name_of(k),
            {name: fill for name, fill in at.items() if not np.isnan(fill)},
            tuple(self.things[k]),
            self.condition.open,
            tuple(name for name, fill in at.items() if np.isnan(fill)),
        )

    def name_of(self, k: int) -> str:
        """The step at a point, and whether it is its start or its end."""
        step = self.trip.steps[self.step[k]]
        if not step.is_leg:
            return step.name
        (here,) = np.nonzero(self.step == self.step[k])
        if k in (here[0], here[-1]):
            return f"{'start' if k == here[0] else 'end'} of {step.name}"
        return f"{step.name}, under way"


def along(boat: Boat, plan: AnyPlan, trip: Trip, fuel: float | None = None) -> Along:
    """Points along a trip.

    Parameters
    ----------
    fuel : float, optional
        Litres at the start [m³] in place of those the trip starts with, spread over the fuel tanks in proportion to
        their size.

    Raises
    ------
    InputError
        If the trip has no steps, the plan has no fuel tank though fuel is burnt, more is asked into the tanks than they
        hold, or a leg needs more fuel than is left.
    """
    if not trip.steps:
        raise InputError(f"{trip.file or trip.name}: the trip has no steps; write a row for each leg and event")
    tanks = present(boat.tanks, boat.packages_on(plan))
    scenes, slips = replay(trip.steps, boat.people, boat.conditions)
    if slips:
        worst = slips[0]
        raise InputError(f"{trip.file or trip.name} row {worst.row} {worst.column}: {worst.expected}. {worst.mend}")
    first = boat.conditions.get(trip.steps[0].condition, Condition(""))
    volumes = _start(tanks, first)
    rows = []
    nm = hours = burnt = 0.0
    for number, (step, scene) in enumerate(zip(trip.steps, scenes, strict=True)):
        volumes = _set(volumes, tanks, step)
        if number == 0 and fuel is not None:
            volumes |= _spread(tanks, fuel)
        drawn = _draw(volumes, tanks, step, trip, boat.burn.unusable)
        pieces = _pieces(step, scene)
        for share in np.linspace(0, 1, pieces + 1):
            now = {name: volume - share * drawn.get(name, 0.0) for name, volume in volumes.items()}
            rows.append(
                (
                    number,
                    nm + share * step.nm,
                    hours + share * step.hours,
                    burnt + share * step.burnt,
                    now,
                    _between(scene, share),
                )
            )
        volumes = {name: volume - drawn.get(name, 0.0) for name, volume in volumes.items()}
        nm, hours, burnt = nm + step.nm, hours + step.hours, burnt + step.burnt
    on = boat.packages_on(plan)
    gone = {name for name, presence in boat.stowage.items() if not presence.holds(on)}
    step_of, nms, times, burnts, contents, things = zip(*rows, strict=True)
    things = tuple({name: kg for name, kg in now.items() if name not in gone} for now in things)
    fills = {name: np.array([c[name] for c in contents]) / tank.solid.volume for name, tank in tanks.items()}
    fills = {name: np.clip(fill, 0.0, 1.0) for name, fill in fills.items()}
    feeding = [name for name, tank in tanks.items() if is_fuel(tank)]
    condition = Condition(
        trip.name, {n: float(f[0]) for n, f in fills.items() if not np.isnan(f[0])}, tuple(things[0]), first.open,
        tuple(n for n, f in fills.items() if np.isnan(f).any()),
    )  # fmt: skip
    loading = boat.loading(plan, condition)
    return Along(
        boat, plan, trip, condition, loading, np.array(step_of), np.array(nms), np.array(times), np.array(burnts),
        np.array([sum(c[name] for name in feeding) for c in contents]), fills, things,
        np.array([_load(boat.people, now) - _load(boat.people, dict.fromkeys(things[0])) for now in things]),
    )  # fmt: skip


def fuel_room(boat: Boat, plan: AnyPlan) -> float:
    """What the fuel tanks of a plan hold [m³]."""
    return sum(t.solid.volume for t in present(boat.tanks, boat.packages_on(plan)).values() if is_fuel(t))


def is_fuel(tank: BoatTank) -> bool:
    """Does the tank feed the engine, by the word for its use?"""
    return bool(FUEL_USES & set(tank.use.casefold().replace("_", " ").split()))


def _start(tanks: Mapping[str, BoatTank], said: Condition) -> dict[str, float]:
    """Content of each tank [m³] as the condition says; nan at a standpipe's lip, nothing where nothing is said."""
    return {
        name: np.nan
        if said.stands_at_lip(name, tank.use)
        else (said.fill_of(name, tank.use) or 0.0) * tank.solid.volume
        for name, tank in tanks.items()
    }


def _set(volumes: Mapping[str, float], tanks: Mapping[str, BoatTank], step: Step) -> dict[str, float]:
    return {
        name: volumes[name]
        if (fill := step.fills.get(name, step.fills.get(tank.use))) is None
        else fill * tank.solid.volume
        for name, tank in tanks.items()
    }


def _spread(tanks: Mapping[str, BoatTank], fuel: float) -> dict[str, float]:
    room = {name: tank.solid.volume for name, tank in tanks.items() if is_fuel(tank)}
    total = sum(room.values())
    if not 0 <= fuel <= total:
        raise InputError(
            f"{1000 * fuel:.0f} L of fuel: her tanks hold {1000 * total:.0f} L in this plan; ask for 0 to that"
        )
    return {name: fuel * volume / total for name, volume in room.items()} if total else {}


def _draw(
    volumes: Mapping[str, float], tanks: Mapping[str, BoatTank], step: Step, trip: Trip, unusable: float
) -> dict[str, float]:
    """What a leg takes from each tank [m³]: all alike in proportion to what is in them, or one by name."""
    where = f"{trip.file or trip.name} row {step.row}, {step.name}"
    if math.isnan(step.burnt):
        raise InputError(f"{where}: nothing says what she burns here. {NO_BURN}")
    if not step.burnt > 0:
        return {}
    feeding = [name for name, tank in tanks.items() if is_fuel(tank)]
    if step.burn_from:
        if step.burn_from not in tanks:
            raise InputError(
                f"{where}: burns from {step.burn_from}, which is not there in this plan; name another tank"
            )
        feeding = [step.burn_from]
    if not feeding:
        raise InputError(f"{where}: burns fuel, and no tank for fuel is there in this plan; add one to tanks.csv")
    left = sum(volumes[name] for name in feeding)
    usable = left - (0.0 if step.burn_from else unusable)
    if step.burnt > usable + DRY:
        kept = f", {1000 * unusable:.0f} L of it unusable" if unusable and not step.burn_from else ""
        raise InputError(
            f"{where}: needs {1000 * step.burnt:.0f} L, and {1000 * left:.0f} L are left{kept}: "
            f"{1000 * (step.burnt - usable):.0f} L short. Start with more, or shorten the trip"
        )
    return {name: step.burnt * volumes[name] / left for name in feeding}


def _pieces(step: Step, scene: Scene) -> int:
    if not step.is_leg and scene.start == scene.end:
        return 1
    changed = sum(abs(scene.end.get(n, 0.0) - scene.start.get(n, 0.0)) for n in {*scene.start, *scene.end})
    return int(np.clip(np.ceil(max(step.burnt / PER_POINT, changed / KG_PER_POINT)), 1, MOST_PIECES))


def _between(scene: Scene, share: float) -> dict[str, float]:
    names = dict.fromkeys([*scene.start, *scene.end])
    at = {n: (1 - share) * scene.start.get(n, 0.0) + share * scene.end.get(n, 0.0) for n in names}
    return {name: kg for name, kg in at.items() if kg > 0}


def _load(people: Mapping[str, MassItem], things: Mapping[str, float | None]) -> np.ndarray:
    """Mass and moments of what is aboard; None stands for the mass in people.csv."""
    total = np.zeros(4)
    for name, kg in things.items():
        item = people[name]
        whole = item.load
        total += whole if kg is None else whole * (kg / item.mass if kg else 0.0)
    return total


def _scaled(item: MassItem, kg: float) -> MassItem:
    """The same thing at another mass; its uncertainties grow and shrink with it."""
    share = kg / float(item.mass) if kg else 0.0
    return MassItem(
        item.name, item.mass * share, item.moment * share, item.basis,
        {cause: change * share for cause, change in item.sources.items()}, item.shift * share,
    )  # fmt: skip
