"""kind = "bracket": from its sheet or its plates, with the pod's sizes; kind = "jack plate": no pod."""

from __future__ import annotations

import numpy as np

from hullcalc.boats.part_kinds.also import WEIGHTS, also_lines, material, openings, plates
from hullcalc.boats.part_kinds.asking import place, point, size
from hullcalc.boats.toml_keys import Keys
from hullcalc.errors import LOOK
from hullcalc.geometry.makers import convex_hull
from hullcalc.geometry.solid import Solid
from hullcalc.weights.parts import bracket as parts
from hullcalc.weights.parts.part import Line, Part, line

ALUMINIUM = "aluminium 5083"
WELDS = 0.03  # of the plates; common practice, no source
POD_SIZES = ("length", "width", "depth", "depth_aft", "width_aft", "length_at_bottom")


def make(keys: Keys, name: str) -> Part | None:
    """A bracket with the pod's body, or with pod_litres = 0."""
    before = len(keys.problems.to_mend)
    body = _pod(keys)
    setback = size(keys, "setback", required=False, high=1.5)
    u_volume = size(keys, "u_volume", "volume", required=False, low=0.0, high=0.5)
    inlets = openings(keys)
    lines, basis, says = _lines(keys, name, body)
    if len(keys.problems.to_mend) > before:
        return None
    if body is not None and u_volume is None:
        keys.report("u_volume", "", "not given: the pod's volume was taken as exact", "Write u_volume_l = 10", LOOK)
    return parts.bracket(name, lines, body, basis=basis, setback=setback, u_volume=u_volume or 0.0, openings=inlets,
                         says=says)  # fmt: skip


def make_jack_plate(keys: Keys, name: str) -> Part | None:
    """A jack plate: manual or hydraulic."""
    kind = keys.text("type", required=True, choices=tuple(parts.JACK_PLATES))
    setback, at = size(keys, "setback", high=0.6, example="setback_mm = 150"), place(keys)
    mass = size(keys, "mass", "mass", required=False, high=200.0)
    basis = keys.text("basis", choices=WEIGHTS, default="data sheet")
    if not kind or setback is None or at is None:
        return None
    return parts.jack_plate(name, kind, setback, at, mass, basis)


def _pod(keys: Keys) -> Solid | None:
    """The body of the pod; None without a Problem for pod_litres = 0, or with one to look at where nothing is said."""
    litres = keys.raw("pod_litres")
    said = keys.raw("pod")
    if litres is not None:
        if litres != 0 or isinstance(litres, bool):
            keys.report("pod_litres", litres, "litres alone do not say where they lift", "Give the pod's sizes: [pod]")
        elif said is not None:
            keys.report("pod_litres", litres, "the pod has sizes too", "Keep one of them")
        return None
    if said is None:
        keys.report(
            "pod", "", "no pod shape and no litres given; taken as 0 L (open bracket): the stern floats deeper than "
            "with a pod", "Measure length, width and depth of the box, or write pod_litres = 0 if it is open", LOOK,
        )  # fmt: skip
        return None
    pod = keys.sub("pod")
    corners = pod.raw("corners")
    if corners is not None:
        body = _of_corners(pod, corners)
        pod.finish(strict=True)
        return body
    before = len(pod.problems.to_mend)
    rake = size(pod, "transom_rake", "angle", low=0.0, high=0.785, example="transom_rake_deg = 14")
    top = pod.position("top", "z", True, "top_m = 0.58")
    sizes = {one: size(pod, one, required=one in POD_SIZES[:3], high=3.0) for one in POD_SIZES}
    pod.finish(strict=True)
    if len(pod.problems.to_mend) > before or rake is None or top is None:
        return None
    length, width, depth = (sizes[one] or 0.0 for one in POD_SIZES[:3])
    return parts.pod(rake, top, depth, length, width, depth_aft=sizes["depth_aft"], width_aft=sizes["width_aft"],
                     length_at_bottom=sizes["length_at_bottom"])  # fmt: skip


def _of_corners(pod: Keys, corners: object) -> Solid | None:
    if not isinstance(corners, list) or len(corners) < 4:
        pod.report("corners", corners, "expected four or more corners", "Write corners = [[-0.035, 0.30, 0.14], ...]")
        return None
    points = [point(pod, "corners", corner) for corner in corners]
    return None if any(p is None for p in points) else convex_hull(np.array(points))


def _lines(keys: Keys, name: str, body: Solid | None) -> tuple[list[Line], str, list[str]]:
    """The sum: a sheet's mass, or plates, and what goes along; the basis of the whole; what was taken for granted."""
    mass = size(keys, "mass", "mass", required=False, high=1000.0)
    at = place(keys, required=False)
    basis = keys.text("basis", choices=WEIGHTS, default="data sheet")
    thick = size(keys, "plate_thickness", required=False, high=0.05)
    share = keys.quantity("welds", "fraction")
    cut = bool(thick or keys.table.get("plate"))
    density = material(keys, ALUMINIUM) if cut or {"material", "density_kg_m3"} & set(keys.table) else None
    found = plates(keys, density)
    more = also_lines(keys, name)
    says: list[str] = []
    if mass is not None:
        if at is None and not any(key.split("_")[0] in ("x", "z") for key in keys.table):
            keys.report("x", "", "the bracket's centre is missing", "Write x_m = -0.55 and z_m = 0.50")
        if cut:
            keys.report("mass", f"{mass:g} kg", "there are plates too", "Keep the sheet's mass or the plates")
        if at is None:
            return [], basis, says
        return [line(name, "sheet", f"{mass:g} kg, {basis}", mass, at, basis), *more], basis, says
    if at is not None:
        keys.report("mass", "", "mass is missing", "Write mass_kg = 52, or give plates and take x, y, z out")
    if thick and body is not None and density is not None:
        found = (*parts.shell_plates(body, thick, density), *found)
    elif thick and body is None:
        keys.report("plate_thickness", thick, "there is no pod to cut plates for", "Give the pod's sizes: [pod]")
    if not found and not more:
        keys.report("mass", "", "nothing to weigh", "Write mass_kg = 52 with x_m and z_m, or plate_thickness_mm = 5")
        return [], basis, says
    if share is None and found:
        says.append(f"Welds taken as {100 * WELDS:g} % of the plates: common practice")
    lines = parts.plate_lines(name, found, WELDS if share is None else share)
    return [*lines, *more], "calculated", says
