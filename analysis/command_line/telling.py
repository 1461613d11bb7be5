"""What most verbs print: the boat, the finding, sections, what to take care of, and which files were written."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from analysis.command_line.answer import title
from analysis.command_line.layout import paragraph, section
from analysis.command_line.outcome import FINE, Outcome
from analysis.command_line.terminal import width
from analysis.report.parts import Section
from hullcalc.boats.boat import Boat
from hullcalc.boats.limits import STANDING_CARE

CARE = " ".join(STANDING_CARE)


def told(
    boat: Boat,
    said: Sequence[str],
    parts: Iterable[Section],
    figures: dict[str, Any],
    files: Sequence[tuple[Path, bytes]] = (),
    care: str = CARE,
    notes: Sequence[str] = (),
    code: int = FINE,
) -> Outcome:
    """The outcome of a verb: what is `said` first in paragraphs, its sections, notes below them, care, files."""
    columns = width()
    lines = title(boat, columns)
    for text in said:
        lines += ["", *paragraph(text, columns)]
    for part in parts:
        lines += section(part, columns)
    for text in notes:
        lines += ["", *paragraph(text, columns)]
    if care:
        lines += ["", *paragraph(care, columns)]
    lines += [f"Written: {path}" for path, _ in files]
    return Outcome(lines, figures, files, code)
