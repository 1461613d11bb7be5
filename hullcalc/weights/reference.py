"""Reference tables of the trade: densities, classes of weight, gear by the metre; each row says where it comes from.

The tables are the files of `data/reference`, one CSV file each, found in a clone of the project or where an installed
copy of the package keeps them. A table value is where a reckoning begins: a thing weighed, or a maker's sheet, takes
its place. Every row has `source` (which table, text or reckoning) and `status`, one of STATUSES.

A column whose name ends in a unit of FIGURES (`kg_m3`, `mm`, `fraction`, ...) holds figures, in that unit; every other
one holds texts, so that a battery group "24" and a group "4D" are alike.
"""

from __future__ import annotations

import csv
import difflib
import functools
import importlib.metadata
import math
import re
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from hullcalc.errors import InputError

Row = Mapping[str, str | float]

STATUSES = ("seen", "from memory", "calculated", "common practice, no source")
# Longer endings first: "kg_m3" is not "m3".
FIGURES = (
    "kg_m3", "kg_m2", "kg_m", "g_m2", "lb_ft3", "lb_ft2", "lb_ft", "kg_l", "mm2", "m2", "m3",
    "kg", "lb", "g", "mm", "cm", "in", "ft", "m", "l", "hp", "kw", "deg", "percent", "fraction", "number",
)  # fmt: skip
_FIGURES = re.compile(rf"(?:^|_)(?:{'|'.join(FIGURES)})$")


@functools.cache
def reference_table(name: str) -> tuple[Row, ...]:
    """All rows of the table `name` ("woods", "outboards"): texts as str, figures as float, in the file's order.

    A cell left empty is "" where the column holds texts; a figure left empty is not in its row: ask `column in row`.

    Raises
    ------
    InputError
        If there is no such table (with those there are, the near ones first), or a row of it is spoiled.
    """
    there = {path.stem: path for path in sorted(folder().glob("*.csv"))}
    if name not in there:
        raise InputError(f"there is no reference table {name!r}; {_near(name, list(there))}")
    with there[name].open(encoding="utf-8", newline="") as file:
        lines = list(csv.reader(file))
    if not lines or not {"source", "status"} <= set(lines[0]):
        raise InputError(f"{name}.csv: expected columns source and status; give each row where it comes from")
    rows = tuple(_row(f"{name}.csv row {k}", lines[0], cells) for k, cells in enumerate(lines[1:], start=2))
    if not rows:
        raise InputError(f"{name}.csv: there are no rows; a table has at least one")
    return rows


def look_up(name: str, **keys: str | float) -> Row:
    """The one row of the table `name` in which every key has the value given: look_up("woods", wood="okoume plywood").

    Texts are compared without regard to case, hyphens and spaces, figures as they are.

    Raises
    ------
    InputError
        If a column is not known, if no row fits (with the near names), or if several do (with the key that is missing).
    """
    rows = reference_table(name)
    for column, value in keys.items():
        columns = {c for row in rows for c in row}
        if column not in columns:
            raise InputError(
                f"table {name}: there is no column {column!r}; the columns are: {', '.join(sorted(columns))}"
            )
        fitting = tuple(row for row in rows if column in row and _alike(row[column], value))
        if not fitting:
            there = list(dict.fromkeys(str(row[column]) for row in rows if column in row))
            raise InputError(f"table {name}: no {column} {value!r}; {_near(str(value), there)}")
        rows = fitting
    if len(rows) > 1:
        apart = [c for c in rows[0] if c not in keys and len({row.get(c) for row in rows}) == len(rows)]
        shown = f" {apart[0]}: {', '.join(str(row.get(apart[0], 'none')) for row in rows)}" if apart else " more"
        asked = ", ".join(f"{column} {value!r}" for column, value in keys.items()) or "no key"
        raise InputError(f"table {name}: {len(rows)} rows have {asked}; say which,{shown}")
    return rows[0]


def figure(row: Row, column: str) -> float:
    """The figure in a column of a row; an InputError where the row has none."""
    value = row.get(column)
    if not isinstance(value, float):
        raise InputError(f"reference row {dict(row)} has no figure {column!r}; it is needed here")
    return value


def folder() -> Path:
    """Where the reference tables lie: in the clone, or in the data of the installed copy.

    Raises
    ------
    InputError
        If they are in neither.
    """
    clone = Path(__file__).resolve().parents[2] / "data" / "reference"
    if clone.is_dir():
        return clone
    try:
        installed = importlib.metadata.files("hullcalc") or []
    except importlib.metadata.PackageNotFoundError:
        installed = []
    for file in installed:
        if file.parent.parts[-2:] == ("hullcalc", "reference") and file.suffix == ".csv":
            return Path(str(file.locate())).resolve().parent
    raise InputError("the reference tables are not there; install hullcalc again, or run it from a clone")


def _row(where: str, head: list[str], cells: list[str]) -> Row:
    if len(cells) != len(head):
        raise InputError(f"{where}: {len(cells)} cells, expected {len(head)}; quote a text with a comma in it")
    row: dict[str, str | float] = {}
    for column, cell in zip(head, (cell.strip() for cell in cells), strict=True):
        if not _FIGURES.search(column):
            row[column] = cell
        elif cell:
            row[column] = _figure(f"{where} {column}", cell)
    if not row["source"]:
        raise InputError(f"{where}: source is empty; say where the figures come from")
    if row["status"] not in STATUSES:
        raise InputError(f"{where}: status {row['status']!r}; write one of: {', '.join(STATUSES)}")
    return MappingProxyType(row)


def _figure(where: str, cell: str) -> float:
    try:
        figure = float(cell)
    except ValueError:
        figure = math.nan
    if not math.isfinite(figure):
        raise InputError(f"{where}: read {cell!r}, expected a finite number; write it with a decimal point")
    return figure


def _alike(cell: str | float, value: str | float) -> bool:
    if isinstance(cell, float):
        return not isinstance(value, str) and cell == value
    return isinstance(value, str) and _plain(cell) == _plain(value)


def _plain(text: str) -> str:
    return re.sub(r"[\s_-]+", " ", text.strip().casefold())


def _near(name: str, there: list[str]) -> str:
    """The near names, or else all there are."""
    by_plain = {_plain(one): one for one in there}
    near = [by_plain[one] for one in difflib.get_close_matches(_plain(name), by_plain, n=3, cutoff=0.5)]
    near += [one for one in there if one not in near and _plain(name) and _plain(name) in _plain(one)]
    return f"did you mean: {', '.join(near)}?" if near else f"there are: {', '.join(there)}"
