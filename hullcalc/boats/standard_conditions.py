"""Load conditions made by rule from what the folder says of crew, places, stores and tanks; each says whose list it is.

The light craft and maximum load conditions follow published lists; the others are this project's own (common practice,
no source). People stand and sit at the places of seats.csv, one person a place; they weigh what the list says, exactly.
The yard's own conditions stay as they are, and one of them that bears a name used here goes before it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from hullcalc.boats.boat import Boat
from hullcalc.boats.conditions import Condition
from hullcalc.boats.crew import Place
from hullcalc.weights.items import MassItem, item

# kg; ISO 14946:2021 (crew 75 kg, child 37.5 kg); ISO 12217-3:2013 and the UK code for small commercial vessels, 11.4,
# have the same person
PERSON, CHILD = 75.0, 37.5
FULL = 0.95  # ISO 14946:2021, clause 5: fixed tanks at 95 %, bait tanks and livewells among them
HALF, LOW = 0.50, 0.10  # common practice, no source
MOST_AT_THE_STERN = 4
OWN_LIST = "this project's own list (common practice, no source)"
LIGHT_LIST = (
    "ISO 12217-3:2013, light craft condition: empty craft with its standard equipment, the heaviest engine it is meant "
    "for in working position, batteries in their places"
)
MAXIMUM_LIST = (
    "ISO 14946:2021, clause 5, and ISO 12217-3:2013, maximum load: crew at 75 kg each with their effects, stores, all "
    "fixed tanks at 95 %, livewells among them, ballast water at 100 %"
)
SIDE_LIST = (
    "UK code for small commercial vessels, 11.4 (edition not shown where it was read): fully loaded, all people to one "
    "side, 75 kg each"
)
LIGHT, MAXIMUM, DOCK = "light craft (ISO)", "maximum load (ISO)", "at the dock"
DEPARTING, ARRIVING, FAMILY, WELL = "departing", "arriving", "family departing", "livewell full"
SIDES = {"port": 1.0, "starboard": -1.0}
NUMBERS = ("nobody", "one", "two", "three", "four")
NEEDS_SEATS = "Write seats.csv (place, x_m, y_m, z_m, posture, use) and [crew] number in boat.toml"


@dataclass(frozen=True)
class Standard:
    """One condition made by rule: whose list it follows, and what it was made of here, in words."""

    source: str
    made_of: str


@dataclass(frozen=True, eq=False)
class StandardConditions:
    """A boat with the standard conditions beside her own: `lists` by condition; `missing` says what could not be made.

    `of_the_yard` are the names of her own conditions.
    """

    boat: Boat
    lists: Mapping[str, Standard]
    missing: tuple[str, ...]
    of_the_yard: tuple[str, ...]


def with_standard_conditions(boat: Boat) -> StandardConditions:
    """The boat with all conditions that can be made from what her folder says; what lacks is said in `missing`."""
    maker = _Maker(boat)
    maker.make()
    conditions = dict(boat.conditions) | {n: c for n, c in maker.conditions.items() if n not in boat.conditions}
    wider = replace(boat, people=dict(boat.people) | maker.people, conditions=conditions)
    lists = {name: listed for name, listed in maker.lists.items() if name not in boat.conditions}
    return StandardConditions(wider, lists, tuple(dict.fromkeys(maker.missing)), tuple(boat.conditions))


def kind_of_use(use: str) -> str:
    """What a tank's use amounts to here: "fuel", "livewell", "ballast" or "other"."""
    words = set(use.casefold().replace("_", " ").split())
    if words & {"fuel", "gasoline", "petrol", "gas", "diesel"}:
        return "fuel"
    if words & {"livewell", "baitwell", "well", "bait"}:
        return "livewell"
    return "ballast" if "ballast" in words else "other"


def people_at(places: Iterable[Place], mass: float = PERSON) -> dict[str, MassItem]:
    """One person of that mass [kg] at each place, by name; mass and place are a rule's, so without uncertainty."""
    who = "child" if mass < PERSON else "person"
    return {
        name: item(name, mass, place.centre, "table", u_mass=0.0, u_place=np.zeros(3))
        for place in places
        for name in [f"{who} {mass:g} kg, {place.name}"]
    }


@dataclass
class _Maker:
    boat: Boat
    people: dict[str, MassItem] = field(default_factory=dict)
    conditions: dict[str, Condition] = field(default_factory=dict)
    lists: dict[str, Standard] = field(default_factory=dict)
    missing: list[str] = field(default_factory=list)

    def make(self) -> None:
        crew = self.boat.crew
        self._add(LIGHT, LIGHT_LIST, {}, (), "all tanks empty, nobody aboard, the plan's own engine and batteries")
        self._add(DOCK, OWN_LIST, {"fuel": HALF}, (), "fuel 50 %, livewell empty, nobody and no stores aboard")
        if "livewell" in map(kind_of_use, self._uses):
            self._add(WELL, OWN_LIST, {"livewell": FULL}, (), "livewell 95 %, other tanks empty, nobody aboard")
        sailing = self._crew(crew.places_for("helm", "crew", "child"), "under way")
        if sailing is None:
            return
        stores, many = list(crew.departing), f"{len(sailing)} people at 75 kg in their places"
        full = dict.fromkeys(("fuel", "livewell", "other"), FULL)
        gone = {"fuel": FULL, "livewell": 0.0, "other": FULL}
        effects = self._effects(sailing)
        brought = f" with {crew.effects:g} kg of effects each" if effects else ""
        aboard = [*self._persons(sailing), *effects, *stores]
        self._add(MAXIMUM, MAXIMUM_LIST, full | {"ballast": 1.0}, aboard, f"{many}{brought}, stores, all tanks 95 %")
        aboard = [*self._persons(sailing), *stores]
        self._add(DEPARTING, OWN_LIST, gone, aboard, f"{many}, stores, fuel 95 %, livewell empty")
        aboard = [*self._persons(sailing), *crew.arriving]
        self._add(
            ARRIVING, OWN_LIST, {"fuel": LOW, "livewell": 0.0, "other": LOW}, aboard,
            f"{many}, what is aboard arriving, fuel 10 %, livewell empty",
        )  # fmt: skip
        self._family(gone, stores)
        self._stern(full, stores)
        for side in SIDES:
            self._one_side(side, full, stores)

    def _family(self, fills: Mapping[str, float], stores: Sequence[str]) -> None:
        crew = self.boat.crew
        adults, children = crew.places_for("helm", "crew")[:2], crew.places_for("child")[:2]
        if len(adults) < 2 or not children:
            self.missing.append(
                f"{FAMILY}: seats.csv needs two places of use helm or crew and one of use child; add rows"
            )
            return
        aboard = [*self._persons(adults), *self._persons(children, CHILD), *stores]
        kids = "a child" if len(children) == 1 else "two children"
        self._add(
            FAMILY, OWN_LIST, fills, aboard,
            f"two adults at 75 kg, {kids} at 37.5 kg, stores, fuel 95 %, livewell empty",
        )  # fmt: skip

    def _stern(self, fills: Mapping[str, float], stores: Sequence[str]) -> None:
        number = min(self.boat.crew.number or 0, MOST_AT_THE_STERN)
        places = [p for p in self.boat.crew.places if p.use != "child"]
        aftmost = sorted(places, key=lambda place: float(place.point[0]))[:number]
        name = f"{NUMBERS[number]} at the stern"
        if len(aftmost) < number:
            self.missing.append(f"{name}: seats.csv has only {len(aftmost)} places for adults; add where they stand")
            return
        made_of = f"{NUMBERS[number]} at 75 kg at the aftmost places, nobody at the helm, stores, all tanks 95 %"
        self._add(name, OWN_LIST, fills, [*self._persons(aftmost), *stores], made_of)

    def _one_side(self, side: str, fills: Mapping[str, float], stores: Sequence[str]) -> None:
        name = f"everyone to {side}"
        places, number = places_at_side(self.boat.crew.places, side), self.boat.crew.number or 0
        if len(places) < number:
            self.missing.append(
                f"{name}: seats.csv has {len(places)} places to {side} for a crew of {number}; add where they stand"
            )
            return
        made_of = f"{number} people at 75 kg at the places furthest to {side}, stores, all tanks 95 %"
        self._add(name, SIDE_LIST, fills, [*self._persons(places[:number]), *stores], made_of)

    def _crew(self, places: list[Place], where: str) -> list[Place] | None:
        number = self.boat.crew.number
        if number is None or len(places) < number:
            self.missing.append(f"Conditions with a crew aboard: who sails and where is not known. {NEEDS_SEATS}")
            return None
        return places[:number]

    def _persons(self, places: Collection[Place], mass: float = PERSON) -> list[str]:
        made = people_at(places, mass)
        self.people |= made
        return list(made)

    def _effects(self, places: Collection[Place]) -> list[str]:
        """What each brings along, lying where the person is: on the sole or the seat (common practice, no source)."""
        mass = self.boat.crew.effects
        if not mass > 0:
            return []
        made = {f"effects, {p.name}": item(f"effects, {p.name}", mass, p.point, "table", 0.0, 0.0) for p in places}
        self.people |= made
        return list(made)

    @property
    def _uses(self) -> list[str]:
        return list(dict.fromkeys(tank.use for tank in self.boat.tanks))

    def _add(self, name: str, source: str, fills: Mapping[str, float], aboard: Sequence[str], made_of: str) -> None:
        said = {use: fills.get(kind_of_use(use), 0.0) for use in self._uses}
        self.conditions[name] = Condition(name, said, tuple(aboard), note=made_of)
        self.lists[name] = Standard(source, made_of)


def places_at_side(places: Iterable[Place], side: str) -> list[Place]:
    """The places for adults that lie to "port" or "starboard", the furthest from the centreline first."""
    sign = SIDES[side]
    there = [place for place in places if place.use != "child" and sign * place.point[1] > 0]
    return sorted(there, key=lambda place: -abs(float(place.point[1])))
