"""What the figures of a page rest on: water, liquids, hull, conditions, what was shut, what was invented."""

from __future__ import annotations

from analysis.report.parts import Grid, Section
from analysis.report.story import Story
from hullcalc.boats.boat import Boat
from hullcalc.boats.conditions import Condition
from hullcalc.boats.limits import say_list
from hullcalc.units import say_in, say_length_mm, say_mass, say_position, say_volume


def assumptions(story: Story, system: str) -> Section:
    """What was assumed, in sentences, and the load conditions in a table."""
    boat = story.boat
    said = [
        f"Water: {boat.water_density:.0f} kg/m³.",
        *_liquids(boat, system),
        _hull(boat, system),
        "Boat frame: positions count forward from the lower end of the transom along the straight aft run of the keel, "
        "and up from that line.",
        *_spaces(boat),
        "Liquids lie level in their tanks at the attitude she floats at. Trapped air is not counted. The hull is "
        "closed at the sheer. Calm water, no speed.",
        _uncertainty(boat, system),
        *_ledger(boat, story.refit),
    ]
    if story.change is not None:
        said.append(
            f"The change is shared among packages by the mean over all orders of the {len(story.change.table)} "
            f"packages ({story.change.floats} combinations floated, all spaces shut). Items: straight lines "
            f"through both ends; what they miss is {say_length_mm(abs(story.change.remainder_mm) / 1000, system)}."
        )
    if boat.invented:
        said.append(
            "Invented: the boat, her hull, weights, ledger, tanks, marks, people and readings; no real boat, maker or "
            "yard is meant."
        )
    return Section("What this rests on", listed=tuple(said), grids=(_conditions(boat, system),))


def _liquids(boat: Boat, system: str) -> list[str]:
    tanks = {(tank.name, tank.density, round(tank.solid.volume, 6)) for tank in boat.tanks}
    named = [
        f"{name} {say_volume(volume, system)} gross, {density:.0f} kg/m³" for name, density, volume in sorted(tanks)
    ]
    return [f"Tanks: {'; '.join(named)}."] if named else []


def _hull(boat: Boat, system: str) -> str:
    hull = boat.hull
    gap = 100 * hull.shape_gap
    gap_said = f"{abs(gap):.1f} % {'more' if gap > 0 else 'less'}"
    return (
        f"Hull: {len(hull.table.x)} stations joined {'by straight lines' if hull.loft == 'straight' else 'smoothly'}; "
        f"joined the other way she has {gap_said} volume under "
        f"{say_position(hull.gap_level, 'z', system).removesuffix(' above the keel line')}."
    )


def _spaces(boat: Boat) -> list[str]:
    openings: dict[str, tuple[str, ...]] = {}
    for plan in boat.plans:
        for name, space in boat.spaces_in(plan).items():
            openings[name] = tuple(dict.fromkeys([*openings.get(name, ()), *space.openings]))
    if not openings:
        return ["No space with openings is known, so nothing is said of water coming in."]
    named = [f"{name} (openings: {say_list(marks)})" for name, marks in openings.items()]
    return [f"Shut until an opening is under water, then open to the sea: {'; '.join(named)}."]


def _uncertainty(boat: Boat, system: str) -> str:
    mark = max((mark.u_z for mark in boat.all_marks), default=0.0)
    return (
        "Give or take is one standard uncertainty, by the basis of each row of the ledger; bars in the picture of "
        f"marks are 95 % intervals. A mark's own height is known to {_to(mark, system)}, the hull's shape to "
        f"{_to(boat.u_hull, system)} at a mark. Straight lines through the floated attitude{_taken_as_said(boat)}."
    )


def _taken_as_said(boat: Boat) -> str:
    """Of what is in the tanks and of the water: what counts as exact because nobody stated an uncertainty."""
    exact = [] if any(tank.u_fill > 0 for tank in boat.tanks) else ["how full the tanks are"]
    exact += [] if boat.u_water > 0 else ["the water's density"]
    return f"; {' and '.join(exact)} {'are' if len(exact) > 1 else 'is'} taken as said" if exact else ""


def _to(u: float, system: str) -> str:
    return say_in(u, "length", "mm" if system == "metric" else "in") if u > 0 else "nobody knows what"


def _ledger(boat: Boat, plan: str | None) -> list[str]:
    """How many rows of the refit's ledger rest on what."""
    count: dict[str, int] = {}
    for change in boat.changes(plan) if plan else ():
        thing = change.came or change.went
        if change.row.action != "move" and thing is not None:
            count[thing.item.basis] = count.get(thing.item.basis, 0) + 1
    if not count:
        return []
    rows = ", ".join(f"{number} {basis}" for basis, number in sorted(count.items(), key=lambda found: -found[1]))
    return [f"The {sum(count.values())} things that come and go in the {plan} rest on: {rows}."]


def _conditions(boat: Boat, system: str) -> Grid:
    """One row a condition: liquids, who and what is aboard, what is held open."""
    rows = [
        (name, _fills(condition), _aboard(boat, condition, system), say_list(condition.open) or "nothing")
        for name, condition in boat.conditions.items()
    ]
    return Grid(("load condition", "liquids", "aboard", "held open to the sea"), tuple(rows))


def _fills(condition: Condition) -> str:
    said = [f"{name} {100 * fill:.0f} %" for name, fill in condition.fills.items()]
    said += [f"{name} at its standpipe" for name in condition.at_lip]
    return ", ".join(said) or "none filled"


def _aboard(boat: Boat, condition: Condition, system: str) -> str:
    if not condition.aboard:
        return "nobody"
    mass = sum(float(boat.people[name].mass) for name in condition.aboard)
    return f"{', '.join(condition.aboard)} ({say_mass(mass, system)})"
