"""Writing a part into a boat's folder: a row of ledger.csv, and its body into solids.csv or tanks.csv.

The tables are changed in a copy of the folder first; only when that still reads without anything to mend, and the part
comes out of it as it went in, do the new tables take the old ones' places. Remarks and columns of their owner stay.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from os import PathLike
from pathlib import Path

import numpy as np

from hullcalc.boats.boat import Boat
from hullcalc.boats.datum import Datum
from hullcalc.boats.folder import datum_of, read_boat
from hullcalc.boats.read_ledger import FILE as LEDGER
from hullcalc.boats.read_parts import MARKS, SOLIDS, TANKS
from hullcalc.boats.rewrite import add_columns, append_rows, replace_file
from hullcalc.errors import InputError
from hullcalc.geometry.solid import Solid
from hullcalc.weights.parts.bracket import Bracket
from hullcalc.weights.parts.fuel_tank import FuelTank
from hullcalc.weights.parts.livewell import Livewell
from hullcalc.weights.parts.part import Part

AXES = "xyz"
U_COLUMNS = ("basis", "u_mass_kg", "u_x_m", "u_y_m", "u_z_m", "note")
HEADS = {
    SOLIDS: ("solid", "x_m", "y_m", "z_m", "openings", "u_volume_l", "brought_by", "taken_by", "note"),
    TANKS: (
        "tank", "use", "density_kg_m3", "x_from_m", "x_to_m", "y_from_m", "y_to_m", "z_from_m", "z_to_m", "lip_x_m",
        "lip_y_m", "lip_z_m", "brought_by", "taken_by", "note",
    ),
}  # fmt: skip
CLOSE = 1e-3  # kg, m: as it went in, but for the digits written


@dataclass(frozen=True)
class Written:
    """What was written: rows by file, and sentences on what was not."""

    rows: Mapping[str, int]
    says: tuple[str, ...]


def add_part(folder: str | PathLike[str], package: str, part: Part, note: str = "") -> Written:
    """Write a part into a folder, as a thing that a package adds.

    Parameters
    ----------
    folder : path
        The folder of one boat.
    package : str
        The package that brings it, there already or new.
    part : Part
        Its body goes to solids.csv, its room, where it is a box, to tanks.csv.
    note : str
        For the row's note; without one it says how the mass was reckoned.

    Raises
    ------
    InputError
        Where the folder has anything to mend before or after, the ledger adds a thing of that name already, or the
        part's room is no box. Nothing has been written then.
    """
    folder = Path(folder)
    boat = read_boat(folder)
    package = package.strip()
    if not package:
        raise InputError("the package has no name; name the package that brings the part")
    if any(row.item == part.name and row.action == "add" for row in boat.ledger.rows):
        raise InputError(f"{LEDGER} adds {part.name!r} already; give the part another name, or change that row by hand")
    says: list[str] = []
    with tempfile.TemporaryDirectory() as place:
        trial = Path(place) / folder.resolve().name
        shutil.copytree(folder, trial)
        rows = {LEDGER: _ledger(trial, boat, package, part, note)}
        if part.body is not None:
            rows |= _solid(trial, boat, package, part, says)
        if part.holds is not None:
            rows |= _tank(trial, boat, package, part)
        _check(read_boat(trial), package, part)
        for file in rows:
            replace_file((folder / file).resolve(), (trial / file).read_bytes())
    return Written(rows, tuple(says))


def _ledger(trial: Path, boat: Boat, package: str, part: Part, note: str) -> int:
    item, datum = part.item, datum_of(boat, LEDGER)
    centre, u_place = item.centre, item.u_centre
    add_columns(trial / LEDGER, U_COLUMNS)
    row = {"pkg": package, "act": "add", "item": part.name, "mass": f"{float(item.mass):.4g} kg", "basis": part.basis}
    row |= _place(centre, datum)
    row["u_mass"] = f"{float(item.u_mass):.3g} kg"
    row |= {f"u_{axis}": f"{u:.3f} m" for axis, u in zip(AXES, u_place, strict=True)}
    lines = "1 line" if len(part.lines) == 1 else f"{len(part.lines)} lines"
    row["note"] = note or f"reckoned from its parts: {lines}"
    append_rows(trial / LEDGER, [row])
    return 1


def _place(point: np.ndarray, datum: Datum) -> dict[str, str]:
    """A place as the cells x, y and z of a file."""
    values = (datum.from_boat(float(point[0])), float(point[1]), float(point[2]))
    return {axis: f"{round(value, 4) + 0.0:.4f} m" for axis, value in zip(AXES, values, strict=True)}


def _solid(trial: Path, boat: Boat, package: str, part: Part, says: list[str]) -> dict[str, int]:
    """Corners of the body, and its openings as marks."""
    assert part.body is not None
    if any(pod.name == part.name for pod in boat.solids):
        raise InputError(f"{SOLIDS} holds a body {part.name!r} already; give the part another name")
    _require_convex(part)
    openings = part.openings if isinstance(part, Bracket) else {}
    rows, new = {SOLIDS: 0}, {name: at for name, at in openings.items() if name not in boat.marks}
    if new:
        datum = datum_of(boat, MARKS)
        marks = [{"mark": name, **_place(at, datum), "kind": "bracket opening", "brought_by": package}
                 for name, at in new.items()]  # fmt: skip
        add_columns(trial / MARKS, ("brought_by",))
        append_rows(trial / MARKS, marks)
        rows[MARKS] = len(marks)
    for name in sorted(set(openings) - set(new)):
        says.append(f"{name} is a mark of hers already: its place there was kept")
    datum = datum_of(boat, SOLIDS)
    common = {"solid": part.name, "openings": " + ".join(openings), "brought_by": package}
    common["u_volume"] = f"{part.u_volume * 1000:g} L"
    corners = [common | _place(v, datum) for v in part.body.vertices]
    if (trial / SOLIDS).exists():
        add_columns(trial / SOLIDS, ("openings", "u_volume_l", "brought_by"))
    append_rows(trial / SOLIDS, corners, HEADS[SOLIDS])
    return rows | {SOLIDS: len(corners)}


def _require_convex(part: Part) -> None:
    from hullcalc.geometry.makers import convex_hull  # here, as importing what it needs takes a while

    assert part.body is not None
    whole = convex_hull(part.body.vertices).volume
    if abs(whole - part.body.volume) > 1e-6 * whole:
        raise InputError(
            f"{part.name}: {SOLIDS} holds bodies without hollows, and this one has some; write it as several bodies"
        )


def _tank(trial: Path, boat: Boat, package: str, part: Part) -> dict[str, int]:
    assert part.holds is not None
    room: Solid = part.holds
    if any(tank.name == part.name for tank in boat.tanks):
        raise InputError(f"{TANKS} holds a tank {part.name!r} already; give the part another name")
    low, high = room.bounds
    whole = float(np.prod(high - low))
    if abs(whole - room.volume) > 1e-6 * whole:
        raise InputError(
            f"{part.name}: {TANKS} holds boxes, and this room is none: {room.volume * 1000:.0f} L in a box of "
            f"{whole * 1000:.0f} L; write a box of its litres by hand, with its mass in {LEDGER}"
        )
    datum = datum_of(boat, TANKS)
    row = {"tank": part.name, "use": "fuel" if isinstance(part, FuelTank) else "livewell", "brought_by": package}
    columns = ["brought_by", "density_kg_m3"]
    if isinstance(part, FuelTank | Livewell):
        row["density"] = f"{part.density:g} kg/m3"
    if isinstance(part, Livewell):
        columns += [f"lip_{axis}_m" for axis in AXES]
        row |= {f"lip_{axis}": text for axis, text in _place(part.lip, datum).items()}
    for end, corner in (("from", low), ("to", high)):
        row |= {f"{axis}_{end}": text for axis, text in _place(corner, datum).items()}
    if (trial / TANKS).exists():
        add_columns(trial / TANKS, columns)
    append_rows(trial / TANKS, [row], HEADS[TANKS])
    return {TANKS: 1}


def _check(after: Boat, package: str, part: Part) -> None:
    """Does the part come out of the folder as it went in?"""
    found = [row.new for row in after.ledger.rows if row.item == part.name and row.package == package]
    item = part.item
    mass, thing = float(item.mass), found[0] if found else None
    good = thing is not None and abs(float(thing.item.mass) - mass) <= max(CLOSE, 1e-3 * mass)
    good = good and thing is not None and bool(np.all(abs(thing.place - item.centre) < CLOSE))
    bodies: Sequence[tuple[Solid | None, Sequence[Solid]]] = (
        (part.body, [pod.solid for pod in after.solids if pod.name == part.name]),
        (part.holds, [tank.solid for tank in after.tanks if tank.name == part.name]),
    )
    for body, there in bodies:
        if body is not None:
            good = good and len(there) == 1 and bool(np.all(abs(there[0].bounds - body.bounds) < CLOSE))
            good = good and abs(there[0].volume - body.volume) < 1e-3 * body.volume
    if not good:
        raise InputError(f"{part.name} would not come out of the folder as it went in; nothing was written")
