"""kind = "cooler": its volume, how full it is packed, how its box is made."""

from __future__ import annotations

from hullcalc.boats.part_kinds.asking import place, size
from hullcalc.boats.part_kinds.common import fraction, how_placed
from hullcalc.boats.toml_keys import Keys
from hullcalc.weights.parts import stores
from hullcalc.weights.parts.part import Part


def make_cooler(keys: Keys, name: str) -> Part | None:
    """A cooler with ice and drinks."""
    before = len(keys.problems.to_mend)
    volume, at = size(keys, "volume", "volume", high=0.5, example="volume_l = 60"), place(keys)
    filled = fraction(keys, "filled")
    wall = keys.text("wall", choices=("thin wall", "rotomoulded"), default="thin wall")
    how = how_placed(keys, "estimated")
    if len(keys.problems.to_mend) > before or volume is None or at is None:
        return None
    return stores.packed_cooler(
        name, volume, at, 1.0 if filled is None else filled, wall, how.basis, how.u_place
    )  # fmt: skip
