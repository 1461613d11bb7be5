"""Text in columns: paragraphs wrapped, tables with a first column that gives way. Strings in, lines out."""

from __future__ import annotations

import re
import textwrap

from analysis.report.parts import Grid, Section

GAP = 2
WIDEST_HEAD, WIDEST_FIRST, NARROWEST_FIRST = 18, 18, 10
_TIED = "\ue000"  # stands for a space that no line may end at
_FIGURE = re.compile(
    r"(?<=[0-9]) (?=%|(?:mm|m|in|ft|kg|lb|L|US gal|h|min|nm|USD)\b|[0-9]/[0-9])"  # a figure and its unit
    r"|(?<= ft) (?=[0-9])|(?<=US) (?=gal\b)|(?<=GM) (?=[0-9])"
    r"|(?<=[0-9] (?:mm|in)) (?=(?:above|under|up|deeper)\b)"
)


def paragraph(text: str, width: int, indent: str = "", hang: str | None = None) -> list[str]:
    """The text wrapped to `width`; lines after the first are indented by `hang` (default: as the first)."""
    lines = textwrap.wrap(
        _tied(text),
        width,
        initial_indent=indent,
        subsequent_indent=indent if hang is None else hang,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace(_TIED, " ") for line in lines]


def _tied(text: str) -> str:
    """The text with figures tied to their units, so that no line ends between them."""
    return _FIGURE.sub(_TIED, text)


def section(part: Section, width: int) -> list[str]:
    """A section: its title in capitals, what is said first, its list and tables, what is said after; none if bare."""
    if not any((part.before, part.listed, part.grids, part.after)):
        return []
    lines = ["", *paragraph(f"{part.title.upper()}{f': {part.about}' if part.about else ''}", width)]
    for text in part.before:
        lines += paragraph(text, width)
    for text in part.listed:
        lines += paragraph(text, width, "  ", "    ")
    for grid in part.grids:
        lines += table(grid, width)
    for text in part.after:
        lines += paragraph(text, width)
    return lines


def table(grid: Grid, width: int) -> list[str]:
    """A table: the first column to the left and wrapped as needed, the others to the right edge of their column.

    What is too wide is told in several tables, each with the first column; groups of columns stay together.
    """
    lines: list[str] = []
    for piece in _pieces(grid, width):
        lines += [*[""][: len(lines)], *_one_table(piece, width)]
    return lines


def _pieces(grid: Grid, width: int) -> list[Grid]:
    """The table as tables of whole groups of columns that fit into the width, as far as single groups do."""
    groups = grid.groups or tuple(("", 1) for _ in grid.head[1:])
    first = min(max(len(row[0]) for row in (grid.head, *grid.rows)), WIDEST_FIRST)
    pieces: list[list[tuple[int, int]]] = []  # per piece the (group, column) pairs
    at, room = 1, 0
    for number, (name, span) in enumerate(groups):
        columns = range(at, at + span)
        need = max(sum(_column_width(grid, i) + GAP for i in columns), len(name) + GAP)
        if not pieces or need > room:
            pieces.append([])
            room = width - first
        pieces[-1] += [(number, i) for i in columns]
        room -= need
        at += span
    return [_part(grid, piece) for piece in pieces]


def _part(grid: Grid, piece: list[tuple[int, int]]) -> Grid:
    columns = [0, *(i for _, i in piece)]
    numbers = list(dict.fromkeys(number for number, _ in piece))
    return Grid(
        tuple(grid.head[i] for i in columns),
        tuple(tuple(row[i] for i in columns) for row in grid.rows),
        tuple(grid.groups[number] for number in numbers) if grid.groups else (),
    )


def _column_width(grid: Grid, i: int) -> int:
    return max(len(text) for text in (*_head(grid.head[i]), *(row[i] for row in grid.rows)))


def _head(text: str) -> list[str]:
    return textwrap.wrap(text, WIDEST_HEAD, break_on_hyphens=False) or [""]


def _one_table(grid: Grid, width: int) -> list[str]:
    heads = [_head(text) for text in grid.head[1:]]
    tall = max(len(head) for head in heads)
    padded = [[""] * (tall - len(head)) + head for head in heads]  # so that heads stand on their columns
    rows = [("" if i < tall - 1 else grid.head[0], *(head[i] for head in padded)) for i in range(tall)]
    rows = [*rows, *grid.rows] if any(grid.head) else list(grid.rows)
    widths = [_column_width(grid, i) for i in range(1, len(grid.head))]
    over = _group_names(grid, widths)
    first = max(NARROWEST_FIRST, min(max(len(row[0]) for row in rows), width - sum(w + GAP for w in widths)))
    lines = [(" " * first + over).rstrip()] if over else []
    for row in rows:
        wrapped = textwrap.wrap(_tied(row[0]), first, break_on_hyphens=False, subsequent_indent="  ") or [""]
        wrapped = [line.replace(_TIED, " ") for line in wrapped]
        wrapped[0] = row[0][: len(row[0]) - len(row[0].lstrip())] + wrapped[0].lstrip()
        cells = "".join(cell.rjust(w + GAP) for cell, w in zip(row[1:], widths, strict=True))
        lines += [*wrapped[:-1], (wrapped[-1].ljust(first) + cells).rstrip()]
    return lines


def _group_names(grid: Grid, widths: list[int]) -> str:
    """The line of group names over the columns; widens the last column of a group whose name is longer than it."""
    text, at = "", 0
    for name, span in grid.groups:
        room = sum(widths[at : at + span]) + GAP * (span - 1)
        if len(name) > room:
            widths[at + span - 1] += len(name) - room
            room = len(name)
        text += " " * GAP + name.rjust(room)
        at += span
    return text
