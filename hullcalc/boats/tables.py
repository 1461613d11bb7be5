"""Tables of a boat folder: every cell checked, read into SI and boat axes, and kept as typed beside it.

Readers append all they find to `problems` and raise nothing. A row that counts too few or too many cells is not
interpreted at all, for nobody can tell which cell is which.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from hullcalc.boats.cells import read_figure, read_word, wanted
from hullcalc.boats.datum import Datum
from hullcalc.boats.heads import UNIT_KINDS, Column, Head, Place, read_head, report_nameless
from hullcalc.boats.sheets import UNREADABLE, Record, Sheet, read_sheet, shorten
from hullcalc.boats.toml_files import read_toml
from hullcalc.errors import LOOK, MEND, Problem, Problems
from hullcalc.units import NotUnderstood, say_in
from hullcalc.units.grammar import decimal_comma_of

__all__ = ["Column", "Row", "Table", "read_table", "read_toml"]

MOST_ALIKE = 20  # problems shown of one column; the rest are counted
_ENCODING = "Save the file as CSV with the encoding UTF-8, then look at this cell again"


@dataclass(frozen=True)
class Row:
    """One row: `row["mass"]` in SI and boat axes (None where empty or not understood), `row.read["mass"]` as typed.

    `number` is the row as a spreadsheet shows it; `units` the unit each figure was given in; `extra` holds the cells of
    unknown columns.
    """

    number: int
    values: Mapping[str, Any]
    read: Mapping[str, str]
    units: Mapping[str, str]
    extra: Mapping[str, str]

    def __getitem__(self, name: str) -> Any:
        return self.values[name]


@dataclass(frozen=True)
class Table:
    """The rows of a file; `heads` gives each column found the name it has in the file."""

    file: str
    rows: tuple[Row, ...]
    heads: Mapping[str, str]
    datum: Datum = field(default_factory=Datum)
    whole: bool = True  # False where a row could not be taken apart: then nothing is to be said of names that lack

    def has(self, name: str) -> bool:
        """Is there such a column in the file?"""
        return name in self.heads

    def problem(
        self, row: Row | None, name: str | None, expected: str, mend: str, level: str = MEND, weight: float = 0.0
    ) -> Problem:
        """A Problem at a cell of this table, with what was read there."""
        read = shorten(row.read.get(name, "")) if row is not None and name is not None else ""
        column = self.heads.get(name, name) if name is not None else None
        return Problem(self.file, row.number if row is not None else None, column, read, expected, mend, level, weight)


def read_table(
    path: str | Path,
    columns: Iterable[Column],
    problems: Problems,
    datum: Datum | None = None,
    required: bool = True,
) -> Table | None:
    """Read a delimited file.

    Parameters
    ----------
    path : str or Path
        The file, comma, `;` or tab between cells.
    columns : iterable of Column
        What may stand in it.
    problems : Problems
        Gets all that is to mend or to look at; `fine` grows by each row without anything to mend.
    datum : Datum, optional
        Where x is measured from in this file, and which way; applied to columns of kind x.
    required : bool
        False where the boat may do without: a missing file is then no problem, and no rows only worth a look.

    Returns
    -------
    Table or None
        None where the file is missing or nothing in it can be read as a table.
    """
    path, columns = Path(path), tuple(columns)
    if not required and not path.exists():
        return None
    sheet = read_sheet(path, problems)
    if sheet is None:
        return None
    head = read_head(sheet.records[0], columns, path.name, problems)
    if head is None:
        return None
    return _Reader(path.name, columns, sheet, head, datum or Datum(), problems).read(required)


class _Reader:
    """Reads the records of one sheet; keeps its problems until they are counted."""

    def __init__(
        self, file: str, columns: tuple[Column, ...], sheet: Sheet, head: Head, datum: Datum, problems: Problems
    ) -> None:
        self.file, self.columns, self.sheet, self.head, self.datum = file, columns, sheet, head, datum
        self.problems = problems
        self.found = Problems()
        self.unreadable: list[tuple[int, str, str]] = []
        self.faults = 0  # so far, whatever is to mend
        self.decimal_comma = self._decimal_comma()

    def read(self, required: bool) -> Table:
        rows: list[Row] = []
        fine = 0
        nameless = False
        body = self.sheet.records[1:]
        if self._head_alone_is_wider(body):
            body = []
        for record in body:
            before = self.faults
            if not nameless and report_nameless(self.head, record, self.file, self.found):
                nameless, self.faults = True, self.faults + 1
            if self._counts(record):
                rows.append(self._row(record))
            fine += self.faults == before
        self._look_at_remarks()
        whole = len(rows) == len(self.sheet.records) - 1 and not self.sheet.lost
        if len(self.sheet.records) == 1 and not self.sheet.lost:
            self._report(
                self.head.row,
                None,
                "",
                "the table has a head and no rows",
                "Write one row for each item",
                MEND if required else LOOK,
            )
        if self.unreadable:
            row, column, text = self.unreadable[0]
            more = f" (and {len(self.unreadable) - 1} more cells)" if len(self.unreadable) > 1 else ""
            self._report(row, column, text, f"this cell holds a character that cannot be read{more}", _ENCODING)
        self.problems.extend(_counted(self.file, self.found))
        self.problems.fine += fine
        heads = {name: place.head for name, place in self.head.places.items()}
        return Table(self.file, tuple(rows), heads, self.datum, whole)

    def _report(
        self, row: int | None, column: str | None, read: str, expected: str, mend: str, level: str = MEND
    ) -> None:
        self.faults += level == MEND
        self.found.append(Problem(self.file, row, column, shorten(read), expected, mend, level))

    def _decimal_comma(self) -> bool | None:
        """Which decimal mark the file's figures use; between commas it can only be the point."""
        if self.sheet.delimiter == ",":
            return False
        places = [
            self.head.places[c.name].index for c in self.columns if c.kind in UNIT_KINDS and c.name in self.head.places
        ]
        return decimal_comma_of([r.cells[i] for r in self.sheet.records[1:] for i in places if i < len(r.cells)])

    def _head_alone_is_wider(self, body: list[Record]) -> bool:
        """Have all rows the same number of cells, fewer than the head? Then True, with one Problem at the head."""
        widths = {len(record.cells) for record in body}
        if len(body) < 3 or len(widths) > 1 or min(widths) >= self.head.width:
            return False
        self._report(
            self.head.row, None, self.sheet.delimiter.join(self.sheet.records[0].cells[min(widths) :]),
            f"the head names {self.head.width} columns, and every row has {min(widths)} cells",
            "Was a column added to the head alone? Add its cell to each row, empty if need be, or take it out",
        )  # fmt: skip
        return True

    def _counts(self, record: Record) -> bool:
        """Has the row as many cells as the head? Empty ones at the end count for nothing."""
        width = len(record.cells)
        if width < self.head.width:
            self._report(
                record.row,
                None,
                self.sheet.delimiter.join(record.cells),
                f"the row has {width} cells where the head has {self.head.width}",
                "Fill in the missing cells, or leave them empty between their separators",
            )
            return False
        surplus = [cell for cell in record.cells[self.head.width :] if cell.strip()]
        if surplus:
            self._report(
                record.row,
                None,
                self.sheet.delimiter.join(record.cells),
                f"the row has {width} cells where the head has {self.head.width}",
                "A comma inside a number or a text? Write 12.5 for 12,5, and put texts with a comma in quotation marks"
                if self.sheet.delimiter == ","
                else "Put texts that hold a separator in quotation marks, or name the last columns in the head",
            )
        return not surplus

    def _row(self, record: Record) -> Row:
        values: dict[str, Any] = {}
        read: dict[str, str] = {}
        units: dict[str, str] = {}
        for column in self.columns:
            place = self.head.places.get(column.name)
            text = record.cells[place.index].strip() if place else ""
            read[column.name] = text
            values[column.name] = column.default
            if place is None:
                continue
            if UNREADABLE in text:
                self.unreadable.append((record.row, place.head, text))
                self.faults += 1
                values[column.name] = None
                continue
            try:
                if not text:
                    if column.required:
                        raise NotUnderstood(
                            f"the cell is empty; expected {wanted(column)}", "Fill it in, or take the row out"
                        )
                    continue
                values[column.name], unit = self._cell(column, place, text, record.row)
                if unit is not None:
                    units[column.name] = unit
            except NotUnderstood as problem:
                values[column.name] = None
                self._report(record.row, place.head, text, problem.expected, problem.mend)
        extra = {title: record.cells[i].strip() for title, i in self.head.extras.items()}
        return Row(record.row, values, read, units, extra)

    def _cell(self, column: Column, place: Place, text: str, row: int) -> tuple[Any, str | None]:
        """(value, unit) of a cell that is not empty."""
        if column.kind not in UNIT_KINDS:
            return read_word(column, text), None
        reading = read_figure(column, text, place.unit, self.decimal_comma, self.datum)
        if column.kind == "fraction" and reading.unit == "%" and not reading.from_cell and 0 < reading.value <= 0.01:
            said = say_in(reading.value, "fraction", "%")
            self._report(
                row,
                place.head,
                text,
                f"read as {said}, for the head says percent",
                f'Write "{said}" if so; "50 %" is half',
                LOOK,
            )
        return reading.value, reading.unit

    def _look_at_remarks(self) -> None:
        """A row whose name begins with "#3" was perhaps no remark."""
        for record in self.sheet.remarks:
            if re.match(r"#\d", record.cells[0].lstrip()) and sum(bool(cell.strip()) for cell in record.cells) > 1:
                expected, mend = "left out as a remark, for it begins with #", 'For an item write "no. 3", not "#3"'
                self._report(record.row, None, record.cells[0], expected, mend, LOOK)


def _counted(file: str, found: Problems) -> list[Problem]:
    """The problems, with at most MOST_ALIKE of one column and level; the rest become a count."""
    seen: Counter[tuple[str | None, str]] = Counter()
    kept = []
    for problem in found:
        seen[problem.column, problem.level] += 1
        if seen[problem.column, problem.level] <= MOST_ALIKE:
            kept.append(problem)
    for (column, level), count in seen.items():
        if count > MOST_ALIKE:
            what = "cells of this column" if column else "rows of this file"
            more = f"{count - MOST_ALIKE} more {what} have some trouble"
            kept.append(Problem(file, None, column, "", more, "Mend those shown; the rest may be alike", level))
    return kept
