"""A day on the water as a list of steps: who comes and goes, what is filled and dumped, how far she runs.

A step is an event, a leg, or both: first people come, go and move and tanks are set, then she runs; fuel burns and
amounts change evenly along the leg. Nothing here knows a tank's size: litres come from `Burn`, tanks from the plan.
"""

from __future__ import annotations

import difflib
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

from hullcalc.boats.conditions import Condition
from hullcalc.weights.items import MassItem

FUEL_USES = frozenset({"fuel", "gasoline", "petrol", "gas", "diesel"})  # words in the use of a tank that feeds engines
NO_BURN = (
    "Fill in burn_per_nm_l or burn_per_hour_l (0 with the engine off), or write per_nm_l = 1.5 and per_hour_l = 8 "
    "under [burn] in boat.toml"
)
LEAST_LEFT = 1e-9  # kg: as good as nothing


@dataclass(frozen=True)
class Burn:
    """What the engine burns and what is not to be burnt; volumes in m³, None where nobody said."""

    per_nm: float | None = None  # m³ a nautical mile, at the speed she is run
    per_hour: float | None = None  # m³ an hour, trolling or idling
    unusable: float = 0.0  # m³ that the pickups leave in the tanks
    reserve: float = 0.0  # m³ kept back beside the tenth, by the rule of a tenth and a reserve
    head_sea: float = 1.2  # times the fuel a mile against the sea


@dataclass(frozen=True, eq=False)
class Step:
    """One row of a trip. `moves` are pairs (who, whose place), `changes` pairs (thing, kg along the step)."""

    name: str
    row: int = 0
    nm: float = 0.0
    hours: float = 0.0
    timed: bool = True  # False for a run of which nobody said how long it takes
    burnt: float = 0.0  # m³ along the leg
    burn_from: str = ""  # the tank it is drawn from; "": all fuel tanks, in proportion to what is in them
    aboard: tuple[str, ...] = ()
    ashore: tuple[str, ...] = ()
    moves: tuple[tuple[str, str], ...] = ()
    changes: tuple[tuple[str, float], ...] = ()
    fills: Mapping[str, float] = field(default_factory=dict)  # tank or use -> fraction, set at the start of the step
    condition: str = ""  # she starts in; first step only

    @property
    def is_leg(self) -> bool:
        """Does she run, or lie while time goes by?"""
        return self.nm > 0 or self.hours > 0


@dataclass(frozen=True, eq=False)
class Trip:
    """A named day out."""

    name: str
    steps: tuple[Step, ...]
    file: str = ""

    @property
    def nm(self) -> float:
        """Nautical miles in all."""
        return sum(step.nm for step in self.steps)

    @property
    def burnt(self) -> float:
        """Fuel in all [m³]."""
        return sum(step.burnt for step in self.steps)


@dataclass(frozen=True)
class Slip:
    """What is wrong with a step: its row and column, what was read, what was expected and how to mend it."""

    row: int
    column: str
    read: str
    expected: str
    mend: str


@dataclass(frozen=True)
class Scene:
    """What is aboard [kg by name] once people have come and gone, and at the end of the leg."""

    start: Mapping[str, float]
    end: Mapping[str, float]


def replay(
    steps: Sequence[Step], people: Mapping[str, MassItem], conditions: Mapping[str, Condition]
) -> tuple[list[Scene], list[Slip]]:
    """Who and what is aboard along the steps, and all that cannot be: a slip is left out and the rest goes on."""
    things: dict[str, float] = {}
    scenes: list[Scene] = []
    slips: list[Slip] = []
    for number, step in enumerate(steps):

        def slip(column: str, read: str, expected: str, mend: str, row: int = step.row) -> None:
            slips.append(Slip(row, column, read, expected, mend))

        if step.condition and number:
            slip(
                "condition",
                step.condition,
                "only the first row says which condition she starts in",
                "Leave it empty here, and say who comes, who goes and what is filled",
            )
        elif step.condition and step.condition not in conditions:
            slip("condition", step.condition, "no condition is called so", _near(step.condition, conditions))
        elif step.condition:
            things = {n: float(people[n].mass) for n in conditions[step.condition].aboard if n in people}
        for name in step.ashore:
            if things.pop(name, None) is None:
                slip("ashore", name, f"{name} is not aboard then", _near(name, things))
        for name in step.aboard:
            if name not in people:
                slip("aboard", name, "no person or store is called so", _near(name, people))
            elif name in things:
                slip("aboard", name, f"{name} is aboard already", "Take one out")
            else:
                things[name] = float(people[name].mass)
        _move(step, things, people, slip)
        start = dict(things)
        for name, kg in step.changes:
            if name not in people:
                slip("changes", name, "no person or store is called so", _near(name, people))
                continue
            if not people[name].mass > 0:
                mend = "Give it a mass in people.csv: there its place is kept, and the trip says how much there is"
                slip("changes", name, f"{name} weighs nothing in people.csv, so it has no place", mend)
                continue
            left = things.get(name, 0.0) + kg
            if left < -LEAST_LEFT:
                there = f"{things[name]:.0f} kg of {name} are aboard" if name in things else f"{name} is not aboard"
                slip("changes", f"{name} {kg:g} kg", f"{there} then", "Take off no more than there is")
                continue
            things[name] = max(left, 0.0)
        scenes.append(Scene(start, dict(things)))
        things = {name: kg for name, kg in things.items() if kg > LEAST_LEFT}
    return scenes, slips


def _move(step: Step, things: dict[str, float], people: Mapping[str, MassItem], slip) -> None:  # type: ignore[no-untyped-def]
    """All moves of a step at once, so that two may change places; each takes its own weight along."""
    leaving = {who for who, _ in step.moves}
    for who, place in step.moves:
        said = f"{who} to {place}"
        if place not in people:
            slip("moves", said, f"no place is called {place!r}", _near(place, people))
        elif who not in things:
            slip("moves", said, f"{who} is not aboard then", _near(who, things))
        elif place in things and place not in leaving:
            slip("moves", said, f"somebody stands in the place of {place} already", "Move that one first")
    sound = [(w, p) for w, p in step.moves if w in things and p in people and (p not in things or p in leaving)]
    carried = [(place, things.pop(who)) for who, place in sound]
    things |= dict(carried)


def crewed(trip: Trip, conditions: Mapping[str, Condition], come: Sequence[str] = (), stay: Sequence[str] = ()) -> Trip:
    """The trip with others aboard from its first step on (`come`), and without some who come then (`stay`).

    Who stays takes no part in any later step either, wherever he would have moved.
    """
    away = set(stay)
    steps = []
    for number, step in enumerate(trip.steps):
        aboard = tuple(name for name in step.aboard if name not in away)
        ashore = tuple(name for name in step.ashore if name not in away)
        if number == 0:
            there = conditions[step.condition].aboard if step.condition in conditions else ()
            ashore += tuple(name for name in there if name in away)
            aboard += tuple(name for name in come if name not in aboard)
        changes = tuple(change for change in step.changes if change[0] not in away)
        moves = tuple(move for move in step.moves if move[0] not in away)
        left = [move for move in step.moves if move[0] in away]
        away = (away - {who for who, _ in left}) | {place for _, place in left}
        steps.append(replace(step, aboard=aboard, ashore=ashore, moves=moves, changes=changes))
    return replace(trip, steps=tuple(steps))


def _near(name: str, among: Collection[str]) -> str:
    near = difflib.get_close_matches(name, list(among), n=1)
    if near:
        return f"Did you mean {near[0]}?"
    return f"There are: {', '.join(among)}" if among else "Nobody is aboard"
