"""Figures as typed behind an option, in SI; a bare number is in the unit shown. A fault names the option."""

from __future__ import annotations

from hullcalc.errors import InputError
from hullcalc.units import NotUnderstood, parse_position, parse_quantity

BARE = {
    "metric": {"place": "m", "length": "mm", "mass": "kg", "volume": "L"},
    "us": {"place": "ft", "length": "in", "mass": "lb", "volume": "US gal"},
}


def typed_figure(option: str, text: str, kind: str, system: str = "metric") -> float:
    """A quantity of a kind ("length", "mass", "volume", "angle", "fraction", "number") in SI; else an InputError.

    A bare number is millimetres, kilograms or litres, or inches, pounds or US gallons where those are shown; a bare
    angle is in degrees.
    """
    try:
        return parse_quantity(text, kind, "deg" if kind == "angle" else BARE[system].get(kind))
    except NotUnderstood as problem:
        raise InputError(f"{option} {text!r}: {problem}") from None


def typed_place(option: str, text: str, system: str) -> tuple[float, ...]:
    """A place typed as x, or x, y, or x, y, z in the boat frame [m]; bare numbers are metres, or feet if shown."""
    parts = [part.strip() for part in text.replace(";", ",").split(",")]
    if len(parts) > 3:
        raise InputError(f"{option} {text!r}: expected x, or x, y, or x, y, z")
    try:
        return tuple(
            parse_position(part, axis, BARE[system]["place"]) for axis, part in zip("xyz", parts, strict=False)
        )
    except NotUnderstood as problem:
        raise InputError(f"{option} {text!r}: {problem}") from None
