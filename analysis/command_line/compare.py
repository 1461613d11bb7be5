"""`compare`: plans side by side, the lowest mark first, for each condition."""

from __future__ import annotations

from argparse import Namespace

from analysis.command_line.answer import title
from analysis.command_line.floating import Floated, float_all, floated_figures
from analysis.command_line.layout import paragraph, table
from analysis.command_line.outcome import Outcome
from analysis.command_line.terminal import width
from analysis.report.sections import all_marks, height_unit, let_in, watched_marks
from analysis.studies.words import attitude, capital
from hullcalc.boats.limits import STANDING_CARE, say_list

LOWEST_SHOWN = 6
SIDE_BY_SIDE = 4


def run(options: Namespace) -> Outcome:
    """Each condition asked for, a column a plan."""
    found = float_all(options)
    columns = width()
    lines = [*title(found.boat, columns), "", f"{capital(height_unit(options.units))} above or under water, openings shut"]
    for condition in found.conditions:
        lines += ["", *_one_condition(found, condition, columns, options.units)]
    return Outcome([*lines, "", *paragraph(" ".join(STANDING_CARE), columns)], floated_figures(found))


def _one_condition(found: Floated, condition: str, columns: int, system: str) -> list[str]:
    """What lets water in first, then attitudes, then the marks: all of one condition, else the lowest."""
    cases = [found.cases[plan, condition] for plan in found.plans if (plan, condition) in found.cases]
    lines = [condition.upper()]
    for plan in found.plans:
        if (plan, condition) in found.sunk:
            lines += paragraph(f"{capital(plan)}: {found.sunk[plan, condition]}.", columns, hang="  ")
    for case in cases:
        wet = f" Water comes in: {say_list(case.under)} under water." if case.under else ""
        lines += paragraph(f"{capital(case.plan)}: {attitude(case)}.{wet}", columns, hang="  ")
        if text := let_in(case, system):
            lines += paragraph(text, columns, indent="  ")
    if not cases:
        return lines
    for at in range(0, len(cases), SIDE_BY_SIDE):
        some = cases[at : at + SIDE_BY_SIDE]
        names = found.marks if found.marks is not None else watched_marks(some)
        grid = all_marks(some, system, names)
        lines += table(grid if found.marks is not None or len(found.conditions) == 1 else grid.top(LOWEST_SHOWN), columns)
    return lines
