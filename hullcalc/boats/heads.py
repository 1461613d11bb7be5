"""The head of a table: which of its cells is which column, in which unit.

`mass_kg`, `mass [lb]`, `Mass (kg)` and `mass` are all the column "mass". An unknown name is kept; one that is near a
known name is to mend, for a misspelt column would silently be ignored.
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from typing import Any

from hullcalc.boats.sheets import Record, column_letter, shorten
from hullcalc.errors import LOOK, Problem, Problems
from hullcalc.units import NotUnderstood, find_unit
from hullcalc.units.names import KINDS, lookup, unit_key

QUANTITIES = {name: name for name in ("mass", "length", "fraction", "angle", "density", "volume", "number")}
UNIT_KINDS = QUANTITIES | {"x": "length", "y": "length", "z": "length"}  # kind of column -> kind of its unit
MOST_COLUMNS = 200
WORDS = ("text", "flag", "choice", "list")


@dataclass(frozen=True)
class Column:
    """What a table may hold under one name.

    `kind` is text, flag, choice, list (items joined by " + "), a quantity (mass, length, volume, density, angle,
    fraction, number) or a position (x, y, z). `choices` are the words a choice or the items of a list may be;
    `low` and `high` the bounds of a figure (SI, boat axes, both allowed); `default` what an empty cell means.
    """

    name: str
    kind: str = "text"
    required: bool = False
    choices: tuple[str, ...] = ()
    default: Any = None
    low: float | None = None
    high: float | None = None

    def __post_init__(self) -> None:
        if self.kind not in UNIT_KINDS and self.kind not in WORDS:
            raise ValueError(f"column {self.name!r}: {self.kind!r} is no kind of column")


@dataclass(frozen=True)
class Place:
    """Where a column stands in a file: index of the cell, name as in the head, unit of its bare figures."""

    index: int
    head: str
    unit: str | None


@dataclass(frozen=True)
class Head:
    """The columns found, the unknown ones kept, and the names whose figures cannot be read for want of a unit."""

    row: int
    width: int
    places: dict[str, Place]
    extras: dict[str, int]
    nameless: tuple[int, ...]


def read_head(record: Record, columns: tuple[Column, ...], file: str, problems: Problems) -> Head | None:
    """Match a head to the columns; None with one Problem where no name is known, or there are far too many."""
    titles = [cell.strip() for cell in record.cells]
    while titles and not titles[-1]:
        titles.pop()
    if len(titles) > MOST_COLUMNS:
        expected, mend = f"expected at most {MOST_COLUMNS} columns, not {len(titles)}", "Is this the right file?"
        problems.append(Problem(file, record.row, None, shorten(", ".join(titles[:9])), expected, mend, weight=10.0))
        return None
    places: dict[str, Place] = {}
    claimed: set[str] = set()  # columns that are there, though something is wrong with them
    unknown: list[int] = []
    found: list[Problem] = []

    def report(title: str | None, read: str, expected: str, mend: str, level: str = "mend") -> None:
        found.append(Problem(file, record.row, title, shorten(read), expected, mend, level))

    for index, title in enumerate(titles):
        if not title:
            continue
        match = _match(title, columns)
        if match is None:
            unknown.append(index)
            continue
        column, unit = match
        if column.name in places:
            first = places[column.name].head
            report(
                title,
                title,
                f"the column {column.name} stands here twice, first as {first}",
                f"Keep one; {first} was used",
            )
            continue
        places[column.name] = Place(index, title, unit)
    extras: dict[str, int] = {}
    for index in unknown:
        title = titles[index]
        free = [c for c in columns if c.name not in places and c.name not in claimed]
        if wrong := _wrong_unit(title, free):
            column, refusal = wrong
            claimed.add(column.name)
            report(title, title, refusal.expected, refusal.mend)
        elif near := _near(title, free):
            claimed.add(near.name)
            report(
                title,
                title,
                f"this column is not known, and {near.name} is nearly its name",
                f"Name it {_example(near)}, or take it out",
            )
        else:
            extras[title] = index
            report(title, title, "this column is not known here; kept, not used", "Take it out if it is a slip", LOOK)
    if not places and not claimed:
        names = ", ".join(_example(c) for c in columns if c.required) or ", ".join(_example(c) for c in columns[:4])
        problems.append(
            Problem(
                file,
                record.row,
                None,
                shorten(", ".join(titles)),
                "expected the names of the columns here, and not one of them is known",
                f"Begin the file with a row such as: {names}",
                weight=10.0,
            )
        )
        return None
    for column in columns:
        if column.required and column.name not in places and column.name not in claimed:
            problem = Problem(
                file,
                record.row,
                column.name,
                "",
                f"the column {column.name} is missing",
                f"Add a column named {_example(column)}",
                weight=5.0,
            )
            found.append(problem)
    problems.extend(found)
    nameless = tuple(i for i, title in enumerate(titles) if not title)
    return Head(record.row, len(titles), places, extras, nameless)


def report_nameless(head: Head, record: Record, file: str, problems: Problems) -> bool:
    """Report the first figure that stands under no column name; True where there is one."""
    for index in head.nameless:
        if index < len(record.cells) and record.cells[index].strip():
            problems.append(
                Problem(
                    file,
                    record.row,
                    f"column {column_letter(index)}",
                    shorten(record.cells[index]),
                    "this column has no name in the head",
                    "Give it a name, or empty it",
                )
            )
            return True
    return False


def split_title(title: str) -> tuple[str, str | None]:
    """(name key, unit text) of a head such as "Mass [lb]"; the unit is None where no bracket gives one."""
    match = re.fullmatch(r"(.*?)\s*[\[(]([^\[\]()]*)[\])]", title)
    return (unit_key(match[1]), match[2].strip()) if match else (unit_key(title), None)


def _match(title: str, columns: tuple[Column, ...]) -> tuple[Column, str | None] | None:
    """(column, unit) of a head cell; the longest name wins, so that "to_x_m" is no "to"."""
    title = _said_otherwise(title, columns)
    name, bracket = split_title(title)
    for column in sorted(columns, key=lambda c: -len(c.name)):
        key, kind = unit_key(column.name), UNIT_KINDS.get(column.kind)
        if unit_key(title) == key:
            return column, None
        if bracket is not None:
            if name == key and (kind is None or not bracket or lookup(bracket, kind)):
                return column, bracket if kind and bracket else None
        elif kind and name.startswith(f"{key}_") and lookup(name[len(key) + 1 :], kind):
            return column, name[len(key) + 1 :]
    return None


def _said_otherwise(title: str, columns: tuple[Column, ...]) -> str:
    """A head that says "weight" or "wt" where a table has a mass, with the word it means."""
    if any(column.name == "mass" for column in columns):
        return re.sub(r"^\s*(?:weight|wt)(?![A-Za-z])", "mass", title, flags=re.IGNORECASE)
    return title


def _wrong_unit(title: str, columns: list[Column]) -> tuple[Column, NotUnderstood] | None:
    """The column that a head names together with a unit that is none of its kind, and what is wrong with it."""
    name, bracket = split_title(title)
    for column in sorted(columns, key=lambda c: -len(c.name)):
        key, kind = unit_key(column.name), UNIT_KINDS.get(column.kind)
        if kind is None:
            continue
        if bracket is not None:
            unit = bracket if name == key else None
        else:
            unit = name[len(key) + 1 :] if name.startswith(f"{key}_") else None
            if unit and "_" in unit and not any(lookup(unit, other) for other in KINDS):
                unit = None  # "x_of_the_tank" is another column, not x in a strange unit
        if unit:
            try:
                find_unit(unit, kind)
            except NotUnderstood as problem:
                return column, NotUnderstood(problem.expected, f"Name the column {_example(column)}; {problem.mend}")
    return None


def _near(title: str, columns: list[Column]) -> Column | None:
    """The column whose name a head cell nearly is, its unit set aside."""
    name, _ = split_title(title)
    words = name.split("_")
    stems = {name} | {"_".join(words[:k]) for k in range(1, len(words)) if _is_unit("_".join(words[k:]))}
    keys = {unit_key(c.name): c for c in columns if len(c.name) > 2}
    for stem in sorted(stems, key=len):
        if near := difflib.get_close_matches(stem[:60], keys, n=1, cutoff=0.75):
            return keys[near[0]]
    return None


def _is_unit(text: str) -> bool:
    return any(lookup(text, kind) for kind in KINDS)


def _example(column: Column) -> str:
    """The column's name as a head would have it, with a usual unit."""
    units = {"mass": "kg", "length": "m", "volume": "l", "density": "kg_m3", "angle": "deg", "fraction": "percent"}
    unit = units.get(UNIT_KINDS.get(column.kind, ""))
    return f"{column.name}_{unit}".replace(" ", "_") if unit else column.name
