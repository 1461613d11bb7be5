"""What could be measured on this boat, how long it takes, and what would be left of each cause of uncertainty.

The protocols are rows of `data/reference/protocols.csv`. Each is for a kind of thing (the boat as found, marks, a pod,
a thing of the ledger, who comes aboard, ...) and says the standard uncertainty it leaves. A measurement takes the place
of what was known, unless its row says that both count: then the mean by their weights does. One that would leave no
less than is known already is not offered; nor is one of a thing whose mass shares its cause with others.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.causes import DENSITY, FILL, HULL, OWN_HEIGHT, SHAPE, VOLUME, WATER, Causes
from hullcalc.boats.presence import present
from hullcalc.boats.settings import AS_FOUND
from hullcalc.errors import NoEquilibriumError
from hullcalc.weights.items import MassItem
from hullcalc.weights.reference import Row, figure, reference_table

TABLE = "protocols"
FUEL = "fuel"
NEW_PLACE = "{}, new place"
Pin = tuple[str, str, float, float]  # thing, cause, its standard uncertainty now and then


@dataclass(frozen=True, eq=False)
class Measurement:
    """One thing to do: `left` says of each cause that it pins down which part of the standard uncertainty is left.

    `after` is the protocol that comes first ("" for none): its minutes count too until it is done.
    """

    protocol: str
    what: str  # the thing it is done to, "" where the protocol says it
    minutes: float
    left: Mapping[str, float]
    after: str = ""
    note: str = ""

    @property
    def name(self) -> str:
        return f"{self.protocol}: {self.what}" if self.what else self.protocol


def measurements(boat: Boat, plan: AnyPlan, condition: AnyCondition, causes: Causes) -> list[Measurement]:
    """All that could be measured and would leave less than is known, in the order of the table of protocols."""
    on, said = boat.packages_on(plan), boat.condition(condition)
    known = set(causes.names)
    offered: list[Measurement] = []
    for row in reference_table(TABLE):
        found = _pinned(row, boat, on, said.aboard)
        tried = [(what, {n: f for n, f in left.items() if n in known and f < 1 - 1e-9}) for what, left in found]
        tried, count = [(what, left) for what, left in tried if left], 1
        if row["per"] == "all" and tried:
            together = {name: f for _, left in tried for name, f in left.items()}
            tried, count = [("", together)], len(tried) if row["of"] == "person" else 1  # minutes are for each person
        for what, left in tried:
            minutes = count * figure(row, "minutes_number")
            offered.append(Measurement(str(row["protocol"]), what, minutes, left, str(row["after"]), str(row["note"])))
    return offered


def _pinned(row: Row, boat: Boat, on: frozenset[str], aboard: Iterable[str]) -> list[tuple[str, dict[str, float]]]:
    """(thing, cause -> part left) of each thing the protocol is for; a part may be over 1."""
    of = row["of"]
    if of == "as found":
        return [("", _of_item(row, boat.as_found) | _heel(row, boat))]
    if of == "thing":
        claimed = _claims()
        return [
            (thing.name, _of_item(row, thing))
            for thing in _ledger_things(boat, on)
            if (_fits(row, thing.name) if row["words"] else not any(_fits(one, thing.name) for one in claimed))
        ]
    if of == "person":
        crew = [boat.people[name] for name in aboard if name in boat.people]
        return [(item.name, _of_item(row, item)) for item in crew if _fits(row, item.name)]
    if of not in PINS:
        return []  # pins down nothing that is a cause here
    return [(what, {cause: _left(row, now, then)}) for what, cause, now, then in PINS[str(of)](row, boat, on)]


def _marks(row: Row, boat: Boat, on: frozenset[str]) -> Iterator[Pin]:
    for name, mark in present(boat.all_marks, on).items():
        yield name, f"{name}: {OWN_HEIGHT}", mark.u_z, figure(row, "u_height_mm") / 1000


def _hull(row: Row, boat: Boat, on: frozenset[str]) -> Iterator[Pin]:
    yield "", f"{HULL}: {SHAPE}", float(boat.u_hull), figure(row, "u_height_mm") / 1000


def _pods(row: Row, boat: Boat, on: frozenset[str]) -> Iterator[Pin]:
    for name, pod in present(boat.solids, on).items():
        yield name, f"{name}: {VOLUME}", pod.u_volume, figure(row, "u_volume_percent") / 100 * pod.solid.volume


def _fuel(row: Row, boat: Boat, on: frozenset[str]) -> Iterator[Pin]:
    for tank in present(boat.tanks, on).values():
        if FUEL in tank.use:
            yield tank.use, f"{tank.use}: {DENSITY}", tank.u_density, figure(row, "u_density_kg_m3")


def _water(row: Row, boat: Boat, on: frozenset[str]) -> Iterator[Pin]:
    yield "", f"{WATER}: {DENSITY}", float(boat.u_water), figure(row, "u_density_kg_m3")


def _fills(row: Row, boat: Boat, on: frozenset[str]) -> Iterator[Pin]:
    for name, tank in present(boat.tanks, on).items():
        yield name, f"{name}: {FILL}", tank.u_fill, figure(row, "u_fill_percent") / 100


PINS: Mapping[str, Callable[[Row, Boat, frozenset[str]], Iterator[Pin]]] = {
    "mark": _marks, "hull": _hull, "pod": _pods, "fuel": _fuel, "water": _water, "fill": _fills,
}  # fmt: skip


def _left(row: Row, now: float, then: float) -> float:
    """Part left of a standard uncertainty `now` by a measurement of `then`."""
    if not now > 0:
        return math.inf
    if row["again"] == "yes":
        return then / math.hypot(now, then)  # the mean of both by their weights
    return then / now


def _of_item(row: Row, item: MassItem) -> dict[str, float]:
    """What is left of the causes of a thing's mass and place along the boat and up."""
    left: dict[str, float] = {}
    mass, own = float(item.mass), f"{item.name}: mass"
    if "u_mass_kg" in row or "u_mass_percent" in row:
        then = max(float(row.get("u_mass_kg", 0.0)), float(row.get("u_mass_percent", 0.0)) / 100 * mass)
        if own in item.sources:
            left[own] = _left(row, float(abs(item.sources[own][0])), then)
    for axis, column in (("x", "u_x_mm"), ("z", "u_z_mm")):
        for place in (item.name, NEW_PLACE.format(item.name)):
            cause = f"{place}: {axis}"
            if column in row and cause in item.sources and mass > 0:
                now = float(abs(item.sources[cause]["xyz".index(axis) + 1])) / mass
                left[cause] = _left(row, now, float(row[column]) / 1000)
    return left


def _heel(row: Row, boat: Boat) -> dict[str, float]:
    """Heel read afloat tells where the boat as found balances across: GM times the error of the angle."""
    cause = f"{AS_FOUND}: y"
    if "u_heel_deg" not in row or cause not in boat.as_found.sources or not boat.conditions:
        return {}
    light = next((name for name, said in boat.conditions.items() if not said.open), next(iter(boat.conditions)))
    try:
        gm = float(boat.float(AS_FOUND, light, shut=True).gm_transverse)
    except NoEquilibriumError:
        return {}
    now = float(abs(boat.as_found.sources[cause][2]) / boat.as_found.mass)
    return {cause: _left(row, now, gm * math.radians(float(row["u_heel_deg"])))}


def _ledger_things(boat: Boat, on: frozenset[str]) -> list[MassItem]:
    """What comes, goes or moves in a plan, each thing once, as it lies in the end."""
    things: dict[str, MassItem] = {}
    for change in boat.changes(on):
        thing = change.came or change.went
        if thing is not None and float(thing.item.mass) > 0:
            things[thing.name] = thing.item
    return list(things.values())


def _claims() -> list[Row]:
    """Protocols that name the things they are for: these are for no other protocol of things."""
    return [row for row in reference_table(TABLE) if row["of"] == "thing" and row["words"]]


def _fits(row: Row, name: str) -> bool:
    """Does a protocol speak of a thing of this name?"""
    words, never = ([w.strip() for w in str(row[c]).split(";") if w.strip()] for c in ("words", "but_not"))
    folded = name.casefold()
    return (not words or any(word in folded for word in words)) and not any(word in folded for word in never)
