"""The hull of a boat folder: stations.csv, or a scan named in boat.toml. Nothing is raised."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from hullcalc.boats.datum import Datum
from hullcalc.boats.settings import FILE as SETTINGS
from hullcalc.boats.settings import LINES, RAKES, Settings
from hullcalc.boats.tables import Column, Row, Table, read_table
from hullcalc.errors import LOOK, HullcalcError, InputError, Problem, Problems
from hullcalc.measuring.stations import Hull, StationTable, hull_from_stations

STATIONS = "stations.csv"
ANGLE_SLIP = np.radians(0.3)  # a bottom angle by digital level and one from two heights agree within this
SIZE_SLIP = 0.01  # length and beam typed in boat.toml against the table's


def read_hull(folder: Path, settings: Settings, datum: Datum | None, problems: Problems) -> Hull | None:
    """The lofted hull; None, with Problems, where the stations cannot be used."""
    columns = (
        Column("station_x", "x", required=True),
        *(
            Column(f"{_key(line)}_{what}", kind, required=line != "keel" or what == "height")
            for line in settings.lines if not _may_lack(line)
            for what, kind in (("half_breadth", "length"), ("height", "z"))
        ),
        *(
            Column(f"{_key(line)}_{what}", kind)
            for line in settings.lines if _may_lack(line)
            for what, kind in (("half_breadth", "length"), ("height", "z"))
        ),
        Column("deadrise", "angle"), Column("note"),
    )  # fmt: skip
    before = len(problems.to_mend)
    table = read_table(folder / STATIONS, columns, problems, datum)
    if table is None or not table.rows:
        return None
    lines = [line for line in settings.lines if not _may_lack(line) or _is_there(table, line, problems)]
    rows = [row for row in table.rows if _is_whole(row, lines)]
    if len(rows) < 2 or rows[0] is not table.rows[0]:
        return None
    if datum is not None and datum.direction < 0 and rows[0]["station_x"] > rows[-1]["station_x"]:
        rows = rows[::-1]  # a file that counts aft begins at the stem
    try:
        stations = StationTable(
            np.array([row["station_x"] for row in rows]),
            {line: np.array([_offsets(row, line) for row in rows]) for line in lines},
            STATIONS,
            tuple(row.number for row in rows),
        )
    except InputError as error:
        problems.extend(error.problems or [Problem(STATIONS, None, None, "", str(error), "Mend the table")])
        return None
    _check_angles(table, rows, lines, problems)
    if settings.transom_rake is None:
        problems.append(
            Problem(
                SETTINGS, None, "[hull] transom_rake", "", "the transom's rake is not given; it is worth 20 mm of trim",
                "Write transom_rake_deg = 14, top aft; 0 for a plumb one", weight=15.0,
            )
        )  # fmt: skip
        return None
    if len(problems.to_mend) > before or not RAKES[0] <= settings.transom_rake <= RAKES[1]:
        return None
    try:
        hull = hull_from_stations(stations, settings.transom_rake, settings.loft)  # type: ignore[arg-type]
    except HullcalcError as error:
        problems.append(Problem(STATIONS, None, None, "", str(error).splitlines()[0], "Mend the table of stations"))
        return None
    _check_size(hull, settings, problems)
    return hull


def _key(line: str) -> str:
    return line.replace(" ", "_")


def _may_lack(line: str) -> bool:
    """Lines of the usual list that a table may do without."""
    return line == LINES[2]


def _is_there(table: Table, line: str, problems: Problems) -> bool:
    """Is a line that a table may lack in it? With one of its two columns only: no, and a Problem."""
    columns = [f"{_key(line)}_{what}" for what in ("half_breadth", "height")]
    there = [table.has(column) for column in columns]
    if any(there) and not all(there):
        missing = columns[there.index(False)]
        problems.append(
            table.problem(
                None, missing, f"the column {missing} is missing", "Add it, or take the line's other column out"
            )
        )
    return all(there)


def _is_whole(row: Row, lines: list[str]) -> bool:
    named = [f"{_key(line)}_{what}" for line in lines for what in ("half_breadth", "height")]
    named = [name for name in named if name != "keel_half_breadth" or row.read[name]]
    return all(row[name] is not None for name in ("station_x", *named))


def _offsets(row: Row, line: str) -> tuple[float, float]:
    return row[f"{_key(line)}_half_breadth"] or 0.0, row[f"{_key(line)}_height"]


def _check_angles(table: Table, rows: list[Row], lines: list[str], problems: Problems) -> None:
    """A bottom angle read by level beside the one that keel and the next line make: shows a slip of either."""
    for row in rows:
        (y0, z0), (y1, z1) = _offsets(row, lines[0]), _offsets(row, lines[1])
        angle = row["deadrise"]
        if angle is None or y1 <= y0:
            continue
        made = np.arctan2(z1 - z0, y1 - y0)
        if abs(made - angle) > ANGLE_SLIP:
            problems.append(
                table.problem(
                    row, "deadrise", f"{lines[0]} and {lines[1]} heights make {np.degrees(made):.1f} deg here",
                    "Read the heights and the angle of this station again; the heights were used", LOOK, 3.0,
                )
            )  # fmt: skip


def _check_size(hull: Hull, settings: Settings, problems: Problems) -> None:
    """Length and beam said in boat.toml against those of the table: catches a slip of unit or a missing station."""
    size = hull.solid.vertices.max(axis=0) - hull.solid.vertices.min(axis=0)
    for name, said, made in (("length", settings.length, size[0]), ("beam", settings.beam, size[1])):
        if said is not None and not abs(made - said) <= SIZE_SLIP * abs(made):
            problems.append(
                Problem(
                    SETTINGS, None, f"[hull] {name}", f"{said:g} m", f"the stations make {made:.2f} m",
                    f"See {STATIONS} and this figure; the stations were used", LOOK, 5.0,
                )
            )  # fmt: skip
