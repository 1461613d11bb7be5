"""marks, tanks, solids, spaces, people, conditions and readings: tables of a boat folder become parts of the boat.

Nothing is raised; what cannot be used becomes a Problem and is left out, so that all problems are seen at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from hullcalc.boats.conditions import Condition
from hullcalc.boats.datum import Datum
from hullcalc.boats.marks import KINDS, Mark
from hullcalc.boats.presence import Presence
from hullcalc.boats.read_ledger import PLACE, UNCERTAINTY, own_thing
from hullcalc.boats.readings import Readings
from hullcalc.boats.spaces import BoatTank, Pod, Space
from hullcalc.boats.tables import Column, Row, Table, read_table
from hullcalc.errors import GeometryError, InputError, Problems
from hullcalc.floating.tanks import GASOLINE, U_GASOLINE
from hullcalc.geometry.makers import box, convex_hull
from hullcalc.geometry.solid import Solid
from hullcalc.weights.items import MassItem
from hullcalc.weights.sources import BASES

MARKS, TANKS, SOLIDS, SPACES = "marks.csv", "tanks.csv", "solids.csv", "spaces.csv"
PEOPLE, CONDITIONS, READINGS = "people.csv", "conditions.csv", "readings.csv"
POINT = tuple(Column(axis, axis, required=True) for axis in PLACE)
PRESENCE = (Column("brought_by", "list"), Column("taken_by", "list"), Column("note", default=""))
FUELS = {"fuel", "gasoline", "petrol", "gas"}
WATERS = {"livewell", "baitwell", "well", "bait", "water", "ballast", "fish"}
SAME_CORNER, HOLLOW = 1e-4, 2e-3  # m
ENDS = tuple(Column(f"{axis}_{end}", axis, required=True) for axis in PLACE for end in ("from", "to"))


@dataclass(frozen=True, eq=False)
class Parts:
    """All of one table: `made` are the parts with the row (the first of several) each was made from.

    `known` are all names typed in it, of parts that could not be made too; None where the file, or a row of
    it, could not be read.
    """

    table: Table | None
    made: tuple[tuple[Row, object], ...]
    known: tuple[str, ...] | None

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(getattr(part, "name", "") for _, part in self.made)


def _parts(path: Path, table: Table | None, name: str, made: Iterable[tuple[Row, object]]) -> Parts:
    if table is None:
        return Parts(None, (), None if path.name == MARKS or path.exists() else ())
    known = tuple(dict.fromkeys(row[name] for row in table.rows if row[name])) if table.whole else None
    return Parts(table, tuple(made), known)


def read_marks(folder: Path, datum: Datum | None, u_mark: float, problems: Problems) -> Parts:
    columns = (
        Column("mark", required=True), *POINT, Column("kind", "choice", required=True, choices=KINDS),
        Column("u_z", "length", low=0.0), *PRESENCE,
    )  # fmt: skip
    table = read_table(folder / MARKS, columns, problems, datum)
    made = []
    for row in _rows(table):
        point = _point(row)
        if row["mark"] and point is not None and row["kind"]:
            u_z = u_mark if row["u_z"] is None else row["u_z"]
            made.append((row, Mark(row["mark"], point, row["kind"], row["note"] or "", u_z, _presence(row))))
    return _parts(folder / MARKS, table, "mark", made)


def read_tanks(folder: Path, datum: Datum | None, water_density: float, problems: Problems) -> Parts:
    columns = (
        Column("tank", required=True), Column("use", required=True),
        Column("density", "density", low=500.0, high=2000.0), Column("capacity", "volume", low=0.0), *ENDS,
        *(Column(f"lip_{axis}", axis) for axis in PLACE),
        Column("u_density", "density", low=0.0), Column("u_fill", "fraction", low=0.0, high=0.5), *PRESENCE,
    )  # fmt: skip
    table = read_table(folder / TANKS, columns, problems, datum, required=False)
    made = []
    for row in _rows(table):
        ends = [
            sorted((row[f"{a}_from"], row[f"{a}_to"])) for a in PLACE if None not in (row[f"{a}_from"], row[f"{a}_to"])
        ]
        if not row["tank"] or not row["use"] or len(ends) < 3 or table is None:
            continue
        flat = [a for a, (low, high) in zip(PLACE, ends, strict=True) if low == high]
        if flat:
            problems.append(
                table.problem(row, f"{flat[0]}_to", f"the tank has no size along {flat[0]}", "Give its two ends apart")
            )
            continue
        lip = [row[f"lip_{a}"] for a in PLACE]
        if any(v is None for v in lip) and any(row.read[f"lip_{a}"] for a in PLACE):
            if all(row.read[f"lip_{a}"] == "" or v is not None for a, v in zip(PLACE, lip, strict=True)):
                problems.append(
                    table.problem(row, "lip_x", "a standpipe's lip needs x, y and z", "Fill in the missing cells")
                )
            continue
        usual = row["density"] or _usual_density(row["use"], water_density)
        if usual is None:
            if not row.read["density"]:
                problems.append(
                    table.problem(
                        row, "density", f'what a tank for "{row["use"]}" holds is not known here',
                        "Fill in density_kg_m3: gasoline is about 740, diesel 840, fresh water 1000",
                    )
                )  # fmt: skip
            continue
        tank = BoatTank(
            row["tank"], row["use"], box(*ends), usual,
            None if lip[0] is None else np.array(lip, dtype=float), row["capacity"], _presence(row), row["note"] or "",
            _usual_u_density(row["use"]) if row["u_density"] is None else row["u_density"], row["u_fill"] or 0.0,
        )  # fmt: skip
        made.append((row, tank))
    return _parts(folder / TANKS, table, "tank", made)


def _usual_density(use: str, water_density: float) -> float | None:
    """Density of what a tank usually holds, by its use [kg/m3]; None for a use that does not tell."""
    words = set(use.casefold().replace("_", " ").split())
    if words & FUELS:
        return GASOLINE
    return water_density if words & WATERS else None


def _usual_u_density(use: str) -> float:
    """Standard uncertainty of the density of what a tank usually holds [kg/m3]."""
    return U_GASOLINE if set(use.casefold().replace("_", " ").split()) & FUELS else 0.0


def read_solids(folder: Path, datum: Datum | None, problems: Problems) -> Parts:
    """Pods and other closed bodies, one row a corner."""
    columns = (
        Column("solid", required=True), *POINT, Column("openings", "list"), Column("inside", default=""),
        Column("u_volume", "volume", low=0.0), *PRESENCE,
    )  # fmt: skip
    table = read_table(folder / SOLIDS, columns, problems, datum, required=False)
    made = []
    for row, solid in _bodies(table, "solid", problems):
        pod = Pod(
            row["solid"], solid, row["openings"] or (), row["inside"] or "", row["u_volume"] or 0.0, _presence(row)
        )
        made.append((row, pod))
    return _parts(folder / SOLIDS, table, "solid", made)


def read_spaces(folder: Path, datum: Datum | None, problems: Problems) -> Parts:
    """Spaces that water may enter, one row a corner."""
    columns = (Column("space", required=True), *POINT, Column("openings", "list"), *PRESENCE)
    table = read_table(folder / SPACES, columns, problems, datum, required=False)
    made = [
        (row, Space(row["space"], solid, row["openings"] or (), _presence(row)))
        for row, solid in _bodies(table, "space", problems)
    ]
    return _parts(folder / SPACES, table, "space", made)


def read_people(folder: Path, datum: Datum | None, problems: Problems) -> Parts:
    """People and stores."""
    columns = (
        Column("name", required=True), Column("mass", "mass", required=True, low=0.0, high=2000.0), *POINT,
        Column("basis", "choice", choices=tuple(BASES)), *UNCERTAINTY, *PRESENCE,
    )  # fmt: skip
    table = read_table(folder / PEOPLE, columns, problems, datum, required=False)
    made: list[tuple[Row, MassItem]] = []
    for row in _rows(table):
        if table is not None and row["name"] and all(row[c] is not None for c in ("mass", *PLACE)):
            thing = own_thing(table, row, row["name"], problems, no_side=False)
            if thing is not None:
                made.append((row, thing.item))
    return _parts(folder / PEOPLE, table, "name", made)


def stowage_of(people: Parts) -> dict[str, Presence]:
    """The people and stores that are there only with some packages on, or until some are: by name."""
    found = {person.name: _presence(row) for row, person in people.made if isinstance(person, MassItem)}
    return {name: presence for name, presence in found.items() if presence != Presence()}


def read_conditions(folder: Path, tanks: Parts, problems: Problems) -> Parts:
    """Load conditions; a column named after a tank or a use, such as fuel_percent, says how full it is."""
    made_tanks = [tank for _, tank in tanks.made if isinstance(tank, BoatTank)]
    fills = tuple(dict.fromkeys(name for tank in made_tanks for name in (tank.use, tank.name)))
    columns = (
        Column("condition", required=True),
        *(Column(name, "fraction", low=0.0, high=1.0) for name in fills if name not in _CONDITION_WORDS),
        *(Column(name, "list") for name in _CONDITION_WORDS), Column("note", default=""),
    )  # fmt: skip
    table = read_table(folder / CONDITIONS, columns, problems)
    for title in _rows(table)[0].extra if _rows(table) else ():
        if table is not None and tanks.known is not None and title.casefold().rstrip("]) ").endswith(("percent", "%")):
            known = ", ".join(f"{name.replace(' ', '_')}_percent" for name in fills) or "none"
            problems.append(
                table.problem(
                    None, title, "no tank of this boat has this name or use",
                    f"Name it as in {TANKS}; there are: {known}", weight=5.0,
                )
            )  # fmt: skip
    made = []
    for row in _rows(table):
        if row["condition"]:
            said = {name: row[name] for name in fills if row.values.get(name) is not None}
            lists = {name: row[name] or () for name in _CONDITION_WORDS}
            made.append((row, Condition(row["condition"], said, note=row["note"] or "", **lists)))
    return _parts(folder / CONDITIONS, table, "condition", made)


def read_readings(folder: Path, marks: Mapping[str, str], water_density: float, problems: Problems) -> Parts:
    """Heights taped afloat; `marks` says which mark each column was taped at."""
    columns = (
        Column("state", required=True), Column("water", "density", low=950.0, high=1100.0),
        Column("aboard", default=""), *(Column(name, "length") for name in marks),
    )  # fmt: skip
    table = read_table(folder / READINGS, columns, problems, required=False)
    made = []
    for row in _rows(table):
        if row["state"]:
            heights = {mark: row[name] for name, mark in marks.items() if row[name] is not None}
            made.append((row, Readings(row["state"], row["water"] or water_density, row["aboard"] or "", heights)))
    return _parts(folder / READINGS, table, "state", made)


_CONDITION_WORDS = ("aboard", "open", "at_lip")


def _rows(table: Table | None) -> tuple[Row, ...]:
    return table.rows if table is not None else ()


def _point(row: Row) -> np.ndarray | None:
    point = [row[axis] for axis in PLACE]
    return None if None in point else np.array(point, dtype=float)


def _presence(row: Row) -> Presence:
    return Presence(frozenset(row["brought_by"] or ()), frozenset(row["taken_by"] or ()))


def _twice(table: Table, rows: list[Row], corners: list[np.ndarray], body: str, problems: Problems) -> bool:
    """Does a body name one corner twice, as a lost minus sign makes it? Then True, with a Problem."""
    for k, (row, corner) in enumerate(zip(rows, corners, strict=True)):
        for earlier, other in zip(rows[:k], corners[:k], strict=True):
            if np.all(abs(corner - other) < SAME_CORNER):
                problems.append(
                    table.problem(
                        row, "y", f"rows {earlier.number} and {row.number} give the same corner of {body}",
                        "Has a minus sign or a side got lost? Else take one of them out", weight=10.0,
                    )
                )  # fmt: skip
                return True
    return False


def _check_hollow(
    table: Table, rows: list[Row], corners: list[np.ndarray], body: Solid, name: str, problems: Problems
) -> None:
    """A corner between the others shows a body with a hollow, which corners alone cannot tell."""
    triangles = body.vertices[body.faces]
    outward = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    outward /= np.linalg.norm(outward, axis=1, keepdims=True)
    for row, corner in zip(rows, corners, strict=True):
        depth = -np.max(np.sum(outward * (corner - triangles[:, 0]), axis=1))
        if depth > HOLLOW:
            problems.append(
                table.problem(
                    row, "x", f"this corner of {name} lies {1000 * depth:.0f} mm inside the body round the others",
                    "A body with a hollow, such as an L, is given as two bodies without one", weight=10.0,
                )
            )  # fmt: skip
            return


def _bodies(table: Table | None, name: str, problems: Problems) -> list[tuple[Row, Solid]]:
    """(first row, body) of each name and presence: the convex body round the corners of its rows."""
    if table is None:
        return []
    groups: dict[tuple, list[Row]] = {}
    for row in table.rows:
        if row[name]:
            presence = _presence(row)
            groups.setdefault((row[name], presence.brought_by, presence.taken_by), []).append(row)
    made = []
    for rows in groups.values():
        first = rows[0]
        corners = [point for row in rows if (point := _point(row)) is not None]
        if len(corners) < len(rows):
            continue  # said already
        for row in rows[1:]:
            if row["openings"] != first["openings"] and row.read["openings"]:
                problems.append(
                    table.problem(
                        row, "openings", f"row {first.number} names other openings for {first[name]}",
                        "Write the same in each row of it, or only in the first",
                    )
                )  # fmt: skip
                break
        if _twice(table, rows, corners, first[name], problems):
            continue
        try:
            body = convex_hull(np.array(corners))
            _check_hollow(table, rows, corners, body, first[name], problems)
            made.append((first, body))
        except (GeometryError, InputError) as error:
            problems.append(
                table.problem(
                    first, name, f"its {len(rows)} corners enclose nothing ({str(error).split(';')[0]})",
                    "Give at least four corners, not all in one plane",
                )
            )  # fmt: skip
    return made
