"""kind = "batteries": case group, type and number, by the table or a sheet."""

from __future__ import annotations

from hullcalc.boats.part_kinds.asking import count, place, size
from hullcalc.boats.part_kinds.common import how_placed
from hullcalc.boats.toml_keys import Keys
from hullcalc.weights.parts import batteries as parts
from hullcalc.weights.parts.part import Part


def make(keys: Keys, name: str) -> Part | None:
    """Batteries with their boxes at one place; `each` is the mass of one from a sheet or a scale."""
    before = len(keys.problems.to_mend)
    group = keys.raw("group")
    group = str(group) if isinstance(group, int) and not isinstance(group, bool) else keys.text("group", required=True)
    kind = keys.text("type", required=True, choices=("flooded", "AGM", "LFP"))
    number, at = count(keys, "count", low=1, high=20), place(keys)
    boxes = count(keys, "boxes", number, high=20) if number is not None else None
    each = size(keys, "each", "mass", required=False, high=200.0)
    how = how_placed(keys, "data sheet")
    if len(keys.problems.to_mend) > before or number is None or at is None:
        return None
    return parts.batteries(name, group, kind, number, at, boxes, each, how.basis, how.u_place)
