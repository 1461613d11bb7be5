"""ledger.csv and aboard.csv: rows of remove / add / move / replace, and what was aboard when she was weighed.

Nothing is raised; what cannot be used becomes a Problem, and the rest is read on so that all problems are seen at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from hullcalc.boats.datum import Datum
from hullcalc.boats.ledger import ACTIONS, Ledger, LedgerRow, Thing
from hullcalc.boats.tables import Column, Row, Table, read_table
from hullcalc.errors import MEND, InputError, Problems
from hullcalc.units import say_in
from hullcalc.weights.items import item
from hullcalc.weights.sources import BASES, standard_uncertainties

FILE, ABOARD = "ledger.csv", "aboard.csv"
PLACE = ("x", "y", "z")
HEAD = 1  # the row of the head
SAME_PLACE = 0.005  # m: two figures of one place, read twice, agree within this
UNCERTAINTY = (
    Column("u_mass", "mass", low=0.0),
    *(Column(f"u_{axis}", "length", low=0.0) for axis in PLACE),
)
COLUMNS = (
    Column("pkg", required=True),
    Column("act", "choice", required=True, choices=ACTIONS),
    Column("item", required=True),
    Column("mass", "mass"),
    *(Column(axis, axis) for axis in PLACE),
    Column("to_item"),
    Column("to_mass", "mass", low=0.0),
    *(Column(f"to_{axis}", axis) for axis in PLACE),
    Column("basis", "choice", choices=tuple(BASES)),
    Column("to_basis", "choice", choices=tuple(BASES)),
    *UNCERTAINTY,
    Column("low", "mass", low=0.0),
    Column("high", "mass", low=0.0),
    Column("weighed", "mass", low=0.0),
    Column("weighed_on"),
    Column("weighed_by"),
    Column("weighed_why"),
    Column("shared"),
    Column("includes"),
    Column("pod_litres", "number", low=0.0),
    Column("keep", "flag", default=False),
    Column("note", default=""),
)
ABOARD_COLUMNS = (
    Column("item", required=True),
    Column("mass", "mass", low=0.0),
    *(Column(axis, axis) for axis in PLACE),
    Column("tank", default=""),
    Column("basis", "choice", choices=tuple(BASES)),
    *UNCERTAINTY,
    Column("note", default=""),
)


@dataclass(frozen=True, eq=False)
class LedgerReading:
    """The ledger, the table it was read from, (thing, tank) of each row of aboard.csv, and that table."""

    ledger: Ledger
    table: Table | None
    aboard: tuple[tuple[Thing, str], ...] = ()
    at_weighing: Table | None = None

    @property
    def packages(self) -> tuple[str, ...] | None:
        """All packages named in the file, in its order; None where it, or a row of it, could not be read."""
        if self.table is None or not self.table.whole:
            return None
        return tuple(dict.fromkeys(row["pkg"] for row in self.table.rows if row["pkg"]))


def read_ledger(folder: Path, datums: Mapping[str, Datum], no_side: bool, problems: Problems) -> LedgerReading:
    """Read both files; `no_side` accepts a ledger without y as lying on the centreline."""
    table = read_table(folder / FILE, COLUMNS, problems, datums.get(FILE))
    at_weighing = read_table(folder / ABOARD, ABOARD_COLUMNS, problems, datums.get(ABOARD), required=False)
    reader = _Reader(table, at_weighing, no_side, problems)
    return reader.read()


def own_thing(table: Table, row: Row, name: str, problems: Problems, no_side: bool, prefix: str = "") -> Thing | None:
    """A Thing from a row's own mass and place; None, with a Problem, where they cannot be used."""
    mass, place = row[f"{prefix}mass"], [row[f"{prefix}{axis}"] for axis in PLACE]
    if no_side or not table.has(f"{prefix}y"):
        place[1] = 0.0 if place[1] is None else place[1]
    for column, value in zip((f"{prefix}mass", *(f"{prefix}{axis}" for axis in PLACE)), (mass, *place), strict=True):
        if value is None:
            if not row.read[column]:
                problems.append(
                    table.problem(row, column, f"the cell is empty: {name} needs a mass and a place", "Fill it in")
                )
            return None
    if mass < 0:
        _report_negative(table, row, f"{prefix}mass", mass, problems)
        return None
    basis = row[f"{prefix}basis"] or "estimated"  # what comes in by a replacement has a basis of its own
    centre = np.array(place, dtype=float)
    _, usual = standard_uncertainties(basis, mass)
    given = [row[f"u_{axis}"] for axis in PLACE]
    u_place = None
    if usual is not None or None not in given:
        u_place = np.array([usual[k] if u is None else u for k, u in enumerate(given)])  # type: ignore[index]
    low, high = (row.values.get(name) for name in ("low", "high"))
    try:
        thing = item(name, mass, centre, basis, row["u_mass"], u_place, row.values.get("shared"), low, high)
        weighed = row.values.get("weighed")
        if weighed is None:
            return Thing(thing, centre)
        scaled = item(name, weighed, centre, "weighed", u_place=u_place, shared=row["shared"])
        return Thing(scaled, centre, estimate=thing)
    except InputError as problem:
        problems.append(table.problem(row, "mass", str(problem).splitlines()[0], "See what the row says of its mass"))
        return None


def _report_negative(table: Table, row: Row, column: str, mass: float, problems: Problems) -> None:
    unit = row.units.get(column, "kg")
    plain = say_in(-mass, "mass", unit)
    act = row.values.get("act")
    if act == "remove":
        words = f"removing -{plain} would add it", f'With action "remove" write a plain {plain}'
    elif act == "add":
        words = f"adding -{plain} would take it off", f'Write a plain {plain} with action "remove", or mend the sign'
    else:
        words = "expected a plain mass, zero or more", f"Write {plain}"
    problems.append(table.problem(row, column, *words, weight=50.0))


class _Reader:
    def __init__(self, table: Table | None, at_weighing: Table | None, no_side: bool, problems: Problems) -> None:
        self.table, self.at_weighing, self.no_side, self.problems = table, at_weighing, no_side, problems
        self.added: dict[str, tuple[Row, Thing | None]] = {}  # brought by an add or a replace row
        self.found: dict[str, tuple[str, Thing]] = {}  # in the boat as found: (where it is said, thing)
        self.unclear: set[str] = set()  # named with figures that could not be used: said already

    def read(self) -> LedgerReading:
        if self.table is None or self._lacks_a_column(self.table):
            return LedgerReading(Ledger(()), self.table)
        rows = self.table.rows
        usable = [row for row in rows if row["pkg"] and row["act"] and row["item"]]
        self._check_side()
        self.unclear.update(name for row in rows if row not in usable for name in (row["item"], row["to_item"]) if name)
        for row in usable:
            if row["act"] == "add":
                self._bring(row, row["item"], self._thing(row, row["item"]))
            elif row["act"] == "replace" and row["to_item"]:
                self._bring(row, row["to_item"], None)  # its figures come below, when the old thing is known
        for row in usable:
            if row["act"] != "add" and row.read["mass"]:
                self._find(row)
        aboard = self._aboard()
        lines = tuple(line for row in usable if (line := self._line(row)) is not None)
        ledger = Ledger(lines, {name: thing for name, (_, thing) in self.found.items()})
        return LedgerReading(ledger, self.table, aboard, self.at_weighing)

    def _report(
        self, row: Row, column: str, expected: str, mend: str, weight: float = 0.0, table: Table | None = None
    ) -> None:
        table = table or self.table
        if table is not None:
            self.problems.append(table.problem(row, column, expected, mend, weight=weight))

    def _thing(self, row: Row, name: str, prefix: str = "") -> Thing | None:
        if self.table is None:
            return None
        thing = own_thing(self.table, row, name, self.problems, self.no_side, prefix)
        if thing is None:
            self.unclear.add(name)
        return thing

    def _lacks_a_column(self, table: Table) -> bool:
        """Without masses or places no row can be used: said once, not at every row."""
        lacking = [name for name in ("mass", "x", "z") if not table.has(name)]
        head_is_wrong = any(p.file == FILE and p.row == HEAD and p.level == MEND for p in self.problems)
        for name in lacking if not head_is_wrong else ():
            self.problems.append(
                table.problem(
                    None, name, f"the column {name} is missing",
                    f"Add a column named {name}_{'kg' if name == 'mass' else 'm'}", weight=30.0,
                )
            )  # fmt: skip
        return bool(lacking)

    def _check_side(self) -> None:
        if self.table is None or self.table.has("y") or self.no_side:
            return
        self.problems.append(
            self.table.problem(
                None, "y_m",
                f"{FILE} has no y_m. All {len(self.table.rows)} items will sit on the centreline and heel cannot be "
                "told",
                'Add the column, or write side = "centre" in boat.toml to accept', weight=30.0,
            )
        )  # fmt: skip

    def _bring(self, row: Row, name: str, thing: Thing | None) -> None:
        self.added.setdefault(name, (row, thing))

    def _find(self, row: Row) -> None:
        """A thing of the boat as found, or figures that must agree with the row that adds it."""
        name = row["item"]
        adding = self.added[name][0] if name in self.added else row
        if adding is not row:
            return  # compared in _line, when the things of "replace" rows are known too
        thing = self._thing(_of_the_old(row), name)
        if thing is None:
            return
        first = self.found.setdefault(name, (f"row {row.number}", thing))
        if not _agree(first[1], thing):
            self._report(
                row, "mass", f"{name} has other figures in {first[0]}: {_say(first[1])}",
                "If it is one thing, give its figures once; if two, give each its own name", 20.0,
            )  # fmt: skip

    def _aboard(self) -> tuple[tuple[Thing, str], ...]:
        """What was aboard at the weighing; its figures stand here or in the ledger row that removes it."""
        kept = []
        table = self.at_weighing
        for row in table.rows if table is not None else ():
            name = row["item"]
            if not name or table is None:
                continue
            if row.read["mass"]:
                thing = own_thing(table, row, name, self.problems, self.no_side)
                if thing is None:
                    self.unclear.add(name)
                    continue
                first = self.found.setdefault(name, (f"{ABOARD} row {row.number}", thing))
                if not _agree(first[1], thing):
                    self._report(
                        row, "mass", f"{name} has other figures in {FILE} {first[0]}: {_say(first[1])}",
                        "Give its figures once and leave the cells empty in the other file", 20.0, table,
                    )  # fmt: skip
            elif name not in self.found:
                if name not in self.unclear and self.table is not None and self.table.whole:
                    self._report(
                        row, "item", f"nothing says what {name} weighs",
                        f"Fill in mass and place here, or in a row of {FILE} that removes it", 20.0, table,
                    )  # fmt: skip
                continue
            kept.append((self.found[name][1], row["tank"]))
        return tuple(kept)

    def _line(self, row: Row) -> LedgerRow | None:
        """The row as the ledger has it; None where it cannot be used."""
        act, name = row["act"], row["item"]
        record = ", ".join(row[c] for c in ("weighed_on", "weighed_by", "weighed_why") if row[c])
        common = {"number": row.number, "package": row["pkg"], "action": act, "item": name, "note": row["note"]}
        if act == "add":
            thing = self.added[name][1] if self.added[name][0] is row else self._second(row)
            return None if thing is None else LedgerRow(**common, new=thing, record=record)
        old = self._old(row)
        if old is None:
            if act == "replace" and row["to_item"]:
                self.unclear.add(row["to_item"])
            return None
        if act == "remove":
            return LedgerRow(**common, record=record)
        if act == "move":
            to = tuple(row[f"to_{axis}"] for axis in PLACE)
            if to == (None, None, None):
                if not any(row.read[f"to_{axis}"] for axis in PLACE):
                    self._report(row, "to_x", f"{name} is moved, but not where to", "Fill in to_x_m, to_y_m or to_z_m")
                return None
            return LedgerRow(**common, to=to, u_to=self._u_to(row, old))
        return self._replacement(row, old, common, record)

    def _second(self, row: Row) -> Thing | None:
        """Another "add" row of the same name: read on its own; checks.py asks whether both may be there."""
        return self._thing(row, row["item"])

    def _old(self, row: Row) -> Thing | None:
        """What a row that takes, moves or replaces is about; None, with a Problem, where nobody knows it."""
        name = row["item"]
        if name in self.found:
            return self.found[name][1]
        if name in self.added:
            adding, thing = self.added[name]
            if thing is None:
                if adding["act"] == "replace" and adding.number > row.number and name not in self.unclear:
                    self._report(
                        row, "item", f"{name} comes aboard only in row {adding.number}, below this one",
                        "Put this row below that one",
                    )  # fmt: skip
                elif name not in self.unclear:
                    self._report(
                        row, "item", f"what {name} weighs is not clear from row {adding.number}",
                        "Mend that row first, or fill in its mass and place here", 20.0,
                    )  # fmt: skip
                return None
            self._compare(row, adding, thing)
            return thing
        if name not in self.unclear and self.table is not None and self.table.whole:
            self._report(
                row, "item", f"nothing says what {name} weighs: no row adds it, and the cells here are empty",
                "Write the name as in the row that adds it, or fill in its mass and place", 20.0,
            )  # fmt: skip
        return None

    def _compare(self, row: Row, adding: Row, thing: Thing) -> None:
        """Figures given again beside the name of a thing that another row brings must agree with that row."""
        earlier = (
            [r for r in self.table.rows if r.number < row.number and r["item"] == row["item"]] if self.table else []
        )
        if any(r["act"] == "move" for r in earlier):
            return  # it may stand elsewhere by now, or not: that depends on the packages
        for column, known in (("mass", float(thing.item.mass)), *zip(PLACE, thing.place, strict=True)):
            value = row[column]
            slack = SAME_PLACE if column in PLACE else 0.01 * max(known, 1.0)
            if value is not None and abs(value - known) > slack:
                what = "weighs" if column == "mass" else f"stands at {column} ="
                unit = "kg" if column == "mass" else "m"
                self._report(
                    row, column, f"{row['item']} {what} {known:g} {unit} in row {adding.number}",
                    "Leave the cell empty, mend one of the two, or give two things two names", 20.0,
                )  # fmt: skip
                return
        if row["act"] == "remove" and row.read["mass"] and row.number < adding.number:
            self._report(
                row, "item", f"{row['item']} is taken out here and put in by row {adding.number} below",
                "If it goes back elsewhere, write one row with action move; if it is another, give it another name",
                20.0,
            )  # fmt: skip

    def _u_to(self, row: Row, old: Thing) -> np.ndarray | None:
        given = [row[f"u_{axis}"] for axis in PLACE]
        if given == [None, None, None] and not row["basis"]:
            return None
        _, usual = standard_uncertainties(row["basis"] or old.item.basis, 0.0)
        if usual is None:
            return None
        return np.array([usual[k] if u is None else u for k, u in enumerate(given)])

    def _replacement(self, row: Row, old: Thing, common: dict, record: str) -> LedgerRow | None:
        name = row["to_item"]
        if not name:
            self._report(row, "to_item", f"{row['item']} is replaced, but not by what", "Name the new thing in to_item")
            return None
        filled = dict(row.values)
        for k, axis in enumerate(PLACE):
            if not row.read[f"to_{axis}"]:
                filled[f"to_{axis}"] = float(old.place[k])
        whole = Row(row.number, filled, row.read, row.units, row.extra)
        thing = self._thing(whole, name, "to_")
        if self.added[name][0] is row:
            self.added[name] = (row, thing)
        return None if thing is None else LedgerRow(**common, new=thing, record=record)


def _of_the_old(row: Row) -> Row:
    """A row as it speaks of what goes: in a replacement the weighing, range and shared cause are the new thing's."""
    if row["act"] != "replace":
        return row
    of_the_new = ("weighed", "u_mass", "low", "high", "shared")
    return Row(row.number, {**row.values, **dict.fromkeys(of_the_new)}, row.read, row.units, row.extra)


def _agree(a: Thing, b: Thing) -> bool:
    near = np.all(abs(a.place - b.place) <= SAME_PLACE)
    return bool(near and abs(a.item.mass - b.item.mass) <= 0.01 * max(float(a.item.mass), 1.0))


def _say(thing: Thing) -> str:
    x, y, z = thing.place
    return f"{float(thing.item.mass):g} kg at ({x:g}, {y:g}, {z:g})"
