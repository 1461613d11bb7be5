"""`compare`: plans side by side, the lowest mark first, for each condition."""

from __future__ import annotations

import math
from argparse import Namespace

from analysis.command_line.answer import title
from analysis.command_line.floating import Floated, finding, float_all, floated_figures
from analysis.command_line.layout import paragraph, table
from analysis.command_line.outcome import Outcome
from analysis.command_line.terminal import width
from analysis.report.parts import height_unit, side_by_side
from analysis.studies.words import capital
from hullcalc.boats.limits import STANDING_CARE

LOWEST_SHOWN = 6


def run(options: Namespace) -> Outcome:
    """Each condition asked for, a column a plan."""
    found = float_all(options)
    columns = width()
    unit = capital(height_unit(options.units))
    lines = [*title(found.boat, columns), "", *paragraph(finding(found, options.units), columns)]
    lines += ["", f"{unit} above or under water, openings shut unless said."]
    if found.marks is None and len(found.conditions) > 1:
        lines += paragraph(f"The {LOWEST_SHOWN} lowest marks; name one condition for all of them.", columns)
    for condition in found.conditions:
        lines += ["", condition.upper(), *_one_condition(found, condition, columns, options.units)]
    return Outcome([*lines, "", *paragraph(" ".join(STANDING_CARE), columns)], floated_figures(found))


def _one_condition(found: Floated, condition: str, columns: int, system: str) -> list[str]:
    cases = {plan: found.cases[plan, condition] for plan in found.plans if (plan, condition) in found.cases}
    lines = []
    for plan in found.plans:
        if (plan, condition) in found.sunk:
            lines += paragraph(f"{capital(plan)}: {found.sunk[plan, condition]}.", columns, hang="  ")
    marks = found.marks
    if marks is None and len(found.conditions) > 1:
        lowest: dict[str, float] = {}
        for case in cases.values():
            for name in case.watched():
                lowest[name] = min(case.heights_shut[name], lowest.get(name, math.inf))
        marks = sorted(lowest, key=lambda name: lowest[name])[:LOWEST_SHOWN]
    return [*lines, *table(side_by_side(cases, system, marks), columns)] if cases else lines
