"""Text in columns: paragraphs wrapped, tables with a first column that gives way. Strings in, lines out."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from analysis.report.sections import Grid, Section

GAP = 2


def paragraph(text: str, width: int, indent: str = "", hang: str | None = None) -> list[str]:
    """The text wrapped to `width`; lines after the first are indented by `hang` (default: as the first)."""
    return textwrap.wrap(
        text,
        width,
        initial_indent=indent,
        subsequent_indent=indent if hang is None else hang,
        break_long_words=False,
        break_on_hyphens=False,
    )


def section(part: Section, width: int) -> list[str]:
    """A section: its title in capitals, what is said first, its tables, what is said after."""
    lines = ["", *paragraph(f"{part.title.upper()}{f': {part.about}' if part.about else ''}", width)]
    for text in part.before:
        lines += paragraph(text, width)
    for grid in part.grids:
        lines += table(grid, width)
    for text in part.after:
        lines += paragraph(text, width)
    return lines


def table(grid: Grid, width: int) -> list[str]:
    """A table: the first column to the left and wrapped as needed, the others to the right edge of their column."""
    rows = [grid.head, *grid.rows] if any(grid.head) else list(grid.rows)
    widths = [max(len(row[i]) for row in rows) for i in range(1, len(grid.head))]
    groups = _groups_fit(grid, widths)
    first = max(len(row[0]) for row in rows)
    first = max(12, min(first, width - sum(w + GAP for w in widths)))
    lines = [] if groups is None else [(" " * first + groups).rstrip()]
    for row in rows:
        wrapped = textwrap.wrap(row[0], first, break_on_hyphens=False, subsequent_indent="  ") or [""]
        cells = "".join(cell.rjust(w + GAP) for cell, w in zip(row[1:], widths, strict=True))
        lines += [*wrapped[:-1], (wrapped[-1].ljust(first) + cells).rstrip()]
    return lines


def _groups_fit(grid: Grid, widths: list[int]) -> str | None:
    """The line of group names over the columns; widens the last column of a group whose name is longer than it."""
    if not grid.groups:
        return None
    text, at = "", 0
    for name, span in grid.groups:
        room = sum(widths[at : at + span]) + GAP * (span - 1)
        if len(name) > room:
            widths[at + span - 1] += len(name) - room
            room = len(name)
        text += " " * GAP + name.rjust(room)
        at += span
    return text


def joined(blocks: Iterable[Sequence[str]]) -> list[str]:
    """All lines of the blocks, an empty line between two of them."""
    lines: list[str] = []
    for block in blocks:
        lines += ["", *block] if lines and block else list(block)
    return lines
