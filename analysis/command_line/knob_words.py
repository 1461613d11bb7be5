"""Knobs as they are typed: WHAT = FROM to TO by STEP; several parts after semicolons.

    setback = 0.5 m to 0.9 m by 0.05 m; now 0.76 m
    place of fuel tank new = 1.6 m to 3.0 m by 0.1 m; with new fill vent and feed hose
    litres of fuel tank new = 200 L to 450 L in 26
    fill of fuel = 10 % to 95 % in 18
    weight at 0.3, 0, 0.8 = 0 kg to 200 kg by 20 kg
    place of batteries = 0.36, 1.5, 2.72

A figure without a unit takes that of the last one of its line, else the one shown (m, L, %, kg or ft, US gal, %, lb).
"""

from __future__ import annotations

import re

import numpy as np

from analysis.command_line.typed import typed_place
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.knobs import Knob, added_at, fill_of, litres_of, place_of, setback
from hullcalc.boats.presence import present
from hullcalc.errors import InputError
from hullcalc.units import NotUnderstood, Reading, read_quantity

EXAMPLE = 'write as "place of fuel tank new = 1.6 m to 3.0 m by 0.1 m"'
SHOWN = {
    "metric": {"length": "m", "volume": "L", "fraction": "%", "mass": "kg"},
    "us": {"length": "ft", "volume": "US gal", "fraction": "%", "mass": "lb"},
}
MOST_VALUES = 100_000
RANGE = re.compile(r"(?P<first>.+?)\s+to\s+(?P<last>.+?)\s+(?P<how>by|in)\s+(?P<step>.+)", re.IGNORECASE)
SAYS_SETBACK = re.compile(r"([0-9.]+) m setback")


def read_knob(boat: Boat, plan: AnyPlan, condition: str, typed: str, system: str) -> tuple[Knob, np.ndarray]:
    """A knob of this plan and its values in SI; an InputError says what is wrong with what was typed."""
    body, *extras = (part.strip() for part in typed.split(";"))
    what, equals, said = body.partition("=")
    if not equals or not what.strip() or not said.strip():
        raise InputError(f"--knob {typed!r}: says no values; {EXAMPLE}")
    options = dict(_extra(typed, extra) for extra in extras if extra)
    knob = _knob(boat, plan, condition, typed, what.strip(), options, system)
    if options:
        raise InputError(f"--knob {typed!r}: {next(iter(options))!r} means nothing for {knob.label}")
    values = _values(typed, said.strip(), knob.quantity, system)
    knob.check(values)
    return knob, values


def _extra(typed: str, text: str) -> tuple[str, str]:
    word, _, rest = text.partition(" ")
    if word not in ("now", "with") or not rest.strip():
        raise InputError(
            f'--knob {typed!r}: {text!r} is not understood; after a semicolon comes "now 0.76 m" or "with ..."'
        )
    return word, rest.strip()


def _knob(
    boat: Boat, plan: AnyPlan, condition: str, typed: str, what: str, options: dict[str, str], system: str
) -> Knob:
    """The knob meant; takes out of `options` what it understands."""
    word, _, rest = what.partition(" ")
    kind = word.casefold()
    name = rest.strip().removeprefix("of ").removeprefix("at ").strip()
    if kind == "setback" and not name:
        now = options.pop("now", None) or _setback_now(boat, plan)
        if now is None:
            raise InputError(f'--knob {typed!r}: say what the setback is now: add "; now 0.76 m"')
        return setback(boat, plan, _quantity(typed, now, "length", system).value)
    if kind == "place" and name:
        companions = options.pop("with", None)
        return place_of(boat, plan, name, None if companions is None else _split(companions))
    if kind in ("litres", "liters") and name:
        return litres_of(boat, plan, name)
    if kind == "fill" and name:
        return fill_of(boat, plan, name, _fill_now(boat, plan, condition, name))
    if kind == "weight" and name:
        return added_at(_position(typed, name, system), f"weight at {name}")
    raise InputError(
        f"--knob {typed!r}: {what!r} is no knob; there are: setback, place of THING, litres of TANK, fill of TANK, "
        f"weight at X, Y, Z. {EXAMPLE[:1].upper()}{EXAMPLE[1:]}"
    )


def _setback_now(boat: Boat, plan: AnyPlan) -> str | None:
    """The setback as a thing aboard is called, "... 0.76 m setback ...", where only one says it."""
    aboard = boat.ledger.apply(boat.packages_on(plan))[1]
    found = {match[1] for name in aboard if (match := SAYS_SETBACK.search(name))}
    return f"{found.pop()} m" if len(found) == 1 else None


def _fill_now(boat: Boat, plan: AnyPlan, condition: str, name: str) -> float:
    said, folded = boat.condition(condition), name.casefold()
    tanks = present(boat.tanks, boat.packages_on(plan)).values()
    found = [said.fill_of(t.name, t.use) for t in tanks if folded in (t.use.casefold(), t.name.casefold())]
    return found[0] or 0.0 if found else 0.0


def _values(typed: str, text: str, kind: str, system: str) -> np.ndarray:
    match = RANGE.fullmatch(text)
    if match is None:
        parts = _split(text)
        unit = _quantity(typed, parts[-1], kind, system).unit
        return np.array([_quantity(typed, part, kind, system, unit).value for part in parts])
    last = _quantity(typed, match["last"], kind, system)
    first = _quantity(typed, match["first"], kind, system, last.unit).value
    way = last.value - first
    if match["how"].casefold() == "in":
        count = _count(typed, match["step"])
        return np.linspace(first, last.value, count)
    step = _quantity(typed, match["step"], kind, system, last.unit).value
    if not step * way > 0 and way != 0:
        raise InputError(f"--knob {typed!r}: no value lies within its limits: from {match['first']} to {match['last']} "
                         f"by {match['step']} never gets there; turn the limits or the step round")  # fmt: skip
    count = 1 if way == 0 else int(np.floor(way / step + 1e-9)) + 1
    if count > MOST_VALUES:
        raise InputError(f"--knob {typed!r}: makes {count} values; make the step larger")
    return first + step * np.arange(count)


def _count(typed: str, text: str) -> int:
    if not text.strip().isdigit() or not 2 <= int(text) <= MOST_VALUES:
        raise InputError(f'--knob {typed!r}: "in" wants how many values, from 2 on, not {text!r}; {EXAMPLE}')
    return int(text)


def _quantity(typed: str, text: str, kind: str, system: str, unit: str = "") -> Reading:
    try:
        return read_quantity(text, kind, unit or SHOWN[system][kind])
    except NotUnderstood as problem:
        raise InputError(f"--knob {typed!r}, {text!r}: {problem}") from None


def _position(typed: str, text: str, system: str) -> tuple[float, ...]:
    parts = _split(text)
    if len(parts) != 3:
        raise InputError(f'--knob {typed!r}: a weight stands at x, y, z, such as "weight at 0.3, 0, 0.8"')
    return typed_place(f"--knob {typed!r},", text, system)


def _split(text: str) -> list[str]:
    return [part.strip() for part in text.split(",") if part.strip()]
