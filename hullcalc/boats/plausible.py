"""What things of a boat weigh, and what to say of a figure far outside it: a slip of the decimal point, or of the unit.

Bounds are wide, as hung or as fitted: common practice of refit yards, no source, except the battery groups, whose
outer sizes are fixed by the BCI group numbers and whose masses are those of common makes (from memory).
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from hullcalc.boats.tables import Row, Table
from hullcalc.errors import LOOK, MEND, Problem, Problems
from hullcalc.units import factor, say_in

OUTBOARDS = (  # up to so many hp: least and most, long leg, oil and propeller aboard [kg]
    (10, 12, 55), (30, 40, 95), (60, 70, 135), (100, 115, 200), (130, 145, 215), (150, 180, 245), (175, 185, 260),
    (200, 185, 290), (250, 205, 300), (300, 225, 330), (350, 260, 400), (450, 290, 430), (600, 350, 600),
)  # fmt: skip
MODERN = {150: (205, 245), 200: (215, 290), 250: (255, 300), 300: (260, 330)}  # four-stroke of that power, as hung [kg]
BATTERIES = {  # group: flooded, AGM, lithium iron phosphate: least and most of one [kg]
    "24": ((17, 21), (22, 26), (8, 13)),
    "27": ((22, 30), (25, 33), (9, 15)),
    "31": ((24, 31), (30, 36), (11, 16)),
    "34": ((16, 21), (19, 24), (8, 12)),
    "4d": ((44, 57), (50, 62), (21, 31)),
    "8d": ((58, 75), (68, 80), (29, 42)),
}
OTHERS = (  # pattern, what it is, least and most [kg]
    (r"\bpropeller\b|\bspare prop\b", "a propeller", 1, 16),
    (r"\bhard ?top\b|\bt-top\b", "a T-top", 25, 220),
    (r"^bracket\b", "an engine bracket", 10, 140),
    (r"\bleaning post\b", "a leaning post", 10, 130),
    (r"\btrim tabs?\b", "a pair of trim tabs", 3, 30),
    (r"\banchor\b", "anchor gear", 3, 150),
)
PARTS = re.compile(  # words that name a part of a thing, or something that goes with it
    r"\b(plates?|bolts?|cushions?|bases?|hoses?|cables?|lockers?|bags?|oil|guards?|lights?|canvas|covers?|backrests?|"
    r"indicators?|ladders?|aerials?|chargers?|box|boxes|trays?|harness(es)?|controls?|pumps?|mounts?|switch(es)?|"
    r"straps?|wiring|gauges?|panels?|flush(er|ing)?|stands?|sling)\b"
)
NUMBERS = {"two": 2, "pair of": 2, "three": 3, "four": 4, "five": 5, "six": 6}
FAR = 1.7  # times out of the bounds: no make of it weighs that
NEAR_TEN, NEAR_POUNDS = (6.5, 15.0), (1.75, 2.75)  # ratios to the middle of the bounds that show such a slip


@dataclass(frozen=True)
class Expected:
    """What a thing ought to weigh: `what` in words, least and most of one [kg], and how many there are."""

    what: str
    low: float
    high: float
    count: int = 1


def thing_itself(name: str) -> str | None:
    """The name up to what the thing is with, for or on; None where it speaks of a part ("T-top deck plates")."""
    whole = name.casefold()
    if whole.startswith("bracket for ") and not re.search(r"\b(engine|outboard|motor)\b", whole):
        return None  # one of the many small brackets
    text = re.split(r" (?:with|for|of|on|at|from|to) ", whole)[0]
    return None if PARTS.search(text) else text


def expected_mass(name: str) -> Expected | None:
    """What a thing of that name weighs; None for names that say nothing of it."""
    text = thing_itself(name)
    if text is None:
        return None
    power = re.search(r"(\d+)\s*hp\b", text)
    if power and "outboard" in text:
        return _outboard(int(power[1]), text)
    group = re.search(r"group[- ]?(\d\d|4d|8d)\b", text)
    if group and group[1] in BATTERIES and "batter" in text:
        flooded, agm, lithium = BATTERIES[group[1]]
        low, high = agm if "agm" in text else lithium if re.search(r"lfp|lithium", text) else flooded
        if not re.search(r"agm|lfp|lithium|flooded", text):
            low, high = lithium[0], agm[1]
        return Expected("batteries", low, high, _count(text))
    for pattern, what, low, high in OTHERS:
        if re.search(pattern, text) and not power:
            return Expected(what, low, high)
    return None


def check_mass(table: Table, row: Row, name: str, mass: float, column: str, problems: Problems) -> None:
    """A Problem where a mass is far outside what such a thing weighs, unless the row says keep = yes."""
    expected = expected_mass(name)
    if expected is None or row.values.get("keep") or mass <= 0:
        return
    each = mass / expected.count
    if expected.low <= each <= expected.high:
        return
    ratio = each / ((expected.low + expected.high) / 2)
    slip = NEAR_TEN[0] <= ratio <= NEAR_TEN[1] or NEAR_POUNDS[0] <= ratio <= NEAR_POUNDS[1] or ratio <= 1 / NEAR_TEN[0]
    far = slip and (each > FAR * expected.high or each < expected.low / FAR)
    unit = row.units.get(column, "kg")
    problems.append(_problem(table, row, column, expected, mass, unit, MEND if far else LOOK))


def _problem(table: Table, row: Row, column: str, expected: Expected, mass: float, unit: str, level: str) -> Problem:
    low, high, typed = expected.low, expected.high, say_in(mass, "mass", unit)
    ratio = mass / expected.count / ((low + high) / 2)
    bounds = f"{_figure(low, unit)}-{_figure(high, unit)}"
    insist = "set keep = yes to insist"
    if expected.count > 1:
        number = next((word for word, n in NUMBERS.items() if n == expected.count), str(expected.count))
        said = (
            f"{typed} for {number} {expected.what} is {say_in(mass / expected.count, 'mass', unit)} each; "
            f"they weigh {bounds}"
        )
    elif NEAR_TEN[0] <= ratio <= NEAR_TEN[1]:
        said = f"{typed} is 10 x what {expected.what} weighs ({bounds})"
    else:
        said = f"{typed} for {expected.what}, which weighs {bounds}"
    if NEAR_TEN[0] <= ratio <= NEAR_TEN[1]:
        mend = f"Missing decimal point? Type {mass / factor(unit, 'mass') / 10:g}, or {insist}"
    elif unit == "kg" and NEAR_POUNDS[0] <= ratio <= NEAR_POUNDS[1]:
        head = table.heads.get(column, column)
        changed = f"{column}_lb" if head.startswith(column) else "a head in lb"
        mend = f'Typed in pounds? Write "{mass:g} lb" in the cell or change the head to {changed}; or {insist}'
    else:
        mend = f"Check the figure and its unit, or {insist}"
    return table.problem(row, column, said, mend, level, weight=40.0)


def _outboard(power: int, text: str) -> Expected:
    what = f"a {power} hp outboard"
    if power in MODERN and re.search(r"four-?stroke|4-?stroke", text):
        return Expected(what, *MODERN[power])
    low, high = next(((low, high) for limit, low, high in OUTBOARDS if power <= limit), (300.0, 700.0))
    return Expected(what, low, high)


def _count(text: str) -> int:
    for word, number in NUMBERS.items():
        if re.search(rf"\b{word}\b", text):
            return number
    digits = re.match(r"(\d+)\s*x?\s+(?!in\b|v\b|volt|ah\b|mm\b|kw\b|m\b)", text)
    return int(digits[1]) if digits else 1


def _figure(mass: float, unit: str) -> str:
    return f"{mass / factor(unit, 'mass'):.0f}"
