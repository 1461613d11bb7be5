"""kind = "cooler": its volume, how full it is packed, how its box is made; with [day] also what it weighs later.

[day]
at_hours = [4, 8]
ice_lasts_hours = 12
drinks_gone_by_hours = 8
catch_kg = 30
catch_from_hours = 2
catch_until_hours = 7
drained = true
"""

from __future__ import annotations

from dataclasses import replace

from hullcalc.boats.part_kinds.asking import place, size
from hullcalc.boats.part_kinds.common import fraction, how_placed
from hullcalc.boats.toml_keys import Keys
from hullcalc.weights.parts import stores
from hullcalc.weights.parts.part import Fact, Part

MOST_HOURS = 240.0  # ten days


def make_cooler(keys: Keys, name: str) -> Part | None:
    """A cooler with ice and drinks, and its mass at hours of a day."""
    before = len(keys.problems.to_mend)
    volume, at = size(keys, "volume", "volume", high=0.5, example="volume_l = 60"), place(keys)
    filled = fraction(keys, "filled")
    wall = keys.text("wall", choices=("thin wall", "rotomoulded"), default="thin wall")
    how = how_placed(keys, "estimated")
    day = keys.sub("day") if "day" in keys.table else None
    hours = None if day is None else _hours(day)
    ends = {} if day is None else _ends(day)
    if len(keys.problems.to_mend) > before or volume is None or at is None:
        return None
    full = 1.0 if filled is None else filled
    part = stores.packed_cooler(name, volume, at, full, wall, how.basis, how.u_place)
    if hours is None:
        return part
    packed = sum(float(line.item.mass) for line in part.lines if line.what == stores.PACKED)
    box = float(part.item.mass) - packed
    later = stores.cooler_through_the_day(hours, packed / 2, drinks=packed / 2, box=box, **ends)
    facts = tuple(Fact(f"mass after {hour:g} h", float(kg), "mass") for hour, kg in zip(hours, later.mass, strict=True))
    return replace(part, facts=(*part.facts, *facts))


def _hours(day: Keys) -> list[float] | None:
    value = day.raw("at_hours")
    good = isinstance(value, list) and value and all(isinstance(v, int | float) and 0 <= v <= MOST_HOURS for v in value)
    if not good:
        mend = "Write at_hours = [4, 8], counted from when she leaves"
        day.report("at_hours", "" if value is None else value, f"expected hours, 0 to {MOST_HOURS:g}", mend)
        return None
    return [float(v) for v in value]


def _ends(day: Keys) -> dict:
    """Arguments of `cooler_through_the_day`, by its names."""

    def hour(name: str, required: bool = False) -> float | None:
        example = f"{name}_hours = 8"
        return size(day, f"{name}_hours", "number", required, low=0.0, high=MOST_HOURS, example=example)

    lasts, drunk = hour("ice_lasts", required=True), hour("drinks_gone_by")
    catch = size(day, "catch", "mass", required=False, low=0.0, high=1000.0)
    begin, end = hour("catch_from"), hour("catch_until")
    drained = day.flag("drained")
    day.finish(strict=True)
    return {
        "ice_lasts": lasts, "drunk_by": drunk, "catch": catch or 0.0, "catch_from": begin or 0.0,
        "catch_until": end, "drained": drained,
    }  # fmt: skip
