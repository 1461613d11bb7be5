"""Files as spreadsheets and text editors write them, opened with care: bytes to text, text to rows.

Byte-order marks, Windows line ends, `;` or tab between cells, blank rows, `#` remarks and line breaks inside quotes are
simply read. Rows are counted as a spreadsheet shows them: a record with a line break in a cell is one row. What cannot
be read becomes a Problem; nothing is raised.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from dataclasses import dataclass
from pathlib import Path

from hullcalc.errors import Problem, Problems
from hullcalc.units.grammar import SPREADSHEET_ERRORS

MOST_BYTES = 2_000_000  # a boat's tables hold hundreds of rows; reading more only delays the answer
MOST_UNREADABLE = 20  # rows with runaway quotes, before a file is given up
UNREADABLE = "\ufffd"  # stands where bytes are no character
DELIMITERS = (",", ";", "\t")
_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
_AS_CSV = 'In the spreadsheet choose "save as" and the type CSV (UTF-8)'


@dataclass(frozen=True)
class Text:
    """A file's text, line ends as they are, and the encoding and byte-order mark it came with."""

    content: str
    encoding: str
    mark: bytes

    @property
    def lines(self) -> list[str]:
        """Physical lines with their ends; line ends may be of any kind."""
        return list(io.StringIO(self.content, newline=""))


@dataclass(frozen=True)
class Record:
    """One spreadsheet row: its number, its cells, and the physical lines [start, stop) it was written on."""

    row: int
    cells: list[str]
    start: int
    stop: int

    @property
    def is_blank(self) -> bool:
        return not any(cell.strip() for cell in self.cells)


@dataclass(frozen=True)
class Sheet:
    """The rows of a delimited file without blank rows: the first record is the head; remarks stand apart.

    `lost` counts the rows that could not be taken apart into cells.
    """

    text: Text
    delimiter: str
    records: list[Record]
    remarks: list[Record]
    lost: int


def shorten(text: str, length: int = 60) -> str:
    """The text as shown in a message: one line, not too long."""
    flat = "".join(c if c.isprintable() else "·" for c in " ".join(text[: 4 * length].split()))
    return flat if len(flat) <= length else f"{flat[:length]}…"


def read_text(path: Path, problems: Problems) -> Text | None:
    """The text of a file, or None with a Problem: no such file, no text at all, or far too large."""

    def give_up(read: str, expected: str, mend: str) -> None:
        problems.append(Problem(path.name, None, None, read, expected, mend, weight=10.0))

    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            give_up(f"{size / 1e6:.1f} MB", "a boat's files are small, far below 2 MB", "Is this the right file?")
            return None
        data = path.read_bytes()
    except FileNotFoundError:
        give_up("", "there is no such file", f"Put {path.name} into the boat's folder {path.parent.name}")
        return None
    except OSError as error:
        give_up(
            "", f"the file cannot be opened ({error.strerror or error})", "Close it elsewhere, or check who may read it"
        )
        return None
    if data.startswith(_WORKBOOKS):
        give_up("", "this is a spreadsheet workbook or an archive, not a text file", _AS_CSV)
        return None
    encoding, mark = "utf-8", b""
    for name, start in (
        ("utf-8", codecs.BOM_UTF8),
        ("utf-16-le", codecs.BOM_UTF16_LE),
        ("utf-16-be", codecs.BOM_UTF16_BE),
    ):
        if data.startswith(start):
            encoding, mark = name, start
    content = data[len(mark) :].decode(encoding, errors="replace")
    if _is_noise(content):
        give_up("", "this is no text: it holds bytes that are no characters", _AS_CSV)
        return None
    return Text(content, encoding, mark)


def read_sheet(path: Path, problems: Problems) -> Sheet | None:
    """The rows of a delimited file, or None with a Problem where there is nothing to read."""
    text = read_text(path, problems)
    if text is None:
        return None
    lines = text.lines
    head = next((line for line in lines if line.strip(" \t\r\n,;") and not _is_remark(line.lstrip('"'))), None)
    if head is None:
        problems.append(
            Problem(
                path.name, 1, None, "", "the file is empty", "Write a row of column names, then one row for each item"
            )
        )
        return None
    delimiter = max(DELIMITERS, key=lambda mark: len(_split(head, mark)))
    records: list[Record] = []
    remarks: list[Record] = []
    at, row, unreadable = 0, 0, 0
    while at < len(lines):
        row += 1
        if _is_remark(lines[at]):  # not for csv to see: a quotation mark in a remark opens nothing
            remarks.append(Record(row, _split(lines[at], delimiter), at, at + 1))
            at += 1
            continue
        reader = csv.reader(
            (lines[k] for k in range(at, len(lines))), delimiter=delimiter, skipinitialspace=True, strict=True
        )
        try:
            record = Record(row, next(reader), at, at + reader.line_num)
        except csv.Error as error:
            problems.append(_unreadable(path.name, row, lines[at], str(error)))
            unreadable += 1
            if unreadable == MOST_UNREADABLE:
                mend = "Mend the quotation marks of the rows shown, then check again"
                problems.append(Problem(path.name, row, None, "", "the file was not read beyond this row", mend))
                break
            at += 1  # the line alone is lost, not all that follows it
            continue
        at = record.stop
        if not record.is_blank:
            (remarks if _is_remark(record.cells[0]) else records).append(record)
    if not records:
        return None
    return Sheet(text, delimiter, records, remarks, unreadable)


def column_letter(index: int) -> str:
    """The letters a spreadsheet shows above column `index` (0 is A)."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def _is_noise(content: str) -> bool:
    """No text: NUL characters, or more than one in twenty that are no characters or steer some machine."""
    strange = content.count(UNREADABLE) + sum(
        content.count(chr(code)) for code in range(32) if code not in (9, 10, 12, 13)
    )
    return "\0" in content or strange > max(3, len(content) / 20)


def _is_remark(line: str) -> bool:
    """A line or first cell that begins with #, unless it is a spreadsheet's error mark such as #N/A."""
    start = line.lstrip(" \t")
    if not start.startswith("#"):
        return False
    error = SPREADSHEET_ERRORS.match(start)
    return not (error and re.match(r"\s*([,;\t]|$)", start[error.end() :]))


def _split(line: str, delimiter: str) -> list[str]:
    """The cells of one line, forgiving about quotes."""
    try:
        return next(csv.reader([line.rstrip("\r\n")], delimiter=delimiter, skipinitialspace=True), [])
    except csv.Error:
        return line.split(delimiter)


def _unreadable(file: str, row: int, line: str, error: str) -> Problem:
    if "field larger" in error:
        return Problem(
            file,
            row,
            None,
            shorten(line),
            "a cell is far too long, or a quotation mark is left open",
            "Shorten it, or close the quotation mark",
        )
    return Problem(
        file,
        row,
        None,
        shorten(line),
        'a quotation mark " is left open or stands in the middle of a quoted text',
        "Close it, and write inches without the mark, such as 4 in",
    )
