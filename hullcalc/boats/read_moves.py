"""packages.csv and moves.csv: what changes take, and what may be moved, raised or resized within which limits.

Both are optional. Nothing is raised; what cannot be used becomes a Problem, so that all problems are seen at once.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from hullcalc.boats.datum import Datum
from hullcalc.boats.marks import Mark
from hullcalc.boats.moves import PLACE, RAISE, RESIZE, WIDEN, Freedom, Work
from hullcalc.boats.read_ledger import LedgerReading
from hullcalc.boats.read_parts import Parts
from hullcalc.boats.tables import Column, Row, Table, read_table
from hullcalc.errors import LOOK, MEND, Problems
from hullcalc.measuring.stations import Hull
from hullcalc.units import NotUnderstood, parse_quantity, say_position

PACKAGES, MOVES = "packages.csv", "moves.csv"
MOST_HOURS, MOST_RAISED, MOST_WIDER = 5000.0, 0.5, 1.0  # more is a slip: h, m, m
WORK = (
    Column("hours", "number", low=0.0, high=MOST_HOURS),
    Column("hours_later", "number", low=0.0, high=MOST_HOURS),
    Column("cost", "number", low=0.0),
    Column("note", default=""),
)
_SHARE = re.compile(r"(.*\S)\s+([\d.,]+\s*%)")


@dataclass(frozen=True)
class Known:
    """Names that moves may speak of; None where a file that holds them could not be read."""

    things: Collection[str] | None  # of the ledger, aboard at the weighing, people and stores
    tanks: Collection[str] | None
    solids: Collection[str] | None
    marks: Collection[str] | None  # and the kinds of marks there are


def names_known(ledger: LedgerReading, people: Parts, tanks: Parts, solids: Parts, marks: Parts) -> Known:
    """What the moves of a folder may speak of."""
    things = None
    if ledger.table is not None and ledger.table.whole and people.known is not None:
        named = (name for row in ledger.table.rows for name in (row["item"], row["to_item"]) if name)
        things = tuple(dict.fromkeys([*named, *ledger.ledger.found, *people.known]))
    kinds = tuple(part.kind for _, part in marks.made if isinstance(part, Mark))
    known = None if marks.known is None else tuple(dict.fromkeys([*marks.known, *kinds]))
    return Known(things, tanks.known, solids.known, known)


def read_packages(folder: Path, packages: Collection[str] | None, currency: str, problems: Problems) -> dict[str, Work]:
    """Hours and cost by package."""
    columns = (Column("package", required=True), *WORK)
    table = read_table(folder / PACKAGES, columns, problems, required=False)
    works: dict[str, Work] = {}
    first: dict[str, Row] = {}
    for row in table.rows if table is not None else ():
        name = row["package"]
        if not name or table is None:
            continue
        if name in first:
            problems.append(
                table.problem(row, "package", f"{name} stands in row {first[name].number} too", "Keep one of them")
            )
            continue
        first[name] = row
        _known(name, packages, "package of ledger.csv", table, row, "package", problems)
        works[name] = _work(row)
    _check_currency(table, currency, problems)
    return works


def read_moves(
    folder: Path, datum: Datum | None, known: Known, hull: Hull | None, currency: str, problems: Problems
) -> tuple[Freedom, ...]:
    """The freedoms, in the order of the file."""
    columns = (
        Column("thing", required=True),
        *(Column(f"{axis}_{end}", axis) for axis in "xy" for end in ("from", "to")),
        Column("z", "z"),
        Column("up_by", "length", low=0.0, high=MOST_RAISED),
        Column("wider_by", "length", low=0.0, high=MOST_WIDER),
        *(Column(f"volume_{end}", "volume", low=0.0) for end in ("from", "to")),
        Column("goes_with", "list"),
        *WORK,
    )
    table = read_table(folder / MOVES, columns, problems, datum, required=False)
    made: list[Freedom] = []
    for row in table.rows if table is not None else ():
        if table is None or not row["thing"]:
            continue
        freedom = _freedom(table, row, known, problems)
        if freedom is None:
            continue
        other = next((f for f in made if (f.name, f.kind) == (freedom.name, freedom.kind)), None)
        if other is not None:
            problems.append(
                table.problem(
                    row, "thing", f"row {other.row} gives limits of the same kind for {freedom.name}",
                    "Make one row of them, from the least to the most",
                )
            )  # fmt: skip
            continue
        if hull is not None and freedom.kind == PLACE:
            _check_on_boat(table, row, freedom, hull, problems)
        made.append(freedom)
    _check_currency(table, currency, problems)
    return tuple(made)


def _freedom(table: Table, row: Row, known: Known, problems: Problems) -> Freedom | None:
    """The freedom of a row; None, with a Problem, where it cannot be told."""
    name, before = row["thing"], len(problems)
    given = {
        PLACE: any(row.read[f"{a}_{e}"] for a in "xy" for e in ("from", "to")),
        RAISE: bool(row.read["up_by"]),
        WIDEN: bool(row.read["wider_by"]),
        RESIZE: bool(row.read["volume_from"] or row.read["volume_to"]),
    }
    kinds = [kind for kind, said in given.items() if said]
    if len(kinds) != 1:
        said = "says nothing of" if not kinds else "says several things of"
        problems.append(
            table.problem(
                row, "thing", f"the row {said} what may be changed about {name}",
                "Give one of: x_from_m and x_to_m (where it may stand), up_by_mm (marks), wider_by_mm (a solid), "
                "volume_from_l and volume_to_l (a tank); a row for each",
            )
        )  # fmt: skip
        return None
    (kind,) = kinds
    low, high = _limits(table, row, kind, problems)
    if low is None or high is None:
        return None
    _check_thing(table, row, kind, known, problems)
    if row.read["z"] and kind != PLACE:
        problems.append(
            table.problem(row, "z", "a height belongs to a row with x_from_m and x_to_m", "Take it out of this row")
        )
    goes_with = tuple(
        one for text in row["goes_with"] or () if (one := _along(table, row, kind, text, known, problems))
    )
    if len(problems) > before:
        return None
    return Freedom(name, kind, low, high, row["z"], _work(row), goes_with, row.number)


def _limits(table: Table, row: Row, kind: str, problems: Problems) -> tuple[Any, Any]:
    """Low and high in SI; (None, None) with a Problem where one is missing."""
    if kind in (RAISE, WIDEN):
        most = row["up_by" if kind == RAISE else "wider_by"]
        if most is not None and not most > 0:
            column = "up_by" if kind == RAISE else "wider_by"
            problems.append(table.problem(row, column, "by nothing is no choice", "Give the most that can be done"))
            return None, None
        return (None, None) if most is None else (np.zeros(1), np.array([most]))
    axes = ("x", "y") if kind == PLACE else ("volume",)
    lows, highs = [], []
    for axis in axes:
        ends = [row[f"{axis}_{end}"] for end in ("from", "to")]
        typed = [row.read[f"{axis}_{end}"] for end in ("from", "to")]
        if axis == "y" and typed == ["", ""]:
            lows.append(np.nan)
            highs.append(np.nan)
            continue
        for end, value, text in zip(("from", "to"), ends, typed, strict=True):
            if value is None and not text:
                problems.append(
                    table.problem(
                        row, f"{axis}_{end}", f"{row['thing']} needs both ends of its limits", "Fill in both, equal "
                        "where there is one place only",
                    )
                )  # fmt: skip
        if None in ends:
            return None, None
        low, high = sorted(float(v) for v in ends)
        if axis == "volume" and not low > 0:
            problems.append(table.problem(row, "volume_from", "a tank holds something", "Give the least volume"))
            return None, None
        lows.append(low)
        highs.append(high)
    return np.array(lows), np.array(highs)


def _check_thing(table: Table, row: Row, kind: str, known: Known, problems: Problems) -> None:
    """What the row is about is there, and can be changed in this way."""
    name = row["thing"]
    if kind == PLACE:
        among = None if known.things is None or known.tanks is None else [*known.tanks, *known.things]
        _known(name, among, "thing, tank, person or store", table, row, "thing", problems)
    elif kind == RAISE:
        for part in name.split(" + "):
            _known(part.strip(), known.marks, "mark or kind of mark", table, row, "thing", problems)
    elif kind == WIDEN:
        _known(name, known.solids, "solid of solids.csv", table, row, "thing", problems)
    else:
        _known(name, known.tanks, "tank of tanks.csv", table, row, "thing", problems)


def _along(table: Table, row: Row, kind: str, text: str, known: Known, problems: Problems) -> tuple[str, float] | None:
    """A thing that goes along and its share of the way: "switches and cables 60 %", or the whole way."""
    among = None if known.things is None or known.tanks is None else [*known.tanks, *known.things]
    share = 1.0
    if (among is None or text not in among) and (found := _SHARE.fullmatch(text)):
        try:
            text, share = found[1], parse_quantity(found[2], "fraction", None)
        except NotUnderstood as problem:
            problems.append(table.problem(row, "goes_with", problem.expected, problem.mend))
            return None
    if kind != PLACE:
        problems.append(
            table.problem(row, "goes_with", "only what moves takes something along", "Take it out of this row")
        )
        return None
    if text == row["thing"]:
        problems.append(table.problem(row, "goes_with", f"{text} goes with itself", "Take it out"))
        return None
    _known(text, among, "thing, tank, person or store", table, row, "goes_with", problems, read=text)
    return text, share


def _check_on_boat(table: Table, row: Row, freedom: Freedom, hull: Hull, problems: Problems) -> None:
    """Places lie on the boat, from well abaft the transom to the stem."""
    ends = hull.solid.bounds
    low, high = ends[0] - np.array([1.5, 0.2, 0.5]), ends[1] + np.array([0.0, 0.2, 3.0])
    places = [("x", freedom.low[0], "x_from"), ("x", freedom.high[0], "x_to")]
    if np.isfinite(freedom.low[1]):
        places += [("y", freedom.low[1], "y_from"), ("y", freedom.high[1], "y_to")]
    places += [("z", freedom.z, "z")] if freedom.z is not None else []
    for axis, value, column in places:
        k = "xyz".index(axis)
        if not low[k] <= value <= high[k]:
            problems.append(
                table.problem(
                    row, column, f"{freedom.name} would stand {say_position(float(value), axis)}, off the boat",
                    "Check the figure, its unit and the datum line of this file",
                )
            )  # fmt: skip


def _work(row: Row) -> Work:
    return Work(row["hours"], row["hours_later"], row["cost"], row["note"] or "")


def _check_currency(table: Table | None, currency: str, problems: Problems) -> None:
    """Costs without a currency are worth a look: nobody can tell what they are."""
    if table is None or currency:
        return
    priced = next((row for row in table.rows if row["cost"] is not None), None)
    if priced is not None:
        problems.append(
            table.problem(
                priced, "cost", "boat.toml does not say in which currency", 'Write currency = "USD" at its top', LOOK
            )
        )


def _known(
    name: str, among: Iterable[str] | None, what: str, table: Table, row: Row, column: str, problems: Problems,
    read: str | None = None,
) -> None:  # fmt: skip
    """A Problem where `name` is not among them: to mend where one is near, else only to look at, and left out."""
    if among is None or name in set(among):
        return
    names = list(dict.fromkeys(among))
    near = difflib.get_close_matches(name, names, n=1)
    listed = ", ".join(names[:8]) + (", ..." if len(names) > 8 else "")
    hint = f'Did you mean "{near[0]}"?' if near else f"There are: {listed}" if names else "There is none"
    expected = f'there is no {what} called "{name}"{"" if near else "; left out"}'
    problem = table.problem(row, column, expected, hint, MEND if near else LOOK)
    problems.append(problem if read is None else replace(problem, read=read))
