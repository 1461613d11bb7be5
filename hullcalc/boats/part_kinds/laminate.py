"""kind = "laminate": layers on each other over an area: plies, cores, gelcoat, coats.

kind = "laminate"
area_m2 = 5.7
x_m = 2.00
z_m = 0.475
[[layer]]
ply = "mat"
glass_g_m2 = 450
[[layer]]
core = "PVC foam"
thickness_mm = 20
"""

from __future__ import annotations

from hullcalc.boats.part_kinds.asking import count, place, size, tables
from hullcalc.boats.part_kinds.common import area, fraction, how_known, report_error
from hullcalc.boats.toml_keys import Keys
from hullcalc.errors import InputError
from hullcalc.weights.parts import laminate as parts
from hullcalc.weights.parts.part import Part

KINDS = ("ply", "core", "gelcoat", "coat")


def make(keys: Keys, name: str) -> Part | None:
    """A laminate from its [[layer]]s, the outer one first."""
    before = len(keys.problems.to_mend)
    whole, at, how = area(keys), place(keys), how_known(keys, "calculated")
    layers: list[parts.Layer] = []
    for one in tables(keys, "layer", required=True):
        try:
            layers += _layers(one)
        except InputError as error:
            report_error(one, "layer", error)
        one.finish(strict=True)
    if len(keys.problems.to_mend) > before or whole is None or at is None:
        return None
    return parts.laminate(name, layers, whole, at, how.basis, how.u_mass, how.u_place)


def _layers(one: Keys) -> tuple[parts.Layer, ...]:
    """The layers of one table [[layer]]; none with a Problem."""
    named = [kind for kind in KINDS if any(key == kind or key.startswith(f"{kind}_") for key in one.table)]
    if len(named) != 1:
        one.asked += one.table
        found = f"{' and '.join(named)} in one layer" if named else "what the layer is is not said"
        one.report("layer", "", found, 'Write one of: ply = "mat", core = "PVC foam", gelcoat_mm = 0.6, coat = "paint"')
        return ()
    return {"ply": _ply, "core": _core, "gelcoat": _gelcoat, "coat": _coat}[named[0]](one)


def _ply(one: Keys) -> tuple[parts.Layer, ...]:
    kind = one.text("ply", required=True)
    glass = size(one, "glass", "mass per area", example="glass_g_m2 = 450")
    process, resin = one.text("process", default="hand"), one.text("resin", default="polyester")
    share, ratio = fraction(one, "glass_fraction"), size(one, "resin_ratio", "number", required=False)
    times = count(one, "count", 1, low=1, high=100)
    if share is not None and ratio is not None:
        one.report("resin_ratio", ratio, "glass_fraction is given too", "Keep one of them")
        return ()
    if not kind or glass is None or times is None:
        return ()
    if ratio is not None:
        share = parts.fraction_of_ratio(ratio)
    return (parts.ply(kind, glass, share, process, resin, times),)


def _core(one: Keys) -> tuple[parts.Layer, ...]:
    kind, thickness = one.text("core", required=True), size(one, "thickness", example="thickness_mm = 20")
    density = size(one, "density", "density", required=False)
    take_up = size(one, "take_up", "mass per area", required=False, low=0.0)
    return parts.core(kind, thickness, density, take_up) if kind and thickness is not None else ()


def _gelcoat(one: Keys) -> tuple[parts.Layer, ...]:
    thickness = size(one, "gelcoat", example="gelcoat_mm = 0.6")
    return () if thickness is None else (parts.gelcoat(thickness),)


def _coat(one: Keys) -> tuple[parts.Layer, ...]:
    what = one.text("coat", required=True)
    each = size(one, "mass_per_area", "mass per area", example="mass_per_area_kg_m2 = 0.4")
    return (parts.coat(what, each),) if what and each is not None else ()
