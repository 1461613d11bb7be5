"""Change single cells of a delimited file and leave all else as its owner wrote it.

Remarks, columns, blank rows, separators, line ends, encoding and byte-order mark stay; only rows with a changed cell
are written anew. The new file is complete before it takes the old one's place.
"""

from __future__ import annotations

import csv
import io
import os
import re
import shutil
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

from hullcalc.boats.heads import split_title
from hullcalc.boats.sheets import UNREADABLE, Record, Sheet, read_sheet
from hullcalc.errors import InputError, Problems
from hullcalc.units.grammar import decimal_comma_of
from hullcalc.units.names import KINDS, lookup, unit_key

_POINT = re.compile(r"(\s*[-+]?[0-9]*)\.([0-9]+(?:[^0-9.,].*)?)")


def update_cells(path: str | Path, changes: Mapping[tuple[int, str], str]) -> None:
    """Write new texts into cells of a file.

    Parameters
    ----------
    path : str or Path
        The file; where it is a link, the file it points to is changed.
    changes : mapping
        {(row, column): text}, the row as a spreadsheet shows it and the column by its head or by its name without the
        unit ("mass_kg" or "mass"). A figure is written with the file's own decimal mark.

    Raises
    ------
    InputError
        Where a row or column is not there, or the file cannot be read without loss. Nothing has been written then.
    """
    path, sheet = _sheet(path)
    lines = sheet.text.lines
    for row, texts in _by_row(path.name, sheet, changes).items():
        record = next(r for r in sheet.records if r.row == row)
        cells = [texts.get(i, cell) for i, cell in enumerate(record.cells)]
        if cells != record.cells:
            lines[record.start : record.stop] = [
                _written(cells, sheet, lines[record.stop - 1]),
                *[""] * (record.stop - record.start - 1),
            ]  # the list keeps its length, so that later records stay where they are
    replace_file(path, sheet.text.mark + "".join(lines).encode(sheet.text.encoding))


def add_columns(path: str | Path, names: Sequence[str]) -> None:
    """Add empty columns at the end of a file's head, those that it does not have already; raises as `update_cells`."""
    path, sheet = _sheet(path)
    head = sheet.records[0]
    there = {key for cell in head.cells for key in _names(cell.strip())}
    missing = [name for name in names if unit_key(name) not in there]
    lines = sheet.text.lines
    for record in sheet.records if missing else ():
        last = lines[record.stop - 1]
        text = last.rstrip("\r\n")
        more = missing if record is head else [""] * len(missing)
        lines[record.stop - 1] = text + "".join(sheet.delimiter + cell for cell in more) + last[len(text) :]
    replace_file(path, sheet.text.mark + "".join(lines).encode(sheet.text.encoding))


def append_rows(path: str | Path, rows: Sequence[Mapping[str, str]], head: Sequence[str] = ()) -> None:
    """Add rows at the end of a file, each {column: text} with columns as in `update_cells`, the other cells empty.

    Where there is no such file it is begun with `head`, if that is given. Raises as `update_cells`; a column that the
    file has not is an InputError, so add it first.
    """
    path = Path(os.path.realpath(path))
    if not path.exists() and head:
        path.write_text(",".join(head) + "\n", encoding="utf-8")
    path, sheet = _sheet(path)
    first, *body = sheet.records
    comma = sheet.delimiter != "," and decimal_comma_of([cell for record in body for cell in record.cells])
    lines = sheet.text.lines
    end = next((line[len(line.rstrip("\r\n")) :] for line in lines if line.rstrip("\r\n") != line), "\n")
    if lines and lines[-1] == lines[-1].rstrip("\r\n"):
        lines[-1] += end
    for row in rows:
        cells = [""] * len(first.cells)
        for column, text in row.items():
            match = _POINT.fullmatch(text) if comma else None
            cells[_index(path.name, first, column)] = f"{match[1]},{match[2]}" if match else text
        if cells[0].lstrip().startswith("#"):
            raise InputError(f"{path.name}: {cells[0]!r} would make the row a remark. Begin it without #")
        lines.append(_written(cells, sheet, end))
    replace_file(path, sheet.text.mark + "".join(lines).encode(sheet.text.encoding))


def _sheet(path: str | Path) -> tuple[Path, Sheet]:
    """The file that a path leads to, and its rows, where nothing would be lost in writing it again."""
    path = Path(os.path.realpath(path))
    problems = Problems()
    sheet = read_sheet(path, problems)
    problems.raise_if_any()
    if sheet is None or UNREADABLE in sheet.text.content:
        raise InputError(f"{path.name}: holds characters that cannot be read. Save it with the encoding UTF-8 first")
    return path, sheet


def _by_row(file: str, sheet: Sheet, changes: Mapping[tuple[int, str], str]) -> dict[int, dict[int, str]]:
    """The changes as {row: {index of the cell: text}}, all of them checked."""
    head, *body = sheet.records
    rows = {record.row: record for record in body}
    comma = sheet.delimiter != "," and decimal_comma_of([cell for record in body for cell in record.cells])
    ordered: dict[int, dict[int, str]] = {}
    for (row, column), text in changes.items():
        if row not in rows:
            raise InputError(f"{file}: row {row} holds no cells to change. Rows with cells: {_span(body)}")
        index = _index(file, head, column)
        if index >= len(rows[row].cells):
            raise InputError(
                f"{file} row {row}: the row ends before the column {column}. Fill in the missing cells first"
            )
        if index == 0 and text.lstrip().startswith("#"):
            raise InputError(f"{file} row {row}: {text!r} would turn the row into a remark. Begin it without #")
        match = _POINT.fullmatch(text) if comma else None
        ordered.setdefault(row, {})[index] = f"{match[1]},{match[2]}" if match else text
    return ordered


def _index(file: str, head: Record, column: str) -> int:
    """Where a column stands: by its head as written, else by its name without the unit."""
    titles = [cell.strip() for cell in head.cells]
    found = [i for i, title in enumerate(titles) if title == column]
    found = found or [i for i, title in enumerate(titles) if title and unit_key(column) in _names(title)]
    if len(found) != 1:
        trouble = "no column" if not found else "more than one column"
        raise InputError(f"{file}: {trouble} {column!r}. Its columns: {', '.join(filter(None, titles))}")
    return found[0]


def _names(title: str) -> set[str]:
    """The names a head answers to: itself, and itself without a unit at its end."""
    name, _ = split_title(title)
    words = name.split("_")
    ends = {
        "_".join(words[:k]) for k in range(1, len(words)) if any(lookup("_".join(words[k:]), kind) for kind in KINDS)
    }
    return {name, *ends}


def _span(body: list[Record]) -> str:
    return f"{body[0].row} to {body[-1].row}" if body else "none"


def _written(cells: list[str], sheet: Sheet, last_line: str) -> str:
    """A record as text, with the line end that its last line had."""
    out = io.StringIO()
    csv.writer(out, delimiter=sheet.delimiter, lineterminator="\r\n").writerow(cells)  # so that it quotes line breaks
    return out.getvalue().removesuffix("\r\n") + last_line[len(last_line.rstrip("\r\n")) :]


def replace_file(path: Path, data: bytes) -> None:
    """Put `data` in the place of a file, there or not: all of it or, on any failure, the old file as it was."""
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            shutil.copymode(path, name)
        else:
            mask = os.umask(0)  # the one way to ask for it
            os.umask(mask)
            os.chmod(name, 0o666 & ~mask)
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
