"""The boat: what her folder says, put together for any plan and load condition.

Boat frame, SI. A plan is a name or any choice of packages; a condition is a name or a Condition of one's own.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from hullcalc.boats.afloat import BoatState, float_loading
from hullcalc.boats.conditions import Condition
from hullcalc.boats.crew import Crew
from hullcalc.boats.ledger import Change, Ledger, Tally, Thing
from hullcalc.boats.marks import Mark
from hullcalc.boats.moves import Freedom, Work
from hullcalc.boats.presence import Presence, present
from hullcalc.boats.readings import Readings
from hullcalc.boats.rounds import Loading
from hullcalc.boats.spaces import BoatTank, Pod, Space
from hullcalc.boats.trips import Burn, Trip
from hullcalc.errors import InputError, Problem, require
from hullcalc.floating.tanks import Tank
from hullcalc.geometry.solid import Solid
from hullcalc.measuring.stations import Hull
from hullcalc.weights.items import MassItem, combine, remove

HULL = "hull"
AnyPlan = str | Iterable[str]
AnyCondition = str | Condition
Number = float  # a class with a method called float needs another name for the type


@dataclass(frozen=True)
class Plan:
    """A named choice of packages; "as found" is the one with none."""

    name: str
    packages: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class AboardAtWeighing:
    """Something aboard when she was weighed that is no part of the boat.

    With a `tank`: taken off by a condition that says how full that tank is. Without: always taken off.
    """

    thing: Thing
    tank: str = ""


@dataclass(frozen=True, eq=False)
class Boat:
    """A boat as read from her folder; see `folder.read_boat`."""

    name: str
    title: str
    invented: bool
    folder: Path
    water_density: Number
    hull: Hull
    as_found: MassItem  # with all that was aboard when she was weighed
    ledger: Ledger
    solids: tuple[Pod, ...]
    tanks: tuple[BoatTank, ...]
    spaces: tuple[Space, ...]
    all_marks: tuple[Mark, ...]
    people: Mapping[str, MassItem]  # and stores
    plans: Mapping[str, Plan]
    conditions: Mapping[str, Condition]
    exclusive: tuple[tuple[str, ...], ...] = ()
    stowage: Mapping[str, Presence] = field(default_factory=dict)  # of people and stores not there in every plan
    at_weighing: tuple[AboardAtWeighing, ...] = ()
    readings: tuple[Readings, ...] = ()
    trips: Mapping[str, Trip] = field(default_factory=dict)
    burn: Burn = field(default_factory=Burn)
    works: Mapping[str, Work] = field(default_factory=dict)  # what a package takes, by its name
    freedoms: tuple[Freedom, ...] = ()  # what may be moved, raised or resized, see moves.csv
    currency: str = ""  # of all costs
    crew: Crew = field(default_factory=Crew)
    looks_level: Number | None = None  # trim of the keel run at which she looks level to the eye [rad], bow up
    u_hull: Number = 0.0  # standard uncertainty at a mark from the hull's shape [m]
    u_water: Number = 0.0  # standard uncertainty of the water's density [kg/m³]
    measured: Mapping[str, Any] = field(default_factory=dict)  # trailer and weighing, as typed
    remarks: tuple[Problem, ...] = ()  # what is worth a look but no fault
    checked: str = ""  # such as "0 to mend, 2 to look at, 57 fine"

    @property
    def marks(self) -> dict[str, Mark]:
        """All marks by name, each at its first position in the file."""
        return {mark.name: mark for mark in reversed(self.all_marks)}

    @property
    def packages(self) -> tuple[str, ...]:
        """Names of all packages, in the order of the ledger."""
        return self.ledger.packages

    def packages_on(self, plan: AnyPlan) -> frozenset[str]:
        """The packages of a plan; an InputError for an unknown name or for packages that exclude each other."""
        if isinstance(plan, str):
            return frozenset(_known(plan, self.plans, "plan").packages)
        on = frozenset(plan)
        among = dict.fromkeys(self.packages)
        for package in sorted(on):
            _known(package, among, "package")
        for group in self.exclusive:
            both = [p for p in group if p in on]
            if len(both) > 1:
                raise InputError(f"packages {both[0]!r} and {both[1]!r} exclude each other; switch one of them off")
        return on

    def condition(self, condition: AnyCondition) -> Condition:
        """A condition by name, or the one given."""
        return _known(condition, self.conditions, "condition") if isinstance(condition, str) else condition

    def marks_in(self, plan: AnyPlan) -> dict[str, Mark]:
        """The marks there are in a plan, where they are in it."""
        return present(self.all_marks, self.packages_on(plan))

    def solids_in(self, plan: AnyPlan) -> dict[str, Solid]:
        """The bodies that float her, hull first."""
        pods = present(self.solids, self.packages_on(plan))
        return {HULL: self.hull.solid} | {name: pod.solid for name, pod in pods.items() if not pod.inside}

    def spaces_in(self, plan: AnyPlan) -> dict[str, Space]:
        """The spaces that water may enter, pods with openings among them."""
        on = self.packages_on(plan)
        pods = present(self.solids, on)
        return present(self.spaces, on) | {name: pod.as_space for name, pod in pods.items() if pod.openings}

    def tanks_in(self, plan: AnyPlan, condition: AnyCondition | None = None) -> tuple[Tank, ...]:
        """The tanks of a plan, filled as the condition says; a tank of which it says nothing is empty."""
        said = Condition("") if condition is None else self.condition(condition)
        tanks = present(self.tanks, self.packages_on(plan)).values()
        return tuple(
            tank.filled_to_lip() if said.stands_at_lip(tank.name, tank.use)
            else tank.filled(said.fill_of(tank.name, tank.use) or 0.0)
            for tank in tanks if not {tank.name, tank.use} & set(said.open)
        )  # fmt: skip

    def changes(self, plan: AnyPlan) -> tuple[Change, ...]:
        """What each row of the ledger changes in a plan, in the order of the file."""
        return self.ledger.apply(self.packages_on(plan))[0]

    def tally(self, plan: AnyPlan) -> Tally:
        """Removed, added, net and sum of absolute changes of a plan [kg]."""
        return self.ledger.tally(self.packages_on(plan))

    def weight(self, plan: AnyPlan, condition: AnyCondition | None = None) -> MassItem:
        """Mass and moment of the boat in a plan, without liquids in tanks.

        Without a condition: the boat as found with the plan's changes. With one: people and stores too, and what was
        left in a tank when she was weighed taken off where the condition says how full that tank is.
        """
        on = self.packages_on(plan)
        said = None if condition is None else self.condition(condition)
        name = plan if isinstance(plan, str) else " + ".join(sorted(on)) or "as found"
        taken, carried = self._items(on, said)
        return combine([*carried, *map(remove, taken)], f"{name}, {said.name}" if said else name)

    def _items(self, on: frozenset[str], said: Condition | None) -> tuple[list[MassItem], list[MassItem]]:
        """What the condition takes off, and what the weight is otherwise made of: as found, changes, people, stores."""
        changes, aboard = self.ledger.apply(on)
        carried = [self.as_found, *(change.item for change in changes)]
        carried += self.carried_in(said, on) if said else []
        return [aboard[name].item for name in self.taken_off(on, said) if name in aboard], carried

    def carried_in(self, condition: AnyCondition, plan: AnyPlan) -> list[MassItem]:
        """People and stores of a condition, but for those whose place the plan does not have (an ice box left out)."""
        on = self.packages_on(plan)
        named = [(name, _known(name, self.people, "person or store")) for name in self.condition(condition).aboard]
        return [item for name, item in named if name not in self.stowage or self.stowage[name].holds(on)]

    def taken_off(self, plan: AnyPlan, condition: Condition | None) -> list[str]:
        """Names of what was aboard when she was weighed and is no part of her load now, if it is still there."""
        tanks, taken = present(self.tanks, self.packages_on(plan)), []
        for was in self.at_weighing:
            tank = tanks.get(was.tank)
            refilled = tank is not None and condition is not None and condition.sets(tank.name, tank.use)
            if refilled or not was.tank:
                taken.append(was.thing.name)
        return taken

    def loading(self, plan: AnyPlan, condition: AnyCondition) -> Loading:
        """Everything that floating needs: weight, tanks, bodies, spaces, marks."""
        said = self.condition(condition)
        on = self.packages_on(plan)
        taken, carried = self._items(on, said)
        mass = sum(float(i.mass) for i in carried) - sum(float(i.mass) for i in taken)
        moment = sum(i.moment for i in carried) - sum((i.moment for i in taken), start=np.zeros(3))
        require(mass > 0, "mass of the boat", mass, "kg", "must be positive", "do the removals outweigh the boat?")
        spaces, tanks, pods = self.spaces_in(plan), present(self.tanks, on), present(self.solids, on)
        may_open = {name: pod.as_space for name, pod in pods.items()} | spaces
        may_open |= {name: Space(name, tank.solid) for name, tank in tanks.items()}
        held = [name for wanted in said.open for name in self._named(wanted) if name in may_open]
        return Loading(
            mass=mass,
            cg=moment / mass,
            density=self.water_density,
            solids=self.solids_in(plan),
            tanks=self.tanks_in(plan, said),
            spaces=spaces | {name: may_open[name] for name in held},
            held_open=tuple(dict.fromkeys(held)),
            tight_tanks=tuple(tank.solid for tank in tanks.values()),
            tight_inside={name: (pod.inside, pod.solid) for name, pod in pods.items() if pod.inside},
            marks=self.marks_in(plan),
        )

    def _named(self, wanted: str) -> tuple[str, ...]:
        """The spaces, solids and tanks that a name to hold open stands for; a tank's use stands for all of that use."""
        tanks = [tank.name for tank in self.tanks if wanted in (tank.name, tank.use)]
        bodies = {
            name: (name,) for name in (*(pod.name for pod in self.solids), *(space.name for space in self.spaces))
        }
        return _known(wanted, bodies | ({wanted: tuple(tanks)} if tanks else {}), "space, solid or tank to hold open")

    def float(self, plan: AnyPlan, condition: AnyCondition, shut: bool = False) -> BoatState:
        """Float her in a plan and condition, with spaces opened to the sea as their openings go under.

        `shut=True` keeps every space shut but those that the condition holds open: one round. See `afloat`.

        Raises
        ------
        InputError
            For a plan, package, condition or person that is not known.
        NoEquilibriumError
            If she sinks; the message says in which round.
        """
        return float_loading(self.loading(plan, condition), shut)


def _known(name: str, among: Mapping[str, Any], what: str) -> Any:
    if name in among:
        return among[name]
    near = difflib.get_close_matches(str(name), list(among), n=1)
    hint = f"did you mean {near[0]!r}?" if near else f"there are: {', '.join(map(repr, among))}"
    raise InputError(f"no {what} is called {name!r}; {hint}")
