"""What the makers of parts ask of a file's keys: sizes with bounds, places, counts. All problems are gathered."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from hullcalc.boats.toml_keys import Keys
from hullcalc.units import say_in

SHOWN = {  # the unit that bounds are said in; every kind that `size` is asked for
    "length": "m", "mass": "kg", "volume": "L", "density": "kg/m3", "angle": "deg", "fraction": "%", "power": "hp",
    "area": "m2", "mass per area": "kg/m2", "mass per length": "kg/m", "number": "",
}  # fmt: skip


def size(
    keys: Keys,
    name: str,
    kind: str = "length",
    required: bool = True,
    low: float | None = None,
    high: float | None = None,
    example: str = "",
) -> float | None:
    """A positive figure [SI]; between `low` and `high`, both allowed, where they are given (`low` = 0 allows zero).

    None where it is missing, cannot be read or is out of bounds; a Problem says so where that is to mend.
    """
    value = keys.quantity(name, kind, required, example)
    if value is None:
        return None
    unit = SHOWN[kind]
    key = next((key for key in reversed(keys.asked) if key in keys.table), name)
    if low is None and not value > 0:
        keys.report(key, keys.table.get(key, value), "must be more than zero", "Check the figure and its unit")
        return None
    if (low is not None and value < low) or (high is not None and value > high):
        least = "" if low is None else f"at least {say_in(low, kind, unit)}"
        most = "" if high is None else f"at most {say_in(high, kind, unit)}"
        bounds = " and ".join(filter(None, (least, most)))
        keys.report(key, keys.table.get(key, value), f"expected {bounds}", "Check the figure and its unit")
        return None
    return value


def place(keys: Keys, required: bool = True, prefix: str = "") -> np.ndarray | None:
    """A place (x, y, z) [m] from the keys x, y, z, each with a unit or a word; y is on the centreline if missing."""
    before = len(keys.problems.to_mend)
    x = keys.position(f"{prefix}x", "x", required, f"{prefix}x_m = 2.05")
    y = keys.position(f"{prefix}y", "y")
    z = keys.position(f"{prefix}z", "z", required, f"{prefix}z_m = 0.33")
    if x is None or z is None:
        if not required and (x is None) != (z is None) and len(keys.problems.to_mend) == before:
            missing = f"{prefix}{'x' if x is None else 'z'}"
            keys.report(missing, "", f"{missing} is missing", f"Give {prefix}x and {prefix}z both, or neither")
        return None
    return np.array([x, 0.0 if y is None else y, z])


def count(keys: Keys, name: str, default: int | None = None, low: int = 0, high: int = 1000) -> int | None:
    """A whole number between `low` and `high`; a missing one is `default`, and to mend where that is None."""
    value = keys.raw(name)
    if value is None:
        if default is None:
            keys.report(name, "", f"{name} is missing", f"Write {name} = {max(low, 1)}")
        return default
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        keys.report(name, value, f"expected a whole number, {low} to {high}", f"Write {name} = {max(low, 1)}")
        return None
    keys.problems.fine += 1
    return value


def tables(keys: Keys, name: str, required: bool = False) -> list[Keys]:
    """Keys of each [[name]] table of the file, in its order."""
    value = keys.raw(name)
    if value is None:
        if required:
            keys.report(name, "", f"there is no [[{name}]]", f"Begin each with a line [[{name}]]")
        return []
    if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
        keys.report(name, value, "expected tables", f"Begin each with a line [[{name}]]")
        return []
    return [Keys(one, keys.file, f"{name} {k}", keys.problems) for k, one in enumerate(value, start=1)]


def point(keys: Keys, key: str, value: object) -> np.ndarray | None:
    """Three figures in metres as a place, or None with a Problem."""
    good = isinstance(value, Sequence) and not isinstance(value, str) and len(value) == 3
    if not good or not all(isinstance(v, int | float) and not isinstance(v, bool) for v in value):  # type: ignore[attr-defined]
        keys.report(key, value, "expected x, y and z in metres", f"Write {key} = [2.75, 0.60, 0.55]")
        return None
    return np.array(value, dtype=float)
