"""From what was typed to alternatives: plans, packages, and things of moves.csv set to a value.

"mended plan + fuel tank new 80 US gal + cooler at 3.4" is a plan with a tank of another size and a cooler elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

import numpy as np

from analysis.command_line.choosing import JOIN, known
from analysis.studies.alternatives import Alternative
from analysis.studies.mend_words import say_setting
from hullcalc.boats.adjusted import Adjustable, adjustable
from hullcalc.boats.boat import Boat
from hullcalc.boats.conditions import Condition
from hullcalc.boats.moves import PLACE, RESIZE, Freedom, Setting
from hullcalc.errors import InputError
from hullcalc.units import NotUnderstood, parse_position, parse_quantity

LEAD = re.compile(r"(?:at|to|by|of|up)\s+")  # words that may stand before a value
SLACK = 1e-6  # m or m³: a value typed at a limit is within it
ALL_ABOARD = "all aboard"


def choose_alternatives(boat: Boat, typed: Sequence[str] | None, system: str) -> list[Alternative]:
    """Alternatives as typed; all plans of the boat where none is typed."""
    if not typed:
        return [Alternative(name, boat.packages_on(name)) for name in boat.plans]
    return [_alternative(boat, text, system) for text in typed]


def _alternative(boat: Boat, typed: str, system: str) -> Alternative:
    by_folded = {name.casefold(): name for name in boat.plans}
    if typed.casefold() in by_folded:
        name = by_folded[typed.casefold()]
        return Alternative(name, boat.packages_on(name))
    packages: dict[str, None] = {}
    settings: list[tuple[str, list[Freedom]]] = []
    names = [*boat.plans, *boat.packages]
    for part in _parts(typed, names, boat.freedoms):
        freedoms = _freedoms_of(part, boat.freedoms) if part not in names else []
        if freedoms:
            settings.append((part, freedoms))
        else:
            name = known(part, names, "plan or package, or thing of moves.csv with a value,")
            packages |= dict.fromkeys(boat.plans[name].packages if name in boat.plans else (name,))
    on = boat.packages_on(tuple(packages))
    everybody = Condition(ALL_ABOARD, aboard=tuple(boat.people))
    ready = adjustable(boat, on, everybody)
    made = tuple(_setting(ready, part, freedoms, system) for part, freedoms in settings)
    reason = ready.does_not_fit(made)
    if reason:
        raise InputError(f"{typed!r}: {reason}")
    return Alternative(typed, on, made)


def _parts(typed: str, names: Sequence[str], freedoms: Sequence[Freedom]) -> list[str]:
    """The parts joined in what was typed; a name that holds the joint itself is taken whole."""
    words, parts = typed.split(JOIN), []
    while words:
        longest = 1
        for n in range(len(words), 1, -1):
            whole = JOIN.join(words[:n]).strip()
            if whole in names or any(JOIN in f.name for f in _freedoms_of(whole, freedoms)):
                longest = n
                break
        parts.append(JOIN.join(words[:longest]).strip())
        words = words[longest:]
    return parts


def _freedoms_of(part: str, freedoms: Sequence[Freedom]) -> list[Freedom]:
    """The freedoms whose name, whole or its last words left out, begins the part; those of the longest name."""
    folded = part.casefold()
    found = [f for f in freedoms if folded.startswith(f"{f.name.casefold()} ")]
    longest = max((len(f.name) for f in found), default=0)
    return [f for f in found if len(f.name) == longest]


def _setting(ready: Adjustable, part: str, freedoms: Sequence[Freedom], system: str) -> Setting:
    """The value typed behind the name, for the one freedom of that name that it can be a value of."""
    text = LEAD.sub("", part[len(freedoms[0].name) :].strip(), count=1)
    problems: list[NotUnderstood] = []
    for freedom in sorted(freedoms, key=lambda f: f.kind != RESIZE):  # litres say what they are
        if not ready.there(freedom):
            raise InputError(f"{part!r}: {freedom.name} is not there in this plan")
        try:
            value = _value(ready, freedom, text, system)
        except NotUnderstood as problem:
            problems.append(problem)
            continue
        setting = Setting(freedom, value)
        low, high = ready.limits(freedom)
        if np.any(value < low - SLACK) or np.any(value > high + SLACK):
            ends = " and ".join(say_setting(Setting(freedom, end), system) for end in (low, high))
            raise InputError(f"{part!r} is outside its limits in moves.csv row {freedom.row}: between {ends}")
        return setting
    raise InputError(f"{part!r}: {problems[-1]}")


def _value(ready: Adjustable, freedom: Freedom, text: str, system: str) -> np.ndarray:
    units: Mapping[str, str] = {"metric": "m", "us": "ft"}
    if freedom.kind == RESIZE:
        return np.array([parse_quantity(text, "volume", None)])
    if freedom.kind != PLACE:
        return np.array([parse_quantity(text, "length", "mm" if system == "metric" else "in")])
    parts = [one.strip() for one in text.replace(";", ",").split(",")]
    if len(parts) > 2:
        raise NotUnderstood("expected how far forward, and across", "Write it as 2.30 or 2.30, 0.20 P")
    place = ready.now(freedom)
    for k, one in enumerate(parts):
        place[k] = parse_position(one, "xy"[k], units[system])
    return place
