"""kind = "soaked foam": as found, from [[plug]]s or from low, likely and high; kind = "new foam": by its density."""

from __future__ import annotations

from hullcalc.boats.part_kinds.asking import place, size, tables
from hullcalc.boats.part_kinds.common import fraction, how_known, how_placed
from hullcalc.boats.toml_keys import Keys
from hullcalc.weights.parts import foam as parts
from hullcalc.weights.parts.part import Part

BOUNDS = ("low", "likely", "high")


def make_soaked(keys: Keys, name: str) -> Part | None:
    """Foam that was there: volume, plugs or bounds of its density."""
    before = len(keys.problems.to_mend)
    volume, at = size(keys, "volume", "volume", high=20.0, example="volume_l = 340"), place(keys)
    how = how_placed(keys, "estimated")
    u_volume = fraction(keys, "u_volume", 0.99)
    u_volume = parts.U_VOLUME if u_volume is None else u_volume
    shared = keys.text("shared", default=parts.SOAKED_FOAM)
    bounds = [size(keys, one, "density", required=False, high=parts.HEAVIEST) for one in BOUNDS]
    plugs = []
    for one in tables(keys, "plug"):
        plug = _plug(one)
        one.finish(strict=True)
        if plug is not None:
            plugs.append(plug)
    water = _water(keys)
    given = [one for one in BOUNDS if any(key.startswith(one) for key in keys.table)]
    if given and "plug" in keys.table:
        keys.report(given[0], "", "there are plugs too", "Keep the plugs, or low, likely and high")
    elif given and len(given) < 3:
        missing = next(one for one in BOUNDS if one not in given)
        keys.report(missing, "", f"{missing} is missing", f"Write {missing}_kg_m3 = ..., so that all three are there")
    elif not given and "plug" not in keys.table:
        keys.report(
            "plug", "", "neither plugs nor bounds of its density",
            "Weigh plugs: [[plug]] with mass_g, diameter_mm, length_mm; or write low_kg_m3, likely_kg_m3, high_kg_m3",
        )  # fmt: skip
    if len(keys.problems.to_mend) > before or volume is None or at is None:
        return None
    low, likely, high = bounds
    if low is not None and likely is not None and high is not None:
        return parts.foam_in_bounds(
            name, volume, low, likely, high, at, u_volume, how.basis, how.u_place, shared, water
        )  # fmt: skip
    return parts.foam_of_plugs(name, volume, plugs, at, u_volume, how.basis, how.u_place, shared, water)


def make_new(keys: Keys, name: str) -> Part | None:
    """Closed-cell foam put in."""
    before = len(keys.problems.to_mend)
    volume, at = size(keys, "volume", "volume", high=20.0, example="volume_l = 380"), place(keys)
    density = size(keys, "density", "density", required=False, high=300.0)
    foam = keys.text("foam", default="poured polyurethane 2 lb")
    how, water = how_known(keys, "calculated"), _water(keys)
    if len(keys.problems.to_mend) > before or volume is None or at is None:
        return None
    return parts.new_foam(name, volume, at, foam, density, how.basis, how.u_mass, how.u_place, water)


def _plug(one: Keys) -> parts.Plug | None:
    """A plug of mass, and volume or diameter and length."""
    mass, volume = size(one, "mass", "mass", example="mass_g = 55"), size(one, "volume", "volume", required=False)
    wide, long = size(one, "diameter", required=False, high=0.5), size(one, "length", required=False, high=1.0)
    named = {key.split("_")[0] for key in one.table} & {"volume", "diameter", "length"}
    if "volume" in named and len(named) > 1:
        one.report("volume", "", "volume is given, and sizes too", "Keep volume, or diameter and length")
        return None
    if "volume" not in named and named != {"diameter", "length"}:
        missing = "volume" if not named else "length" if "diameter" in named else "diameter"
        mend = "Write volume_ml = 196, or diameter_mm = 50 and length_mm = 100"
        one.report(missing, "", f"{missing} is missing", mend)
        return None
    if wide is not None and long is not None:
        volume = parts.plug_volume(wide, long)
    return None if mass is None or volume is None else parts.Plug(mass, volume)


def _water(keys: Keys) -> float:
    water = size(keys, "water_density", "density", required=False, low=950.0, high=1100.0)
    return parts.SEA if water is None else water
