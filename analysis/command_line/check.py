"""`check`: read everything, say everything that is wrong."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from typing import Any

from analysis.command_line.layout import paragraph
from analysis.command_line.outcome import FINE, TO_MEND, Outcome
from analysis.command_line.terminal import width
from hullcalc.boats.folder import read_boat
from hullcalc.errors import MEND, InputError, Problem


def run(options: Namespace) -> Outcome:
    """All problems of the folder, worst first, and the closing count; code 2 where something is to mend."""
    try:
        boat = read_boat(options.folder)
    except InputError as error:
        if not error.problems:
            raise
        return _outcome(error.problems, str(error).splitlines()[-1])
    return _outcome(boat.remarks, boat.checked)


def _outcome(problems: Sequence[Problem], closing: str) -> Outcome:
    columns, lines = width(), []
    for problem in problems:
        head = "to mend: " if problem.level == MEND else "look at: "
        lines += paragraph(f"{head}{problem}", columns, hang="  ")
    code = TO_MEND if any(problem.level == MEND for problem in problems) else FINE
    figures: dict[str, Any] = {"closing": closing, "problems": [_figures(problem) for problem in problems]}
    return Outcome([*lines, closing], figures, code=code)


def _figures(problem: Problem) -> dict[str, Any]:
    return {
        "level": "to mend" if problem.level == MEND else "to look at",
        "file": problem.file,
        "row": problem.row,
        "column": problem.column,
        "read": problem.read,
        "expected": problem.expected,
        "mend": problem.mend,
    }
