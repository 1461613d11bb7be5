"""An outboard as hung: dry engine, longer leg, oil, propeller and rigging, from a sheet or from her class of power.

What a sheet's figure includes is asked, never assumed; what it leaves out is added, each as a line with its own basis.
Boat frame, SI; power in hp, the unit of the trade's classes. The `clamp` is the top of the transom or of the bracket's
plate at the engine's clamping face, on the engine's centreline.

Classes of weight are rows of the reference tables "outboards" (a published table, meant as the heaviest of each class)
and "outboard_ranges" (least and most over makes and years, from memory). Places of the centre, oil, propeller and leg
are common practice, no source, said at each constant.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_number, as_vector, require
from hullcalc.geometry.makers import box
from hullcalc.geometry.solid import Solid
from hullcalc.units import factor, say_in
from hullcalc.weights.parts.part import Fact, Line, Part, line
from hullcalc.weights.parts.sea import Immersed, immersed
from hullcalc.weights.reference import Row, reference_table

INCLUDES = ("dry", "leg", "oil", "propeller", "rigging")
LEGS: Mapping[str, float] = {"S": 0.381, "L": 0.508, "XL": 0.635, "XXL": 0.762}  # 15, 20, 25, 30 in: the trade's sizes
STROKES = ("four", "two")
PROPELLERS: Mapping[str, tuple[float, float]] = {"aluminium": (3.0, 5.0), "stainless": (5.0, 9.0)}  # kg; no source
SMALL = 40.0  # hp: below it a propeller weighs in proportion; common practice, no source
LEG_PER_SIZE = 0.05  # of the dry mass for a leg 127 mm longer; the published table adds 10 % for legs and hardware
OIL_PER_HP, GEAR_OIL_PER_HP = 0.030e-3, 0.004e-3  # m³: 4 to 8 L for a V6 of 150 to 300 hp (from memory)
OIL = 880.0  # kg/m³ (from memory: 870 to 890)
RIGGING = 0.05  # of the dry mass: controls and rigging in the published table
U_CENTRE = (0.045, 0.02, 0.045)  # m: rectangles of 150 mm are 43 mm to one standard uncertainty (GUM 4.3.7)
AFT, ABOVE = (0.10, 0.25), (0.20, 0.35)  # m of the centre from clamp and transom top, small to large; no source
FULL_SIZE = 250.0  # hp of the outboard that the sizes below are of; lengths go with the cube root of power; no source
PROPELLER_AFT, HUB_BELOW_PLATE = 0.48, 0.17  # m
STRUT = (0.22, 0.09)  # m fore and aft, across
STRUT_AFT, SKEG_BELOW_PLATE = 0.30, 0.38  # m
LIGHTEST = 0.6  # of the heaviest of a class: the least where no range is known; common practice, no source
DOUBTFUL, IMPOSSIBLE = 1.15, 3.0  # times out of the range of the class: worth a question; no engine weighs that


@dataclass(frozen=True, eq=False, kw_only=True)
class Engine(Part):
    """An outboard as hung; `leg` is what may be under water, no body that floats her unless it is asked for."""

    power: float  # hp
    clamp: np.ndarray
    leg: Solid
    includes: tuple[str, ...] = ()
    added: tuple[str, ...] = ()

    def leg_under(self, normal: ArrayLike, offset: float, density: float) -> Immersed:
        """What of the leg is under water and what it lifts, for a plane of the sea (see `sea`)."""
        return immersed(self.leg, normal, offset, density)


@dataclass(frozen=True)
class Sheet:
    """What a sheet says: a mass [kg], what it includes, of which leg it speaks, and where it comes from."""

    mass: float
    includes: tuple[str, ...]
    leg: str = ""
    basis: str = "data sheet"
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class Known:
    """What is known of an engine's other parts, None where it is not: masses [kg], oil [m³], places (3,) m."""

    leg: float | None = None
    oil: float | None = None
    propeller: float | None = None
    rigging: float | None = None
    bases: Mapping[str, str] = field(default_factory=dict)
    propeller_at: np.ndarray | None = None
    rigging_at: np.ndarray | None = None
    centre: np.ndarray | None = None


@dataclass(frozen=True)
class _Head:
    """What hangs above the clamp: the lines of it share one place and its error."""

    name: str
    power: float
    stroke: str
    centre: np.ndarray
    u_place: tuple[float, float, float] | None

    def line(self, what: str, how: str, mass: float, basis: str, low: float | None = None, high: float | None = None):
        return line(self.name, what, how, mass, self.centre, basis, u_place=self.u_place, low=low, high=high,
                    placed_by=f"{self.name}: head")  # fmt: skip


def clamp_place(height: float, rake: float, setback: float = 0.0, y: float = 0.0) -> np.ndarray:
    """The clamp (3,) m: `height` of its top above the keel line, on a transom raked aft [rad], `setback` behind it.

    Setback is from the transom's face to the clamping face, along the boat, at that height; 0 without a bracket.
    """
    for name, value in (("transom height", height), ("setback", setback), ("y", y)):
        as_number(value, name, "m")
    require(0.1 < height < 2.5, "height of the clamp", height, "m", "must lie between 0.1 and 2.5 m",
            "measure from the keel line up to the top that the engine hangs on")  # fmt: skip
    require(0 <= rake < np.radians(45), "transom rake", rake, "rad", "must lie between 0 and 45 degrees", "top aft")
    require(0 <= setback < 1.5, "setback", setback, "m", "must lie between 0 and 1.5 m", "it counts aft as a plain m")
    return np.array([-height * np.tan(rake) - setback, y, height])


def mass_range(power: float, stroke: str) -> tuple[float, float] | None:
    """Least and most of dry outboards of a power [hp], long leg, no propeller [kg]; None outside 20 to 450 hp.

    Between two classes the bounds run straight from one to the other.
    """
    rows = [row for row in reference_table("outboard_ranges") if row["stroke"] == stroke]
    ends = [(float(row[end]), float(row["least_kg"]), float(row["most_kg"]))
            for row in rows for end in ("power_from_hp", "power_to_hp")]  # fmt: skip
    powers, least, most = np.array(sorted(set(ends))).T
    if not powers[0] <= power <= powers[-1]:
        return None
    return float(np.interp(power, powers, least)), float(np.interp(power, powers, most))


def published_class(power: float) -> Row | None:
    """The row of the published table for a power [hp]; None above 350 hp."""
    rows = [row for row in reference_table("outboards") if power <= float(row["power_to_hp"]) + 0.05]
    return rows[0] if rows else None


def question(mass: float, includes: Collection[str], power: float, stroke: str) -> str | None:
    """A sentence where a typed mass is far from what such an outboard weighs; None where it is not.

    Raises
    ------
    InputError
        Where it is off by a factor of three or more, as a misplaced decimal point makes it.
    """
    bounds = _bounds(includes, power, stroke)
    if bounds is None:
        return None
    low, high = bounds
    out = max(mass / high, low / mass)
    if out <= DOUBTFUL:
        return None
    middle = (low + high) / 2
    usual = f"a {power:g} hp {stroke}-stroke outboard ({' + '.join(includes)}) weighs ({low:.0f}-{high:.0f})"
    ratio = mass / middle
    if out >= IMPOSSIBLE:
        times = f"{ratio:.0f} x" if ratio > 1 else f"1/{1 / ratio:.0f} of"
        guess = mass / 10 if ratio > 1 else mass * 10
        point = f"missing decimal point? Type {guess:g}" if 6.5 <= max(ratio, 1 / ratio) <= 15 else "check its unit"
        raise InputError(f"mass of the engine: {say_in(mass, 'mass', 'kg')} is {times} what {usual}; {point}")
    pounds = f" Typed in pounds? {mass:g} lb is {mass * factor('lb', 'mass'):.0f} kg." if 1.75 <= ratio <= 2.75 else ""
    return f"{say_in(mass, 'mass', 'kg')} lies outside what {usual}: ask for the sheet, or weigh it.{pounds}"


def _bounds(includes: Collection[str], power: float, stroke: str) -> tuple[float, float] | None:
    """Least and most [kg] of what is included, by the class; None where neither table reaches."""
    known = mass_range(power, stroke)
    if known is None:
        row = published_class(power)
        if row is None:
            return None
        known = LIGHTEST * _kg(row, "dry"), _kg(row, "dry")
    low, high = known
    more = {"leg": LEG_PER_SIZE * high, "rigging": RIGGING * high, "oil": oil_volume(power, stroke) * OIL,
            "propeller": _propeller_range("stainless", power)[1]}  # fmt: skip
    return low, high + sum(mass for name, mass in more.items() if name in includes)


def _kg(row: Row, column: str) -> float:
    return float(row[f"{column}_lb"]) * factor("lb", "mass")


def oil_volume(power: float, stroke: str) -> float:
    """Engine and gear oil [m³] of an outboard of a power [hp]; a two-stroke carries its engine oil elsewhere."""
    return power * (GEAR_OIL_PER_HP + (OIL_PER_HP if stroke == "four" else 0.0))


def _propeller_range(kind: str, power: float) -> tuple[float, float]:
    low, high = PROPELLERS[kind]
    part = min(1.0, power / SMALL)
    return part * low, part * high


def as_hung(
    name: str,
    power: float,
    clamp: ArrayLike,
    sheet: Sheet | None = None,
    *,
    leg: str,
    stroke: str = "four",
    propeller: str = "stainless",
    known: Known | None = None,
    heaviest: bool = False,
) -> Engine:
    """An outboard as hung.

    Parameters
    ----------
    name : str
        Its own name.
    power : float
        [hp].
    clamp : array_like, shape (3,)
        See `clamp_place` [m].
    sheet : Sheet, optional
        A mass and what it includes; without one, the class of power speaks.
    leg : str
        A key of LEGS: the length of the leg she gets.
    stroke : "four" or "two"
    propeller : "aluminium" or "stainless"
    known : Known, optional
        What is known of what the sheet leaves out, and of places.
    heaviest : bool
        Without a sheet: take the published table, meant as the heaviest of the class, not the middle of the range.

    Raises
    ------
    InputError
        For a power, leg, stroke or inclusion that is not known, a mass far off its class, or a power that no table
        reaches where no mass is given.
    """
    power, clamp, known = as_number(power, "power", "hp"), as_vector(clamp, "clamp"), known or Known()
    require(0 < power <= 700, "power", power, "hp", "must lie between 0 and 700 hp", "give it in hp, or with its unit")
    for word, given, choices in (("leg", leg, LEGS), ("stroke", stroke, STROKES), ("propeller", propeller, PROPELLERS)):
        if given not in choices:
            raise InputError(f"{word} = {given!r} is not known; write one of: {', '.join(choices)}")
    says: list[str] = []
    centre = _centre(power, clamp, known, says)
    head = _Head(name, power, stroke, centre, U_CENTRE if known.centre is None else None)
    if sheet is None:
        lines, includes = _from_class(head, heaviest, says)
    else:
        lines, includes = _from_sheet(head, sheet, says), tuple(sheet.includes)
    dry = float(lines[0].item.mass)
    hub = _hub(power, clamp, leg)
    rest = {
        "leg": lambda: _leg_line(head, dry, leg, sheet, known, says),
        "oil": lambda: _oil_line(head, known),
        "propeller": lambda: _propeller_line(name, propeller, power, hub, known),
        "rigging": lambda: _rigging_line(name, dry, clamp, known, says),
    }
    added = tuple(what for what in rest if what not in includes)
    lines += [made for what in added if (made := rest[what]()) is not None]
    body = leg_body(power, clamp, leg)
    row = published_class(power)
    facts = [Fact("centre of the head aft of the clamp", float(clamp[0] - centre[0]), "length"),
             Fact("centre of the head above the transom top", float(centre[2] - clamp[2]), "length"),
             Fact("whole leg, skeg to clamp", body.volume, "volume")]  # fmt: skip
    if row is not None:
        heavy = _kg(row, "running") + _kg(row, "rigging")
        facts.append(Fact("published table, running with rigging, heaviest of the class", heavy, "mass"))
    says.append("The leg is counted as no body: the old engine's had one too. Its litres under water are told apart")
    basis = "table" if sheet is None else sheet.basis
    return Engine(name=name, lines=tuple(lines), basis=basis, says=tuple(says), facts=tuple(facts), power=power,
                  clamp=clamp, leg=body, includes=tuple(includes), added=added)  # fmt: skip


def _centre(power: float, clamp: np.ndarray, known: Known, says: list[str]) -> np.ndarray:
    if known.centre is not None:
        return as_vector(known.centre, "centre of the engine")
    part = float(np.clip(np.log(power / 10) / np.log(450 / 10), 0, 1))
    aft, above = (low + part * (high - low) for low, high in (AFT, ABOVE))
    says.append(
        f"Centre of the head taken {aft * 1000:.0f} mm aft of the clamp and {above * 1000:.0f} mm above its top, "
        "tilted down: common practice, 100 to 250 and 200 to 350 mm, small engines to large. Measure it on the hoist"
    )
    return clamp + np.array([-aft, 0.0, above])


def _from_sheet(head: _Head, sheet: Sheet, says: list[str]) -> list[Line]:
    mass = as_number(sheet.mass, "mass of the engine", "kg")
    require(mass > 0, "mass of the engine", mass, "kg", "must be positive", "write what the sheet says")
    unknown = [what for what in sheet.includes if what not in INCLUDES]
    if unknown or "dry" not in sheet.includes:
        read = f"{unknown[0]!r} is not known" if unknown else "dry is missing"
        raise InputError(f"includes: {read}; say what the sheet's figure holds, of: {', '.join(INCLUDES)}")
    asked = question(mass, sheet.includes, head.power, head.stroke)
    says += [asked] if asked else []
    what, how = " + ".join(sheet.includes), f"{mass:g} kg, {sheet.basis}"
    if sheet.leg:
        how += f", leg {sheet.leg}"
    return [head.line(what, how, mass, sheet.basis, sheet.low, sheet.high)]


def _from_class(head: _Head, heaviest: bool, says: list[str]) -> tuple[list[Line], tuple[str, ...]]:
    power, stroke = head.power, head.stroke
    bounds, row = mass_range(power, stroke), published_class(power)
    if row is not None and (heaviest or bounds is None):
        says.append("From the published table, which is meant as the heaviest of the class: an upper bound")
        dry, running = _kg(row, "dry"), _kg(row, "running")
        where = f"{row['power_from_hp']:g} to {row['power_to_hp']:g} hp"
        return [
            head.line("dry + leg", f"{row['dry_lb']:g} lb, table, {where}", dry, "table"),
            head.line("oil + propeller", f"running less dry, {row['running_lb']:g} - {row['dry_lb']:g} lb",
                 running - dry, "table"),
        ], ("dry", "leg", "oil", "propeller")  # fmt: skip
    if bounds is None:
        raise InputError(
            f"power = {power:g} hp is beyond the tables of outboards; give the mass from the maker's sheet"
        )
    low, high = bounds
    says.append(
        f"No sheet: the middle of what {stroke}-stroke outboards of {power:g} hp weigh dry with a long leg, "
        f"{low:.0f} to {high:.0f} kg, from memory. The maker's sheet, or a scale, is better"
    )
    how = f"middle of {low:.0f} to {high:.0f} kg, dry, leg L"
    return [head.line("dry", how, (low + high) / 2, "table", low, high)], ("dry",)


def _leg_line(head: _Head, dry: float, leg: str, sheet: Sheet | None, known: Known, says: list[str]) -> Line | None:
    basis = known.bases.get("leg", "estimated")
    if known.leg is not None:
        return head.line("leg kit", f"{known.leg:g} kg, {basis}", known.leg, basis)
    usual = "L" if head.power > 25 or sheet is None else "S"
    of_sheet = sheet.leg if sheet is not None and sheet.leg else usual
    if sheet is not None and not sheet.leg:
        says.append(f"The sheet was taken to speak of the leg {usual}: brochures quote the shortest of the class")
    sizes = round((LEGS[leg] - LEGS[of_sheet]) / 0.127)
    if sizes == 0:
        return None
    mass = LEG_PER_SIZE * sizes * dry
    how = f"leg {leg} for {of_sheet}: {sizes} x {100 * LEG_PER_SIZE:g} % of {dry:.0f} kg"
    if sizes < 0:
        raise InputError(
            f"the sheet speaks of a leg {of_sheet}, longer than the {leg} asked for; give the sheet of {leg}"
        )
    return head.line("longer leg", how, mass, basis)


def _oil_line(head: _Head, known: Known) -> Line:
    volume = oil_volume(head.power, head.stroke) if known.oil is None else known.oil
    basis = known.bases.get("oil", "estimated" if known.oil is None else "data sheet")
    how = f"{volume * 1000:.1f} L x {OIL / 1000:g} kg/L"
    if known.oil is None:
        how += f", {1000 * volume / head.power:.3f} L a hp" + (", gear oil only" if head.stroke == "two" else "")
    return head.line("oil", how, volume * OIL, basis)


def _propeller_line(name: str, kind: str, power: float, hub: np.ndarray, known: Known) -> Line:
    at = hub if known.propeller_at is None else known.propeller_at
    if known.propeller is not None:
        basis = known.bases.get("propeller", "data sheet")
        return line(name, "propeller", f"{known.propeller:g} kg, {basis}", known.propeller, at, basis)
    low, high = _propeller_range(kind, power)
    how = f"{kind}, {low:.1f} to {high:.1f} kg"
    return line(name, "propeller", how, (low + high) / 2, at, "estimated", low=low, high=high)


def _rigging_line(name: str, dry: float, clamp: np.ndarray, known: Known, says: list[str]) -> Line:
    at = clamp + np.array([0.0 if known.rigging_at is not None else 1.0, 0.0, -0.15])
    if known.rigging_at is not None:
        at = known.rigging_at
    else:
        says.append("Rigging (harness, controls, fuel hose) taken 1.0 m ahead of the clamp and 150 mm below its top")
    if known.rigging is not None:
        basis = known.bases.get("rigging", "estimated")
        return line(name, "rigging", f"{known.rigging:g} kg, {basis}", known.rigging, at, basis)
    how = f"{100 * RIGGING:g} % of {dry:.0f} kg, as in the published table"
    return line(name, "rigging", how, RIGGING * dry, at, "table")


def _scale(power: float) -> float:
    return float((power / FULL_SIZE) ** (1 / 3))


def _hub(power: float, clamp: np.ndarray, leg: str) -> np.ndarray:
    s = _scale(power)
    return clamp + np.array([-PROPELLER_AFT * s, 0.0, -LEGS[leg] - HUB_BELOW_PLATE * s])


def leg_body(power: float, clamp: ArrayLike, leg: str) -> Solid:
    """The leg as a plain box from skeg to clamp, which holds about what strut and gearcase do; sizes: no source."""
    s, (x, y, z) = _scale(power), as_vector(clamp, "clamp")
    along, across, middle = STRUT[0] * s / 2, STRUT[1] * s / 2, x - STRUT_AFT * s
    bottom = z - LEGS[leg] - SKEG_BELOW_PLATE * s
    return box((middle - along, middle + along), (y - across, y + across), (bottom, z))
