"""TOML files of a boat folder: read whole, or one Problem at the line that cannot be read."""

from __future__ import annotations

import math
import re
import tomllib
from pathlib import Path
from typing import Any

from hullcalc.boats.sheets import UNREADABLE, read_text, shorten
from hullcalc.errors import Problem, Problems


def read_toml(path: str | Path, problems: Problems) -> dict[str, Any]:
    """What a TOML file says; {} with a Problem where it is missing or a line breaks the grammar."""
    path = Path(path)
    text = read_text(path, problems)
    if text is None:
        return {}
    lines = text.content.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for row, line in enumerate(lines, start=1):
        if UNREADABLE in line:
            problems.append(
                Problem(
                    path.name,
                    row,
                    None,
                    shorten(line),
                    "this line holds a character that cannot be read",
                    "Save the file with the encoding UTF-8",
                )
            )
            return {}
    try:
        content = tomllib.loads("\n".join(lines))
    except (ValueError, RecursionError) as error:
        problems.append(_toml_problem(path.name, lines, str(error)))
        return {}
    for key in _not_finite(content):
        problems.append(
            Problem(path.name, None, key, "nan or inf", "expected a number", "Type the number, or take the line out")
        )
    return content


def _toml_problem(file: str, lines: list[str], error: str) -> Problem:
    at = re.search(r"line (\d+)", error)
    row = int(at[1]) if at else max((i for i, line in enumerate(lines, 1) if line.strip()), default=1)
    if "overwrite" in error or "twice" in error or "Cannot" in error:
        expected, mend = "this name or table stands here a second time", "Keep one of them"
    else:
        expected = "this line cannot be read as name = value"
        mend = 'Put texts in quotation marks, write 0.5 for 0,5, close every bracket: name = "text", length_m = 6.94'
    return Problem(file, row, None, shorten(lines[row - 1]), expected, mend, weight=10.0)


def _not_finite(value: Any, key: str = "") -> list[str]:
    """Dotted names of the figures that are nan or infinite."""
    if isinstance(value, dict):
        return [bad for name, v in value.items() for bad in _not_finite(v, f"{key}.{name}" if key else str(name))]
    if isinstance(value, list):
        return [bad for v in value for bad in _not_finite(v, key)]
    return [key] if isinstance(value, float) and not math.isfinite(value) else []
