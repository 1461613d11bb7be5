"""boat.toml: what is said once of a boat. Everything is read, all problems are gathered, nothing is raised."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from hullcalc.boats.crew import Crew
from hullcalc.boats.read_crew import read_crew
from hullcalc.boats.read_trips import read_burn
from hullcalc.boats.toml_files import read_toml
from hullcalc.boats.toml_keys import Keys
from hullcalc.boats.trips import Burn
from hullcalc.errors import LOOK, Problems
from hullcalc.measuring.stations import LOFTS
from hullcalc.units import NotUnderstood, find_unit
from hullcalc.weights.items import MassItem, item
from hullcalc.weights.sources import BASES, standard_uncertainties

FILE = "boat.toml"
LINES = ("keel", "chine", "chine flat outer", "sheer")
SCAN_UNITS = {"m": 1.0, "mm": 0.001, "cm": 0.01, "in": 0.0254, "ft": 0.3048}
SEA_WATER = 1025.0  # kg/m³
RAKES = (0.0, np.radians(45))  # of a transom, top aft
AS_FOUND = "as found"
TOP_ONLY = ("title", "invented", "side", "exclusive", "pod_litres", "currency")


@dataclass(frozen=True, eq=False)
class Settings:
    """What boat.toml says, SI; None where it says nothing or nothing that could be read."""

    name: str
    title: str
    invented: bool
    water_density: float
    accept_no_side: bool  # the tables have no y and the user takes that for the centreline
    datums: Mapping[str, str]  # file -> line such as "stem, aft"
    lengths: Mapping[str, float]  # declared lengths that a datum may need [m]
    loft: str
    lines: tuple[str, ...]
    scan: str
    scan_unit: str
    transom_rake: float | None
    length: float | None
    beam: float | None
    as_found: MassItem | None
    as_found_centre: np.ndarray | None
    pod_volume: float | None  # "pod_litres = 0": a bracket is known to be open
    u_mark: float
    u_hull: float
    u_water: float  # kg/m³
    plans: Mapping[str, tuple[str, ...]]
    exclusive: tuple[tuple[str, ...], ...]
    readings: Mapping[str, str]
    measured: Mapping[str, Any] = field(default_factory=dict)  # trailer and weighing, kept as typed
    burn: Burn = field(default_factory=Burn)
    currency: str = ""  # of the costs in packages.csv and moves.csv
    crew: Crew = field(default_factory=Crew)
    looks_level: float | None = None  # trim of the keel run at which she looks level [rad], bow up


def read_settings(folder: Path, problems: Problems) -> Settings | None:
    """Settings from boat.toml; None (with a Problem) where the file cannot be read."""
    doc = read_toml(folder / FILE, problems)
    if doc is None or (not doc and problems.to_mend):
        return None
    top = Keys(_in_place(doc, problems), FILE, "", problems)
    sea = top.sub("water")
    water = sea.quantity("density", "density", example="density_kg_m3 = 1025")
    if water is not None and not 950 <= water <= 1100:
        sea.report(
            "density", f"{water:g} kg/m3", "expected fresh to salt water, 995 to 1030 kg/m3", "Write 1025 or 1000"
        )
        water = None
    hull, found, doubt = top.sub("hull"), top.sub("as_found"), top.sub("uncertainty")
    burning, manning = top.sub("burn"), top.sub("crew")
    as_found, centre = _as_found(found)
    settings = Settings(
        name=top.text("name", default=folder.name),
        title=top.text("title"),
        invented=top.flag("invented"),
        water_density=SEA_WATER if water is None else water,
        accept_no_side=top.text("side", choices=("centre",)) == "centre",
        datums=_texts(top.sub("datum")),
        lengths=_lengths(top.sub("lengths")),
        loft=hull.text("loft", choices=LOFTS, default="smooth"),
        lines=hull.names("lines") or LINES,
        scan=hull.text("scan"),
        scan_unit=hull.text("scan_unit", choices=tuple(SCAN_UNITS), default="m"),
        transom_rake=hull.quantity("transom_rake", "angle", example="transom_rake_deg = 14"),
        length=hull.quantity("length", "length"),
        beam=hull.quantity("beam", "length"),
        as_found=as_found,
        as_found_centre=centre,
        pod_volume=_pod_volume(top),
        u_mark=_zero_or_more(doubt, "mark"),
        u_hull=_zero_or_more(doubt, "hull"),
        u_water=_zero_or_more(doubt, "water", "density", "water_kg_m3 = 2"),
        plans=_plans(top.sub("plans")),
        exclusive=_exclusive(top),
        readings=_texts(top.sub("readings")),
        measured={name: dict(top.sub(name).table) for name in ("trailer", "weighing")},
        burn=read_burn(burning),
        currency=top.text("currency"),
        crew=read_crew(manning),
        looks_level=hull.quantity("looks_level", "angle", example="looks_level_deg = 0.6"),
    )
    _check_hull(settings, hull)
    _say_defaults(settings, sea, hull, found, doubt)
    for keys in (top, hull, found, doubt, burning, manning):
        keys.finish()
    sea.finish(strict=True)
    return settings


def _say_defaults(settings: Settings, sea: Keys, hull: Keys, found: Keys, doubt: Keys) -> None:
    """What was used where the file says nothing: each worth a look, none in silence."""

    def used(keys: Keys, key: str, what: str, line: str) -> None:
        keys.report(key, "", f"not given: {what}", f"If that is so, write {line}", LOOK)

    if not any(key.startswith("density") for key in sea.table):
        used(sea, "density", f"sea water of {SEA_WATER:g} kg/m3 was used", f"density_kg_m3 = {SEA_WATER:g}")
    if not settings.scan and "loft" not in hull.table:
        used(hull, "loft", f'"{settings.loft}" lines through the stations were used', f'loft = "{settings.loft}"')
    if settings.as_found is not None and not any(key.startswith("tcg") for key in found.table):
        used(found, "tcg", "she was taken to balance on the centreline", "tcg_m = 0")
    for name, what in (("mark", "the heights of marks"), ("hull", "the hull's shape")):
        if not any(key.startswith(name) for key in doubt.table):
            used(doubt, name, f"{what} were taken as exact" if name == "mark" else f"{what} was taken as exact",
                 f"{name}_mm = {4 if name == 'mark' else 2.5:g}")  # fmt: skip


def _in_place(doc: Mapping[str, Any], problems: Problems) -> dict[str, Any]:
    """The document without the keys of its top that slipped below a [section] line, each with a Problem."""
    kept: dict[str, Any] = {}
    for section, value in doc.items():
        astray = [key for key in TOP_ONLY if isinstance(value, Mapping) and key in value]
        for key in astray:
            Keys(value, FILE, section, problems).report(
                key, value[key], f"{key} stands below the line [{section}], so it belongs to that section",
                "Put the line above the first [section] of the file", weight=20.0,
            )  # fmt: skip
        kept[section] = {k: v for k, v in value.items() if k not in astray} if astray else value
    return kept


def _as_found(keys: Keys) -> tuple[MassItem | None, np.ndarray | None]:
    """The boat as she was weighed or floated, with what was aboard."""
    mass = keys.quantity("mass", "mass", required=True, example="mass_kg = 1612")
    centre = [keys.position(f"{a}cg", axis, a != "t", f"{a}cg_m = ...") for a, axis in zip("ltv", "xyz", strict=True)]
    basis = keys.text("basis", choices=tuple(BASES), default="weighed")
    u_mass = keys.quantity("u_mass", "mass")
    u_given = [keys.quantity(f"u_{a}cg", "length") for a in "ltv"]
    if mass is None or centre[0] is None or centre[2] is None:
        return None, None
    place = np.array([0.0 if c is None else c for c in centre])
    if not mass > 0:
        keys.report("mass", f"{mass:g} kg", "expected a positive mass", "Write what the scale read")
        return None, None
    if any(u is not None and u < 0 for u in (u_mass, *u_given)):
        keys.report("u_mass", "", "a standard uncertainty is negative", "Write zero or more")
        return None, None
    _, default = standard_uncertainties(basis, mass)
    if default is None and (u_mass is None or None in u_given):
        keys.report(
            "basis", basis, "this basis has no default uncertainty", "Write u_mass_kg, u_lcg_mm, u_tcg_mm and u_vcg_mm"
        )
        return None, None
    usual = np.zeros(3) if default is None else default
    u_place = np.array([usual[k] if u is None else u for k, u in enumerate(u_given)])
    return item(AS_FOUND, mass, place, basis, u_mass=u_mass, u_place=u_place), place


def _pod_volume(keys: Keys) -> float | None:
    litres = keys.quantity("pod_litres", "number", example="pod_litres = 0")
    return None if litres is None else litres / 1000


def _zero_or_more(keys: Keys, name: str, kind: str = "length", example: str = "") -> float:
    value = keys.quantity(name, kind)
    if value is not None and value < 0:
        unit = "m" if kind == "length" else "kg/m3"
        keys.report(name, f"{value:g} {unit}", "expected zero or more", f"Write {example or f'{name}_mm = 4'}")
        return 0.0
    return value or 0.0


def _texts(keys: Keys) -> dict[str, str]:
    return {name: text for name in keys.table if (text := keys.text(name))}


def _lengths(keys: Keys) -> dict[str, float]:
    """Lengths by name with the unit taken off ("helm_m" is the length "helm"); all as positions along x."""
    names = {_without_unit(key) for key in keys.table}
    return {name: value for name in sorted(names) if (value := keys.position(name, "x")) is not None}


def _without_unit(key: str) -> str:
    name, _, unit = key.rpartition("_")
    try:
        find_unit(unit, "length")
    except NotUnderstood:
        return key
    return name or key


def _plans(keys: Keys) -> dict[str, tuple[str, ...]]:
    plans: dict[str, tuple[str, ...]] = {AS_FOUND: ()}
    for name, value in keys.table.items():
        packages = keys.checked_names(name, value)
        if packages is None:
            continue
        if name == AS_FOUND and packages:
            keys.report(name, packages, 'the plan "as found" has no packages', "Give the plan another name")
            continue
        twice = sorted({p for p in packages if packages.count(p) > 1})
        if twice:
            keys.report(name, twice[0], "this package is named twice in the plan", "Take one out", LOOK)
        plans[name] = tuple(dict.fromkeys(packages))
    return plans


def _exclusive(keys: Keys) -> tuple[tuple[str, ...], ...]:
    value = keys.raw("exclusive")
    if value is None:
        return ()
    if not isinstance(value, list):
        keys.report("exclusive", value, "expected a list of groups", 'Write [["one package", "the other"]]')
        return ()
    groups = [keys.checked_names("exclusive", group) for group in value]
    for group in groups:
        for package in {p for p in group or () if group and group.count(p) > 1}:
            keys.report(
                "exclusive",
                package,
                "this package excludes itself: it is named twice in one group",
                "Name each package of the group once",
            )
    return tuple(tuple(dict.fromkeys(group)) for group in groups if group)


def _check_hull(settings: Settings, keys: Keys) -> None:
    if settings.transom_rake is not None and not RAKES[0] <= settings.transom_rake <= RAKES[1]:
        keys.report(
            "transom_rake_deg",
            f"{np.degrees(settings.transom_rake):g} deg",
            "expected the rake of a transom, top aft, 0 to 45 deg",
            "Measure it from the vertical with the keel level; 12 to 15 is common",
        )
    for name, size in (("length", settings.length), ("beam", settings.beam)):
        if size is not None and not size > 0:
            keys.report(name, f"{size:g} m", f"expected the {name} of a hull", f"Measure it, or take the {name} out")
    if len(settings.lines) < 2 or len(set(settings.lines)) < len(settings.lines):
        keys.report(
            "lines", settings.lines, "expected the hull's lines from keel to sheer, each once", f"Write {list(LINES)}"
        )
