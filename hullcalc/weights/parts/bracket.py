"""An engine bracket: its weight from a sheet or from its plates, and the pod that lifts the stern.

Boat frame, SI. The pod's front face lies on the raked transom; only what of it is under water lifts, so its lift is
asked of a plane of the sea. A bracket without a closed pod, a jack plate among them, has no body: 0 L.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_number, as_vector, require
from hullcalc.geometry.makers import convex_hull
from hullcalc.geometry.solid import Solid
from hullcalc.weights.parts.materials import plate_mass_per_area
from hullcalc.weights.parts.part import Fact, Line, Part, line
from hullcalc.weights.parts.sea import Immersed, heights_above, immersed
from hullcalc.weights.parts.shells import faces_of

JACK_PLATES: Mapping[str, tuple[float, float]] = {"manual": (10.0, 18.0), "hydraulic": (18.0, 30.0)}  # kg; no source


@dataclass(frozen=True, eq=False)
class Plate:
    """Plates cut alike: what they are, area of one [m²], thickness [m], density [kg/m³], centre (3,) m, how many."""

    what: str
    area: float
    thickness: float
    density: float
    centre: np.ndarray
    count: int = 1


@dataclass(frozen=True, eq=False)
class NetLift:
    """What a pod lifts at a plane of the sea, less what the bracket weighs: kg, and kg m about the origin, (3,)."""

    pod: Immersed
    net: float
    net_moment: np.ndarray


@dataclass(frozen=True, eq=False, kw_only=True)
class Bracket(Part):
    """A bracket; `openings` are the places [m] where water gets into its pod."""

    openings: Mapping[str, np.ndarray] = field(default_factory=dict)

    def net_lift(self, normal: ArrayLike, offset: float, density: float, flooded: bool = False) -> NetLift:
        """Lift of the pod less the bracket's weight; flooded, or without a pod, it lifts nothing.

        What the plates themselves displace is left out: 52 kg of aluminium are 20 L.
        """
        dry = Immersed(0.0, 0.0, np.full(3, np.nan))
        pod = dry if flooded or self.body is None else immersed(self.body, normal, offset, density)
        own = self.item
        return NetLift(pod, pod.lift - float(own.mass), pod.moment - own.moment)

    def opening_heights(self, normal: ArrayLike, offset: float) -> dict[str, float]:
        """Height of each opening above the water [m], negative when under."""
        return {name: float(heights_above(at, normal, offset)) for name, at in self.openings.items()}

    def litres_below(self, opening: str, normal: ArrayLike) -> float:
        """Volume [m³] that a slow leak through an opening can put into the pod, up to the opening's own level."""
        if self.body is None:
            return 0.0
        if opening not in self.openings:
            raise InputError(f"{self.name}: no opening {opening!r}; there are: {', '.join(self.openings) or 'none'}")
        n = np.asarray(normal, dtype=float)
        return self.body.cut(n, float(self.openings[opening] @ n)).volume


def pod(
    rake: float,
    top: float,
    depth: float,
    length: float,
    width: float,
    *,
    depth_aft: float | None = None,
    width_aft: float | None = None,
    length_at_bottom: float | None = None,
) -> Solid:
    """A pod of eight corners whose front face lies on the transom.

    Parameters
    ----------
    rake : float
        Of the transom, top aft [rad].
    top : float
        Height of its flat top above the keel line [m].
    depth, width : float
        Of the front face: upright, not along the transom, and across [m].
    length : float
        Along the top, from the transom aft [m].
    depth_aft, width_aft : float, optional
        Of the aft face [m]; as in front where not given.
    length_at_bottom : float, optional
        From the lower front edge to the lower aft edge, along the boat [m]; an aft face parallel to the transom where
        not given.

    Raises
    ------
    InputError
        For a size that is not positive or that no bracket has.
    """
    depth_aft, width_aft = depth if depth_aft is None else depth_aft, width if width_aft is None else width_aft
    sizes = {"depth": depth, "length": length, "width": width, "depth aft": depth_aft, "width aft": width_aft}
    for name, value in sizes.items():
        value = as_number(value, f"{name} of the pod", "m")
        require(0 < value <= 3, f"{name} of the pod", value, "m", "must lie between 0 and 3 m", "measure the box")
    require(0 <= rake < np.radians(45), "transom rake", rake, "rad", "must lie between 0 and 45 degrees", "top aft")
    top = as_number(top, "top of the pod", "m")
    slope = np.tan(rake)
    low, low_aft = top - depth, top - depth_aft
    front_top, front_low = -top * slope, -low * slope
    aft_top = front_top - length
    aft_low = aft_top + depth_aft * slope if length_at_bottom is None else front_low - length_at_bottom
    mend = "measure from the transom aft"
    require(aft_low < front_low, "lower aft edge of the pod", aft_low, "m", "must lie aft of the transom", mend)
    corners = [
        (x, side * wide / 2, z)
        for side in (1, -1)
        for x, wide, z in (
            (front_low, width, low), (front_top, width, top), (aft_low, width_aft, low_aft), (aft_top, width_aft, top)
        )
    ]  # fmt: skip
    body = convex_hull(corners)
    if len(body.vertices) < 8:
        raise InputError(
            "pod: a corner lies inside the others, so the box is hollow; check depth, depth_aft and length_at_bottom"
        )
    return body


def shell_plates(body: Solid, thickness: float, density: float) -> tuple[Plate, ...]:
    """The plates that a pod is welded of: one for each face."""
    return tuple(
        Plate(f"pod, {face.side}", face.area, thickness, density, np.array(face.centre)) for face in faces_of(body)
    )


def plate_lines(name: str, plates: Sequence[Plate], extra: float = 0.0, extra_what: str = "welds") -> tuple[Line, ...]:
    """Lines of plates, and one of `extra`, a fraction of them all at their common centre, for welds or fittings."""
    lines = []
    for plate in plates:
        area = as_number(plate.area, f"area of {plate.what}", "m2")
        require(0 < area <= 20, f"area of {plate.what}", area, "m2", "must lie between 0 and 20 m2", "check its sizes")
        per_area = plate_mass_per_area(plate.thickness, plate.density)
        times = f"{plate.count} x " if plate.count > 1 else ""
        how = f"{times}{area:.3f} m² x {per_area:.2f} kg/m² ({plate.thickness * 1000:.3g} mm)"
        mass, alike = plate.count * area * per_area, f"{name}: plates"  # one drawing, one thickness of stock
        lines.append(line(name, plate.what, how, mass, plate.centre, "calculated", shared=alike, placed_by=alike))
    if extra and lines:
        lines.append(share_of(name, lines, extra, extra_what))
    return tuple(lines)


def share_of(name: str, lines: Sequence[Line], share: float, what: str) -> Line:
    """A line of a fraction of the lines before, at their common centre; its own share is estimated."""
    share = as_number(share, what, "")
    require(0 < share <= 1, f"{what} as a share", share, "", "must lie between 0 and 1", "10 % is 0.10")
    mass = sum(float(one.item.mass) for one in lines)
    centre = sum((one.item.moment for one in lines), start=np.zeros(3)) / mass
    return line(name, what, f"{100 * share:g} % of {mass:.1f} kg", share * mass, centre, "estimated")


def bracket(
    name: str,
    lines: Sequence[Line],
    body: Solid | None,
    *,
    basis: str,
    setback: float | None = None,
    u_volume: float = 0.0,
    openings: Mapping[str, ArrayLike] | None = None,
    says: Sequence[str] = (),
) -> Bracket:
    """A bracket of its lines, with a pod or without; raises InputError without lines or with openings and no pod."""
    if not lines:
        raise InputError(f"{name}: there is nothing to weigh; give the mass of a sheet, or plates")
    places = {opening: as_vector(at, f"opening {opening}") for opening, at in (openings or {}).items()}
    if places and body is None:
        raise InputError(f"{name}: openings are given and no pod; give the pod's sizes, or take the openings out")
    notes = list(says)
    facts = [] if setback is None else [Fact("setback, transom face to clamp face", setback, "length")]
    if body is None:
        notes.append("No closed pod: it lifts nothing, 0 L")
    else:
        facts.append(Fact("whole pod", body.volume, "volume"))
        if not places:
            notes.append("No opening of the pod is given: a hatch, a drain or a cracked weld lets water in. Name them")
    return Bracket(name=name, lines=tuple(lines), basis=basis, body=body, u_volume=u_volume, says=tuple(notes),
                   facts=tuple(facts), openings=places)  # fmt: skip


def jack_plate(
    name: str,
    kind: str,
    setback: float,
    centre: ArrayLike,
    mass: float | None = None,
    basis: str = "data sheet",
) -> Bracket:
    """A jack plate: no body, 0 L; without a mass, the middle of what its kind weighs (common practice, no source)."""
    if kind not in JACK_PLATES:
        raise InputError(f"jack plate {kind!r} is not known; write one of: {', '.join(JACK_PLATES)}")
    setback = as_number(setback, "setback", "m")
    require(0 < setback < 0.6, "setback", setback, "m", "must lie between 0 and 0.6 m", "a jack plate is that short")
    if mass is None:
        low, high = JACK_PLATES[kind]
        made = line(name, f"{kind} jack plate", f"{low:g} to {high:g} kg, common practice", (low + high) / 2, centre,
                    "table", low=low, high=high)  # fmt: skip
        basis = "table"
    else:
        made = line(name, f"{kind} jack plate", f"{mass:g} kg, {basis}", mass, centre, basis)
    return bracket(name, [made], None, basis=basis, setback=setback)
