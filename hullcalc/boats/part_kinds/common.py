"""What kinds of part files reckoned from areas, samples and lists share: uncertainties, densities, areas."""

from __future__ import annotations

from dataclasses import dataclass

from hullcalc.boats.part_kinds.asking import size
from hullcalc.boats.toml_keys import Keys
from hullcalc.errors import InputError
from hullcalc.weights.sources import BASES

WEIGHTS = tuple(basis for basis in BASES if basis != "measured afloat")


@dataclass(frozen=True)
class How:
    """Where a mass comes from, and its own uncertainties where the file gives them [kg, m]."""

    basis: str
    u_mass: float | None
    u_place: float | None


def how_known(keys: Keys, default: str) -> How:
    """The keys `basis`, `u_mass`, `u_place` (one figure for x, y and z)."""
    return How(
        keys.text("basis", choices=WEIGHTS, default=default),
        size(keys, "u_mass", "mass", required=False, low=0.0),
        size(keys, "u_place", "length", required=False, low=0.0, high=2.0),
    )


def how_placed(keys: Keys, default: str) -> How:
    """The keys `basis` and `u_place`, where the mass's uncertainty comes from samples or bounds."""
    return How(
        keys.text("basis", choices=WEIGHTS, default=default), None,
        size(keys, "u_place", "length", required=False, low=0.0, high=2.0),
    )  # fmt: skip


def area(keys: Keys, required: bool = True, example: str = "area_m2 = 1.62") -> float | None:
    """The key `area`, or `length` times `width`; None where it cannot be told, with a Problem if it is required."""
    whole = size(keys, "area", "area", required=False, high=200.0)
    long, wide = (size(keys, side, required=False, high=15.0) for side in ("length", "width"))
    named = [key for key in keys.table if key.split("_")[0] in ("area", "length", "width")]
    if whole is not None and (long is not None or wide is not None):
        keys.report("area", "", "area is given, and sides too", "Keep area, or length and width")
        return None
    if whole is not None:
        return whole
    if long is not None and wide is not None:
        return long * wide
    if required and (not named or named[0].split("_")[0] != "area") and len(named) < 2:
        other = "" if not named else f" beside {named[0]}"
        keys.report("area", "", f"area is missing{other}", f"Write {example}, or length_m and width_m")
    return None


def report_error(keys: Keys, key: str, error: InputError) -> None:
    """Report at `key` what a calculation says is wrong; keys not yet asked for are not pointed out beside it."""
    said, _, mend = str(error).partition("; ")
    read = str(keys.table.get(key, ""))
    keys.report(key, "" if read in said else read, said, f"{mend[:1].upper()}{mend[1:]}" or "Check the figures")
    keys.asked += keys.table


def fraction(keys: Keys, name: str, high: float = 1.0) -> float | None:
    """A share between 0 and `high`, as 0.30 or with name_percent = 30; None where it is missing or out of bounds."""
    return size(keys, name, "fraction", required=False, low=0.0, high=high)
